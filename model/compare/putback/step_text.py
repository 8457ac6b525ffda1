"""A step of the put-back in words: where one stands, what is loosened, what to hold, its lines."""

from __future__ import annotations

from collections.abc import Iterator

from model.compare.putback.answer import Line, Step
from model.compare.putback.line_text import line_text
from model.compare.putback.wrap import wrapped
from model.readings.quantity import LengthUnit
from model.rig.page import Page


def standing(step: Step) -> str:
    """Say where one stands for a step."""
    mark = f" ({step.where_mark})" if step.where_mark else ""
    also = f", and go to {'; '.join(step.also)}" if step.also else ""
    return f"STAND AT {step.where_name}{mark}{also}"


def step_lines(
    step: Step, page: Page, unit: LengthUnit, done: frozenset[str] = frozenset()
) -> Iterator[str]:
    """Yield one step: what is loosened, what to hold, each line, and the tightening."""
    yield ""
    yield from wrapped(f"{step.number:>3}  {step_title(step)}", "     ")
    if len(step.loosen) > 1 or (step.loosen and step.by_hand):
        for number in range(len(step.loosen)):
            yield from wrapped(f"     - {loosened(step, number)}", "       ")
    for words in step.hold:
        yield from wrapped(f"     ! {words}", "       ")
    for line in step.lines:
        text = line_text(line, page, unit)
        yield from wrapped(f"     {box(line.tick, done)} {text}", "         ")
    if any(_is_second_grip(line, step) for line in step.lines):
        yield from wrapped(SHARE, "     ")
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
