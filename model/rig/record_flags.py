"""What is odd about a page's record and its texts: unknown settings, limits, control characters."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from model.clean import clean
from model.errors import Problem
from model.readings.entry import show_value
from model.readings.quantity import LengthUnit
from model.rig.declared import Declared
from model.rig.page import Page
from model.rig.part import FLOOR
from model.rig.setting import Setting


def flag_of(code: str, key: str, what: str, why: str = "", right: str = "") -> Problem:
    """Return a flag: a fault with which the page opens."""
    return Problem(code=code, key=key, what=what, why=why, right=right, grave=False)


def some_of(names: Iterable[str], most: int = 8) -> str:
    """Name a few of what there is; a hostile page may have thousands."""
    first = list(islice(names, most + 1))
    return ", ".join(first if len(first) <= most else [*first[:most], "…"]) or "none yet"


def record_flags(page: Page) -> Iterator[Problem]:
    """Yield what is odd about settings: nobody declares them, their instrument, their limits."""
    owners = {FLOOR, *page.by_id, *page.by_spot}
    names: dict[str, list[str]] = {}
    for known in page.declared.values():
        names.setdefault(known.owner, []).append(known.name)
    for key, setting in page.record:
        declared = page.declared.get(key)
        if declared is None:
            yield _unknown_setting(page, key, names)
            continue
        if setting.using is not None and setting.using not in page.by_instrument:
            yield flag_of(
                "no-such-instrument",
                f"record.{key}.using",
                f"the page has no instrument {setting.using}",
                "how sure the reading is, is not known",
                f"one of {some_of(page.by_instrument)}",
            )
        if flag := limit_flag(key, setting, declared):
            yield flag
    for owner, _ in page.remarks:
        if owner not in owners:
            yield flag_of(
                "unknown-setting",
                f"record.{owner}.note",
                f"there is no part {owner} to note this on",
                "the line is kept",
                f"one of {some_of([FLOOR, *page.by_id])}",
            )


def _unknown_setting(page: Page, key: str, names: dict[str, list[str]]) -> Problem:
    owner = key.split(".", 1)[0]
    if owner not in page.by_id and owner not in page.by_spot and owner != FLOOR:
        return flag_of(
            "unknown-setting",
            f"record.{key}",
            f"there is no part {owner}",
            "the line is kept and not used",
            f"one of {some_of([FLOOR, *page.by_id])}",
        )
    own = names.get(owner)
    return flag_of(
        "unknown-setting",
        f"record.{key}",
        f"{owner} has no such setting",
        "the line is kept and not used",
        f"one of {some_of(own)}" if own else "a kind that has it; the part has none",
    )


def limit_flag(
    key: str, setting: Setting, declared: Declared, unit: LengthUnit | None = None
) -> Problem | None:
    """Return the flag of a value outside its limits; it is recorded all the same.

    With a ``unit`` it is told as a reader has it, else in the file's own millimetres and degrees.
    """
    limit = setting.limit or declared.limit
    value = setting.value
    if limit is None or not isinstance(value, int | float):
        return None
    low, high = limit
    if low <= value <= high:
        return None
    guess = declared.limit_guess and setting.limit is None
    told = [f"{value:.10g}", f"{low:g}", f"{high:g}"]
    if unit is not None:
        told = [show_value(number, declared.asked(unit)) for number in (value, low, high)]
    return flag_of(
        "outside-limit",
        f"record.{key}",
        f"{told[0]} is outside {told[1]} to {told[2]}; it is recorded all the same",
        "the limit is a guess, from memory" if guess else "the limit is the kind's or your own",
        f"{low:g} to {high:g}, or a limit = [LOW, HIGH] of its own on the line",
    )


def text_flags(page: Page) -> Iterator[Problem]:
    """Yield every text with characters that could act on a terminal or hide."""
    head = page.head
    texts = [("rig", head.rig), ("moment", head.moment), ("venue", head.venue)]
    texts.append(("reason", head.reason))
    for part in page.parts:
        texts += [
            (f"part.{part.id}.{name}", text)
            for name in ("name", "mark", "colour", "care", "serial", "role")
            if (text := getattr(part, name, None)) is not None
        ]
    texts += [(f"spot.{spot.id}.name", spot.name) for spot in page.spots]
    texts += [(f"notes.{crew}", note) for crew, note in page.crew]
    texts += [(f"record.{owner}.note", remarks.note) for owner, remarks in page.remarks]
    texts += [
        (f"record.{key}", text)
        for key, setting in page.record
        for text in (setting.value, setting.note, setting.by)
        if isinstance(text, str)
    ]
    for key, text in texts:
        if clean(text) != text:
            yield flag_of(
                "control-characters",
                key,
                f"the text has control or invisible characters: {text}",
                "they are shown by stand-ins, and kept in the file",
                "the text without them",
            )
