"""The put-back as plain lines: to be printed, or read aloud at the rack."""

from __future__ import annotations

from collections.abc import Iterator

from model.compare.putback.answer import PutBack
from model.compare.putback.line_text import unread_text
from model.compare.putback.remains_text import remains_lines
from model.compare.putback.step_text import box, standing, step_lines
from model.compare.putback.wrap import wrapped
from model.readings.quantity import LengthUnit
from model.rig.page import Page

LEGEND = (
    "from: what you will find when you get there; to: what it is to show.",
    "keep: what you loosen or move frees it; bring it back to that before you tighten. Where "
    "nothing is loosened, leave it.",
    "near edge, far edge, left and right: as the player sees them. A minus is a value's own sign; "
    "seen from above plus is clockwise.",
)
CARE = (
    "Take the load's weight before you loosen what holds it: it can drop, and fingers get pinched.",
    "What is heavy or awkward is lifted by two. The venue's rules, local codes and licensed "
    "practice come first.",
)
LOOK_BEFORE = (
    "NOBODY READ THESE TONIGHT: before you begin look at their marks; hold what hangs on them, and "
    "set what is off"
)
LOOK_AFTER = (
    "NOBODY READ THESE TONIGHT: when all else is set, hold what hangs on them, and set them"
)
ROUNDED = 'Lengths are told to 1/16": each may be up to 1/32" (0.8 mm) off the reading.'


def put_back_lines(
    answer: PutBack, page: Page, unit: LengthUnit, done: frozenset[str] = frozenset()
) -> Iterator[str]:
    """Yield the whole list, at most 80 columns wide where its words allow it.

    ``page`` declares the settings (for their teeth and units); ``done`` are ticked.
    """
    for word, told in (("from", answer.now), ("to  ", answer.wanted)):
        yield from wrapped(f"{word} {told.page}  {told.date} {told.moment}, {told.venue or '-'}")
    yield from wrapped(total(answer))
    for note in answer.notes:
        yield from wrapped(f"note: {note}")
    yield ""
    if not answer.something and answer.enough and answer.left_out:
        yield "every piece that is known is within its tolerance: nothing has to be put back"
    elif not answer.something and answer.left_out:
        yield "nothing is done in that time"
    elif not answer.something:
        yield "nothing moved that the readings can tell: nothing is to be put back"
    else:
        for words in (*CARE, *LEGEND):
            yield from wrapped(words)
        if unit == "in":
            yield from wrapped(ROUNDED)
    yield from _structure(answer, done)
    if answer.enough and answer.something:
        yield from wrapped("Only what brings each piece within its tolerance: the rest is left.")
    yield from _unread(answer, page, unit, LOOK_BEFORE, by_level=False)
    stood = ""
    for step in answer.steps:
        if standing(step) != stood:
            stood = standing(step)
            yield ""
            yield from wrapped(stood)
        yield from step_lines(step, page, unit, done)
    yield from _unread(answer, page, unit, LOOK_AFTER, by_level=True)
    yield from left_out_lines(answer)
    yield from remains_lines(
        answer.remains, page, unit, short=answer.within is not None or answer.enough
    )


def total(answer: PutBack) -> str:
    """Sum the list up in a sentence."""
    lines = len(answer.lines)
    if answer.within is None:
        took = f"{answer.minutes:.0f} min"
    else:
        took = f"{answer.minutes:.1f} of {answer.within:g} min"
    words = f"{_some(lines, 'line')}, {_some(answer.loosenings, 'loosening')}, about {took}"
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


def _some(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _structure(answer: PutBack, done: frozenset[str]) -> Iterator[str]:
    if answer.structure:
        yield ""
        yield "STRUCTURE FIRST"
    for step in answer.structure:
        yield from wrapped(f"{box(step.tick, done)} {step.text}", "    ")


def _unread(
    answer: PutBack, page: Page, unit: LengthUnit, words: str, *, by_level: bool
) -> Iterator[str]:
    """Yield what nobody read: what a level shows last, since it hangs on all that is set."""
    held = [unread for unread in answer.unread if unread.by_level is by_level]
    if not held:
        return
    yield ""
    yield from wrapped(words)
    for unread in held:
        yield from wrapped(f"  {unread_text(unread, page, unit)}", "    ")


def left_out_lines(answer: PutBack) -> Iterator[str]:
    """Yield what a short changeover leaves for later, step by step."""
    if not answer.left_out:
        return
    yield ""
    yield "LEFT AS IT IS" if answer.enough else "LEFT FOR LATER"
    for held in answer.left_out:
        yield from wrapped(f"  {held.title}: {', '.join(held.names)}", "    ")
