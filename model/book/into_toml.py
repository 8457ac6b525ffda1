"""From frozen values to TOML's plain tables, in the order of the layout."""

from __future__ import annotations

from collections.abc import Sequence

from model.book.layout import AsWritten, Plain
from model.frozen import Extra, Frozen
from model.readings.instruments import Instrument
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Head, Mark, Spot
from model.rig.part import FLOOR
from model.rig.setting import Setting

Table = dict[str, Plain]
_PART_ORDER = (
    "type",
    "name",
    "role",
    "kind",
    "on",
    "at",
    "side",
    "rail",
    "edge",
    "from",
    "marks",
    "marks_side",
    "tube",
    "inner_tube",
    "rod",
    "length",
    "inner_length",
    "square",
    "curve",
    "shell",
    "disc",
    "slab",
    "offset",
    "offset_u",
    "stem",
    "weight",
    "colour",
    "mark",
    "serial",
    "care",
    "dials",
)


def with_extra(table: Table, extra: Extra) -> Table:
    """Return the table with the keys that Clampbook does not know after its own."""
    return {**table, **{key: AsWritten(text) for key, text in extra}}


def table_of(value: Frozen, leave_out: Sequence[str] = ()) -> Table:
    """Return a value's fields that differ from their defaults, by their TOML keys.

    What an absent key means belongs to the format's version and never changes within it.
    """
    table: Table = {}
    for name, field in type(value).model_fields.items():
        if name in ("id", "extra") or name in leave_out:
            continue
        held = getattr(value, name)
        if not field.is_required() and held == field.get_default(call_default_factory=False):
            continue
        table[field.alias or name] = _plain(held)
    return table if "extra" in leave_out else with_extra(table, getattr(value, "extra", ()))


def _plain(held: object) -> Plain:
    if isinstance(held, Frozen):
        return table_of(held)
    return held


def setting_table(setting: Setting) -> Table:
    """Return one setting of the record: its state first."""
    table: Table = {}
    if setting.state in ("open", "follows"):
        table[setting.state] = True
        if setting.value is not None:
            table["read"] = setting.value
    else:
        table[setting.state] = setting.value
    table.update(table_of(setting, leave_out=("state", "value")))
    return table


def part_table(part: AnyPart) -> Table:
    """Return a part: sort, name, kind, what it hangs on and how, its sizes, then the rest."""
    table: Table = {"type": part.type, **table_of(part, leave_out=("type", "extra"))}
    for name in ("on", "side"):
        held = table.get(name, ())
        if isinstance(held, tuple) and len(held) == 1:
            table[name] = held[0]
    table.setdefault("on", FLOOR)
    if part.dials:
        table["dials"] = {dial.id: dial.unit for dial in part.dials}
    ordered = {name: table.pop(name) for name in _PART_ORDER if name in table}
    return with_extra({**ordered, **table}, part.extra)


def kind_table(kind: Kind) -> Table:
    """Return a kind: name, chain, a line a joint, then its outlets and sizes."""
    table: Table = {"name": kind.name}
    if kind.fits is not None:
        table["fits"] = kind.fits
    table["chain"] = tuple(joint.id for joint in kind.joints)
    for joint in kind.joints:
        table[joint.id] = joint_table(joint)
    if kind.outlets:
        table["ends"] = {outlet.id: outlet_table(outlet) for outlet in kind.outlets}
    rest = table_of(kind, leave_out=("name", "fits", "joints", "outlets"))
    return {**table, **rest}


def joint_table(joint: Joint) -> Table:
    """Return a joint's line."""
    return table_of(joint)


def outlet_table(outlet: Outlet) -> Table:
    """Return an outlet's line."""
    return table_of(outlet)


def instrument_table(instrument: Instrument) -> Table:
    """Return an instrument's line."""
    return table_of(instrument)


def mark_table(mark: Mark) -> Table:
    """Return a mark on the rug."""
    return table_of(mark)


def spot_table(spot: Spot) -> Table:
    """Return a spot."""
    return table_of(spot)


def head_table(head: Head) -> Table:
    """Return the head, each key on one line; a reason only where there is one."""
    names = ("format", "rig", "date", "began", "moment", "venue", "begun_from", "closed")
    table: Table = {name: getattr(head, name) for name in names}
    if head.reason:
        table["reason"] = head.reason
    return with_extra(table, head.extra)
