"""The put-back as plain lines: to be printed, or read aloud at the rack."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from model.clean import clean
from model.compare.answer import owner_name
from model.compare.putback.answer import Line, PutBack, Remains, Step, Unread
from model.compare.putback.words import fine
from model.readings.entry import Asked, show_change, show_value
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit, Value
from model.rig.page import Page

WIDTH = 80
LEGEND = (
    "from: what you will find when you get there; to: what it is to show.",
    "keep: what you loosen or move frees it; bring it back to that before you tighten. Where "
    "nothing is loosened, leave it.",
    "near edge, far edge, left and right: as the player sees them. A minus is a value's own sign.",
)
CARE = (
    "Take the load's weight before you loosen what holds it: it can drop, and fingers get pinched.",
    "What is heavy or awkward is lifted by two. The venue's rules, local codes and licensed "
    "practice come first.",
)
ROUNDED = 'Lengths are told to 1/16": each may be up to 1/32" (0.8 mm) off the reading.'


def put_back_lines(
    answer: PutBack, page: Page, unit: LengthUnit, done: frozenset[str] = frozenset()
) -> Iterator[str]:
    """Yield the whole list, at most 80 columns wide where its words allow it.

    ``page`` declares the settings (for their teeth and units); ``done`` are ticked.
    """
    for word, told in (("from", answer.now), ("to  ", answer.wanted)):
        yield f"{word} {told.page}  {told.date} {told.moment}, {told.venue or '-'}"
    for note in answer.notes:
        yield from _wrapped(f"note: {note}", "")
    yield ""
    if not answer.something and answer.left_out:
        yield "nothing is done in that time"
    elif not answer.something:
        yield "nothing moved that the readings can tell: nothing is to be put back"
    else:
        for words in (*CARE, *LEGEND):
            yield from _wrapped(words, "")
        if unit == "in":
            yield from _wrapped(ROUNDED, "")
    yield from _structure(answer, done)
    where = ""
    for step in answer.steps:
        if step.where != where:
            where = step.where
            yield ""
            yield from _wrapped(standing(step), "")
        yield from step_lines(step, page, unit, done)
    yield from _unread(answer, page, unit)
    yield from left_out_lines(answer)
    yield from remains_lines(answer.remains, page, unit, short=answer.within is not None)
    yield ""
    yield from _wrapped(total(answer), "")


def standing(step: Step) -> str:
    """Say where one stands for a step."""
    mark = f" ({step.where_mark})" if step.where_mark else ""
    return f"STAND AT {step.where_name}{mark}"


def as_fine_as(value: Value | None, asked: Asked, u: float | None) -> str:
    """Show a value as finely as its instrument can tell it; a dash where it is not known."""
    if asked.quantity == "angle" and isinstance(value, float):
        value = fine(value, u)
    return shown(value, asked)


def total(answer: PutBack) -> str:
    """Sum the list up in a sentence."""
    lines = len(answer.lines)
    if answer.within is None:
        took = f"{answer.minutes:.0f} min"
    else:
        took = f"{answer.minutes:.1f} of {answer.within:g} min"
    words = f"{lines} lines, {answer.loosenings} loosenings, about {took}"
    if answer.off_before is not None and answer.off_after is not None:
        words += (
            f"; off home by {answer.off_after:.1f} tolerances in all, {answer.off_before:.1f} now"
        )
    if answer.left_within:
        words += (
            f"; {answer.left_within} settings differ by less than their readings can tell, "
            "and are left"
        )
    return words


def _structure(answer: PutBack, done: frozenset[str]) -> Iterator[str]:
    if answer.structure:
        yield ""
        yield "STRUCTURE FIRST"
    for step in answer.structure:
        yield from _wrapped(f"{box(step.tick, done)} {step.text}", "    ")


def step_lines(
    step: Step, page: Page, unit: LengthUnit, done: frozenset[str] = frozenset()
) -> Iterator[str]:
    """Yield one step: what is loosened, what to hold, each line, and the tightening."""
    yield ""
    yield from _wrapped(f"{step.number:>3}  {step_title(step)}", "     ")
    if len(step.loosen) > 1 or (step.loosen and step.by_hand):
        for number in range(len(step.loosen)):
            yield from _wrapped(f"     - {loosened(step, number)}", "       ")
    for words in step.hold:
        yield from _wrapped(f"     ! {words}", "       ")
    for line in step.lines:
        text = line_text(line, page, unit)
        yield from _wrapped(f"     {box(line.tick, done)} {text}", "         ")
    if any(_is_second_grip(line, step) for line in step.lines):
        yield from _wrapped(SHARE, "     ")
    if step.loosen:
        yield "     Tighten." if len(step.loosen) == 1 else "     Tighten them all."


SHARE = "     Where a bar's two grips do not come out both, share the rest between them."


def _is_second_grip(line: Line, step: Step) -> bool:
    """Tell whether a step sets two places along one bar."""
    grips = [held for held in step.lines if held.part == line.part and held.quantity == "length"]
    return len(step.loosen) > 1 and len(grips) > 1 and line in grips and line.part != step.where


def step_title(step: Step) -> str:
    """Say what is loosened for a step, and with what; or that it is put by hand."""
    if not step.loosen:
        return f"{step.title}, by hand" if step.by_hand else f"{step.title}: dials"
    if len(step.loosen) == 1 and not step.by_hand:
        return f"{step.title}: loosen {loosened(step, 0, named=False)}"
    return f"{step.title}: loosen together" if len(step.loosen) > 1 else f"{step.title}: loosen"


def loosened(step: Step, number: int, *, named: bool = True) -> str:
    """Say one clamp or screw with its tool and its mark."""
    held = step.loosen[number]
    mark = f", marked {held.mark}" if held.mark and held.part != step.where else ""
    what = f"{held.part_name}, {held.what.removeprefix('its clamp ')}" if named else held.what
    return f"{what} ({held.tool or 'tool not told'}{mark})"


def box(tick: str, done: frozenset[str]) -> str:
    """Return the box of a line, ticked or not."""
    return "[x]" if tick in done else "[ ]"


def line_text(line: Line, page: Page, unit: LengthUnit) -> str:
    """Say one line so that it can be carried out without looking anything up."""
    asked = asked_for(line, page, unit)
    name = f"{line.part_name}, {line.name}"
    to, start = as_fine_as(line.to, asked, line.u), as_fine_as(line.start, asked, line.u)
    by = f" by {line.using}" if line.using and line.quantity == "angle" else ""
    measured = f" ({line.measured})" if line.measured else ""
    match line.task:
        case "keep":
            return f"{name}: keep at {to}{by}{measured}"
        case "mark":
            tonight = f" (tonight {to}{by})" if line.to is not None else ""
            return f"{name}: mark it before you loosen; home does not know it{tonight}"
        case "roll":
            bar = page.by_id.get(line.tick.removeprefix("roll."))
            told = bar.name if bar else "the loose bar"
            return f"Turn {told} until {name} shows {to}{by}{measured}"
        case "dial":
            return f"{name}: {start} -> {to}{_dial_way(line, asked)}"
        case "set":
            return f"{name}: {_from_to(line, start, to)}{by}{_way(line, asked)}{measured}"


def _from_to(line: Line, start: str, to: str) -> str:
    if line.start is None:
        return f"set to {to}"
    if line.unread:
        return f"set to {to}, nobody read it tonight; last known {start}"
    return f"{start} -> {to}"


def way_text(line: Line, asked: Asked) -> str:
    """Say by how much and which way a line goes; nothing where it stays or nobody read it."""
    if line.task == "dial":
        return show_change(line.by, asked) if line.by else ""
    if not line.way or line.by is None or line.unread:
        return ""
    if line.quantity == "length":
        aside = f" ({line.aside})" if line.aside else ""
        return f"{line.way} {shown(abs(line.by), asked)}{aside}"
    return line.way


def _way(line: Line, asked: Asked) -> str:
    words = way_text(line, asked)
    return f", {words}" if words else ""


def _dial_way(line: Line, asked: Asked) -> str:
    words = way_text(line, asked)
    return f" ({words})" if words else ""


def shown(value: Value | None, asked: Asked) -> str:
    """Show a value, or a dash where it is not known."""
    return "-" if value is None else show_value(value, asked)


def asked_for(line: Line, page: Page, unit: LengthUnit) -> Asked:
    """Return how a line's values are shown."""
    declared = page.declared.get(line.tick)
    return declared.asked(unit) if declared is not None else Asked(line.quantity, unit)


def _unread(answer: PutBack, page: Page, unit: LengthUnit) -> Iterator[str]:
    if not answer.unread:
        return
    yield ""
    yield "NOBODY READ THESE TONIGHT: look at their marks, and set what is off"
    for held in answer.unread:
        yield from _wrapped(f"  {unread_text(held, page, unit)}", "    ")


def unread_text(held: Unread, page: Page, unit: LengthUnit) -> str:
    """Say where an unread joint belongs."""
    declared = page.declared.get(held.setting)
    asked = declared.asked(unit) if declared is not None else Asked(held.quantity, unit)
    by = f" by {held.using}" if held.using and held.quantity == "angle" else ""
    measured = f" ({held.measured})" if held.measured else ""
    return f"{held.part_name}, {held.name}: home is {shown(held.to, asked)}{by}{measured}"


AS_FAR = "home as far as can be told"
REACHED: Mapping[str, str] = {
    "home": "home within tolerance",
    "not home": "NOT within tolerance",
    "no tolerance": "no tolerance set",
    "unknown": "not known",
}


def left_out_lines(answer: PutBack) -> Iterator[str]:
    """Yield what a short changeover leaves for later, step by step."""
    if not answer.left_out:
        return
    yield ""
    yield "LEFT FOR LATER"
    for held in answer.left_out:
        yield from _wrapped(f"  {held.title}: {', '.join(held.names)}", "    ")


def remains_lines(
    remains: tuple[Remains, ...], page: Page, unit: LengthUnit, *, short: bool = False
) -> Iterator[str]:
    """Yield how far each piece is from home then, and how sure that is."""
    if not remains:
        return
    yield ""
    yield f"WHEN {'THIS' if short else 'ALL'} IS DONE, from home"
    for held in remains:
        yield from _wrapped(f"  {held.name:<18} {remains_text(held, unit, page)}", "    ")


def remains_text(held: Remains, unit: LengthUnit, page: Page) -> str:
    """Say how far one piece is from home, with its ± for 95 %."""
    if held.by is None or held.distance is None or held.tilt is None:
        return f"{REACHED[held.reached]}: {held.why}"
    words = f"{show_place(held.distance, unit)}"
    if held.u95 is not None:
        words += f" ± {show_place(max(held.u95[:3]), unit)}"
    words += f", {held.tilt:.1f}°"
    if held.u95 is not None:
        words += f" ± {max(held.u95[3:]):.1f}°"
    allowed = []
    if held.tolerance_mm is not None:
        allowed.append(show_place(held.tolerance_mm, unit))
    if held.tolerance_deg is not None:
        allowed.append(f"{held.tolerance_deg:g}°")
    within = f" ({', '.join(allowed)})" if allowed else ""
    verdict = AS_FAR if is_unsure(held) else REACHED[held.reached]
    line = f"{words:<30} {verdict}{within}"
    if held.unread:
        line += f"; as last read: nobody read {_names(held.unread, page)} tonight"
    elif held.reached == "not home" and held.mostly:
        line += f"; mostly by {_names(held.mostly, page)}"
    return line


def is_unsure(held: Remains) -> bool:
    """Tell whether a piece is called home though its readings tell less than its tolerance."""
    if held.reached != "home" or held.u95 is None:
        return False
    pairs = (held.tolerance_mm, held.u95[:3]), (held.tolerance_deg, held.u95[3:])
    return any(limit is not None and max(sure) > limit for limit, sure in pairs)


def _names(keys: tuple[str, ...], page: Page) -> str:
    """Return settings by their parts' names and their own."""
    return "; ".join(
        f"{owner_name(page, page.declared[key].owner)}, {page.declared[key].label}"
        if key in page.declared
        else key
        for key in keys
    )


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        clean(text), WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    ) or [""]
