"""Taking a reading: from what was typed to the edit of the page. Screens and `read` share it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.book.edits import SettingEdit, SettingsEdit
from model.frozen import LONGEST_TEXT
from model.readings.angles import ReadFrom
from model.readings.entry import parse_entry
from model.readings.instruments import SEEN, USUAL
from model.readings.quantity import LengthUnit, Refusal
from model.rig.declared import Declared
from model.rig.page import Page
from model.rig.setting import OPEN, seen_at_mark, taken


@dataclass(frozen=True, slots=True)
class Hand:
    """Who reads, in which unit, and with what where it is not the usual instrument."""

    unit: LengthUnit = "mm"
    by: str | None = None
    using: str | None = None
    u: float | None = None
    read_from: ReadFrom | None = None
    note: str | None = None


def reading_edit(page: Page, key: str, typed: str, hand: Hand) -> SettingEdit | Refusal:
    """Return the edit that records what was typed for a declared setting, or why it is refused."""
    declared = page.declared[key]
    before = page.setting(key)
    if refused := _refused_hand(hand):
        return refused
    taken_value = parse_entry(typed, declared.asked(hand.unit, before.value))
    if isinstance(taken_value, Refusal):
        return taken_value
    using = instrument_for(page, declared, hand.using)
    if isinstance(using, Refusal):
        return using
    if hand.read_from is not None and declared.quantity != "angle":
        return Refusal("only an angle is read from something", "leave it out")
    after = taken(
        before,
        taken_value.value,
        using=using,
        by=hand.by,
        u=hand.u,
        read_from=hand.read_from,
        note=hand.note,
    )
    return SettingEdit(key, after)


def _refused_hand(hand: Hand) -> Refusal | None:
    """Say what is wrong with how a reading was taken, before it becomes part of one."""
    if hand.u is not None and not 0.0 <= hand.u <= 1e5:
        return Refusal(f"{hand.u:g} is no uncertainty", "u=4")
    for text, name in ((hand.by, "initials"), (hand.note, "a note")):
        if text is not None and len(text) > LONGEST_TEXT:
            return Refusal(f"{name} of {len(text)} characters", f"{LONGEST_TEXT} at most")
    return None


def instrument_for(page: Page, declared: Declared, wanted: str | None) -> str | Refusal | None:
    """Return the instrument of a reading: the wanted one, else the usual one that the page has.

    An instrument that was asked for must be the page's, and measure that quantity.
    """
    if declared.quantity in ("word", "number"):
        if wanted is not None and wanted not in page.by_instrument:
            return Refusal(
                f"the page has no instrument {wanted!r}", " or ".join(page.by_instrument)
            )
        return wanted
    if wanted is not None:
        instrument = page.by_instrument.get(wanted)
        fit = fitting_instruments(page, declared)
        if instrument is None or wanted == SEEN:
            return Refusal(f"the page has no instrument {wanted!r}", " or ".join(fit))
        if instrument.uncertainty(declared.quantity) is None:
            return Refusal(f"{wanted} does not measure {_plural(declared)}", " or ".join(fit))
        return wanted
    for name in (declared.usually, USUAL.get(declared.quantity)):
        instrument = page.by_instrument.get(name or "")
        if instrument is not None and instrument.uncertainty(declared.quantity) is not None:
            return name
    return None


def fitting_instruments(page: Page, declared: Declared) -> list[str]:
    """Return the page's instruments that measure a setting; a look at a mark is none."""
    return [
        instrument.id
        for instrument in page.instruments
        if instrument.uncertainty(declared.quantity) is not None and instrument.id != SEEN
    ]


def _plural(declared: Declared) -> str:
    return {"length": "lengths", "angle": "angles", "teeth": "teeth"}.get(declared.quantity, "that")


def seen_edit(page: Page, key: str, page_name: str, by: str | None) -> SettingEdit | Refusal:
    """Return the edit that marks a setting as seen at its mark, or why there is nothing to mark."""
    before = page.setting(key)
    seen = seen_at_mark(before, page_name, by)
    if seen is not None:
        return SettingEdit(key, seen)
    why = {
        "open": "it is open: there is no value whose mark could be seen",
        "read": "it was read tonight, which is more than seen",
        "follows": "it follows from the rest, and has no mark of its own",
    }[before.state]
    return Refusal(why, "a carried setting")


def all_seen_edit(
    page: Page, owners: Iterable[str], page_name: str, by: str | None
) -> SettingsEdit | Refusal:
    """Return the edit that marks all that is carried on some parts as seen at its marks.

    What was read tonight, follows or is open stays as it is.
    """
    wanted = set(owners)
    seen = [
        (declared.key, marked)
        for declared in page.declared.values()
        if declared.owner in wanted
        and page.setting(declared.key).state == "carried"
        and (marked := seen_at_mark(page.setting(declared.key), page_name, by)) is not None
    ]
    if not seen:
        return Refusal("nothing on it is carried", "a part with carried settings")
    return SettingsEdit(tuple(seen))


def open_edit(page: Page, key: str) -> SettingEdit | Refusal:
    """Return the edit that says nothing is known of a setting any more."""
    before = page.setting(key)
    if before.state == "open":
        return Refusal("it is open already", "a setting that has a value")
    if before.state == "follows":
        return Refusal("it follows from the rest and cannot be open", "a setting that is measured")
    return SettingEdit(key, OPEN.model_copy(update={"limit": before.limit, "extra": before.extra}))
