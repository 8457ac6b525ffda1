"""The rows of the checklist: where one stands, what is loosened, each line with its box."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from model.compare.putback.answer import Line, PutBack, Remains, Step, StructureStep, Unread
from model.compare.putback.step_text import loosened, standing

Side = Literal["both", "left", "right"]
SIDES: tuple[Side, ...] = ("both", "left", "right")


@dataclass(frozen=True, slots=True)
class Words:
    """A row that is only read: a heading, what to hold, what is loosened."""

    text: str
    sort: Literal["stand", "hold", "loosen", "blank"]


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step's head: Enter on it is Enter on all its lines."""

    step: Step


@dataclass(frozen=True, slots=True)
class LineRow:
    """One setting of a step."""

    step: Step
    line: Line


Row = Words | StepRow | LineRow | StructureStep | Unread | Remains


def rows_of(answer: PutBack, side: Side) -> Iterator[Row]:
    """Yield the rows of the list, of one side of the player and what needs both, or of both."""
    if answer.structure:
        yield Words("structure first", "stand")
        yield from answer.structure
    yield from _unread(answer, "look at their marks, set what is off", by_level=False)
    stood = ""
    for step in answer.steps:
        if not is_on(step, side):
            continue
        if standing(step) != stood:
            stood = standing(step)
            yield Words(stood.removeprefix("STAND AT "), "stand")
        yield StepRow(step)
        if len(step.loosen) > 1:
            for number in range(len(step.loosen)):
                yield Words(f"loosen {loosened(step, number)}", "loosen")
        for words in step.hold:
            yield Words(words, "hold")
        for line in step.lines:
            yield LineRow(step, line)
    yield from _unread(answer, "when all else is set, set these too", by_level=True)


def _unread(answer: PutBack, when: str, *, by_level: bool) -> Iterator[Words | Unread]:
    held = [unread for unread in answer.unread if unread.by_level is by_level]
    if held:
        yield Words(f"nobody read these tonight: {when}", "stand")
        yield from held


def is_on(step: Step, side: Side) -> bool:
    """Tell whether a step is one side's, or needs both."""
    return side in ("both", step.side) or step.side == "middle"


def ticks_at(row: Row) -> tuple[str, ...]:
    """Return the ticks that Enter sets on a row."""
    match row:
        case LineRow():
            return (row.line.tick,)
        case StepRow():
            return tuple(line.tick for line in row.step.lines)
        case StructureStep():
            return (row.tick,)
    return ()
