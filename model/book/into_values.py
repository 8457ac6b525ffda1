"""From TOML's plain tables to frozen values; what is unknown is kept, what is wrong is gathered."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any, TypeVar

from pydantic import ValidationError

from model.book.examples import SETTING, right_entry
from model.book.faults import Faults, shown
from model.book.layout import value_text
from model.book.scan import Path
from model.frozen import Extra, Frozen
from model.readings.instruments import Instrument
from model.readings.quantity import Quantity
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind, Outlet
from model.rig.part import PART_TYPES, Curve, Dial, Disc, Shell, Slab, Weight
from model.rig.setting import STATES, Setting

V = TypeVar("V", bound=Frozen)
Table = Mapping[str, Any]
_NESTED: dict[str, type[Frozen]] = {
    "weight": Weight,
    "shell": Shell,
    "disc": Disc,
    "slab": Slab,
    "curve": Curve,
}
_NOT_KEYS = frozenset({"id", "type", "extra", "joints", "outlets", "dials"})


@cache
def known_keys(model: type[Frozen]) -> frozenset[str]:
    """Return the TOML keys that a value of ``model`` is made from."""
    return frozenset(f.alias or name for name, f in model.model_fields.items()) - _NOT_KEYS


def frozen(value: object) -> object:
    """Return a TOML value with its arrays as tuples."""
    return tuple(frozen(item) for item in value) if isinstance(value, list) else value


def unknown(table: Table, known: frozenset[str]) -> Extra:
    """Return the keys that are not known, with their values as TOML text."""
    return tuple((key, value_text(value)) for key, value in table.items() if key not in known)


def build(model: type[V], table: object, key: Path, faults: Faults, **fixed: object) -> V | None:
    """Make one value from a table, or gather why not. ``fixed`` are fields the table lacks."""
    if not isinstance(table, dict):
        _no_table(key, table, faults)
        return None
    known = known_keys(model) - fixed.keys()
    fields: dict[str, object] = {k: frozen(v) for k, v in table.items() if k in known}
    if "extra" in model.model_fields:
        fields["extra"] = unknown(table, known)
    before = len(faults.found)
    for name in sorted(fields.keys() & _NESTED.keys()):
        fields[name] = build(_NESTED[name], fields[name], (*key, name), faults)
    try:
        made = model.model_validate({**fields, **fixed})
    except ValidationError as error:
        faults.add_all(error, key)
        return None
    return made if len(faults.found) == before else None


def _no_table(key: Path, value: object, faults: Faults) -> None:
    why, right = f"the file has {shown(value)}", right_entry(key)
    faults.add("wrong-value", key, "a table is needed", why=why, right=right)


def part_value(part_id: str, table: object, faults: Faults) -> AnyPart | None:
    """Make a part; its ``type`` says which sort."""
    key = ("part", part_id)
    if not isinstance(table, dict):
        _no_table(key, table, faults)
        return None
    model = PART_TYPES.get(sort) if isinstance(sort := table.get("type"), str) else None
    if model is None:
        faults.add(
            "wrong-value",
            (*key, "type"),
            "a part is a post, a bar, a mount or a piece",
            why=f"the file has {shown(sort)}" if "type" in table else "type is missing",
            right='type = "mount"',
        )
        return None
    rest = {k: v for k, v in table.items() if k not in ("type", "dials")}
    for name in ("on", "side"):
        if name in model.model_fields and isinstance(rest.get(name), str):
            rest[name] = [rest[name]]
    dials = _dials(table.get("dials", {}), (*key, "dials"), faults)
    return build(model, rest, key, faults, id=part_id, dials=dials)


def _dials(table: object, key: Path, faults: Faults) -> tuple[Dial, ...]:
    if not isinstance(table, dict):
        faults.add(
            "wrong-value",
            key,
            "dials name a unit each",
            why=f"the file has {shown(table)}",
            right='dials = { beater_angle = "word", clutch_gap = "mm" }',
        )
        return ()
    made = (
        build(Dial, {"unit": unit}, (*key, name), faults, id=name) for name, unit in table.items()
    )
    return tuple(dial for dial in made if dial is not None)


def kind_value(kind_id: str, table: object, faults: Faults) -> Kind | None:
    """Make a kind: ``chain`` names its joints from root to tip, ``ends`` are its outlets."""
    key = ("kind", kind_id)
    if not isinstance(table, dict):
        _no_table(key, table, faults)
        return None
    chain, ends = table.get("chain", []), table.get("ends", {})
    if not isinstance(chain, list) or not all(isinstance(name, str) for name in chain):
        faults.add(
            "wrong-value",
            (*key, "chain"),
            "chain lists the joints from root to tip",
            why=f"the file has {shown(chain)}",
            right='chain = ["place", "spin"]',
        )
        return None
    before = len(faults.found)
    joints = [_joint(name, table, key, faults) for name in chain]
    outlets = [
        build(Outlet, end, (*key, "ends", name), faults, id=name)
        for name, end in (ends.items() if isinstance(ends, dict) else ())
    ]
    if not isinstance(ends, dict):
        _no_table((*key, "ends"), ends, faults)
    if len(faults.found) > before:
        return None
    told = {"chain", "ends", *chain}
    rest = {k: v for k, v in table.items() if k not in told}
    return build(Kind, rest, key, faults, id=kind_id, joints=tuple(joints), outlets=tuple(outlets))


def _joint(name: str, table: Table, key: Path, faults: Faults) -> Joint | None:
    if name not in table:
        faults.add(
            "wrong-value",
            (*key, "chain"),
            f"the chain names {shown(name)}, which the kind does not have",
            why="each joint of the chain has a line of its own",
            right='spin = { turns = "rail" }',
        )
        return None
    return build(Joint, table[name], (*key, name), faults, id=name)


def instrument_value(name: str, table: object, faults: Faults) -> Instrument | None:
    """Make an instrument."""
    return build(Instrument, table, ("instrument", name), faults, id=name)


def setting_value(
    key: Path, table: object, quantity: Quantity | None, faults: Faults
) -> Setting | None:
    """Make one setting of the record; its value must suit ``quantity`` where it is declared."""
    if not isinstance(table, dict):
        faults.add(
            "wrong-value",
            key,
            "a setting is a table with its state",
            why=f"the file has {shown(table)}",
            right=SETTING,
        )
        return None
    states = [name for name in STATES if name in table]
    is_check = states == ["read", "follows"]
    if len(states) != 1 and not is_check:
        faults.add(
            "wrong-state",
            key,
            "it has no state" if not states else f"it is {' and '.join(states)} at once",
            why=f"the file has {shown(table)}; a setting is read, seen, carried, open, or follows",
            right=SETTING,
        )
        return None
    state = "follows" if is_check else states[0]
    if state in ("open", "follows") and table[state] is not True:
        faults.add(
            "wrong-state",
            (*key, state),
            f"{state} is true, or left out",
            why=f"the file has {shown(table[state])}",
            right=f"{{ {state} = true }}",
        )
        return None
    rest = {k: v for k, v in table.items() if k not in STATES}
    value: object = None
    if state != "open" and (state != "follows" or is_check):
        name = "read" if is_check else state
        value = _measure((*key, name), table[name], quantity, faults)
        if value is None:
            return None
    return build(Setting, rest, key, faults, state=state, value=value)


def fits_quantity(value: object, quantity: Quantity | None) -> bool:
    """Tell whether a value is of the sort that a quantity has: true is never a number."""
    if isinstance(value, bool):
        return False
    return (
        (quantity == "teeth" and isinstance(value, int))
        or (quantity in ("word", None) and isinstance(value, str))
        or (quantity not in ("teeth", "word") and isinstance(value, int | float))
    )


def _measure(
    key: Path, value: object, quantity: Quantity | None, faults: Faults
) -> float | int | str | None:
    """Return a recorded value if it suits its quantity: a number is never true, NaN or a text."""
    wanted, right = {
        "teeth": ("a whole number of teeth", "3"),
        "word": ("a text in quotes", '"third notch"'),
        "length": ("a number of millimetres", "812.8"),
        "angle": ("a number of degrees", "-12.5"),
        "number": ("a number", "12.5"),
        None: ("a number or a text", "812.8"),
    }[quantity]
    if not fits_quantity(value, quantity) or not isinstance(value, int | float | str):
        faults.add(
            "wrong-value",
            key,
            f"{wanted} is needed{', without quotes' if isinstance(value, str) else ''}",
            why=f"the file has {shown(value)}",
            right=f"{key[-1]} = {right}",
        )
        return None
    if isinstance(value, str):
        return value
    if not -1e6 <= value <= 1e6:  # false for NaN
        faults.add(
            "wrong-value",
            key,
            "infinity, NaN and numbers over a million are no measures",
            why=f"the file has {shown(value)}",
            right=f"{key[-1]} = {right}",
        )
        return None
    return value if quantity == "teeth" or quantity is None else float(value)
