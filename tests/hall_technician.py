"""Who carries out a printed list in the hall, knowing its words and nothing else."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from model.readings.angles import ReadFrom
from model.rig.page import Page
from tests.hall import Hall
from tests.hall_noise import Noise
from tests.hall_text import Told, ToldList, ToldStep, Unreadable

STAYED_MM, STAYED_DEG = 0.15, 0.03
"""What is set again to the same words may differ by so much; what is not must not move at all."""
STAYED = 1e-6


class Disturbed(AssertionError):  # noqa: N818
    """A finished move was undone by a later step."""


@dataclass
class Technician:
    """One list carried out: what was finished, and by which step."""

    hall: Hall
    words: Page
    noise: Noise | None = None
    rounding: float = 0.0
    finished: dict[str, tuple[int, float | int]] = field(default_factory=dict)
    again: list[str] = field(default_factory=list)
    loosened: int = 0

    def carry_out(self, told: ToldList) -> None:
        """Do every step in its order."""
        for step in told.steps:
            self.do(step)
        if told.loosenings != self.loosened:
            raise AssertionError(f"{self.loosened} loosened, and {told.loosenings} told")

    def do(self, step: ToldStep) -> None:
        """Loosen what is named, set each line, tighten; then look whether all else stayed."""
        hall = self.hall
        marks = {line.key: hall.own(line.key) for line in step.lines if line.task == "mark"}
        hall.loosen(self._screws(step))
        self.loosened += len(step.loosen)
        for line in step.lines:
            self._line(line, marks)
        if bool(step.loosen) != step.tightens:
            raise Unreadable(f"step {step.number}: tighten or not?")
        self._grips(step)
        hall.tighten()
        self._look(step)

    def _screws(self, step: ToldStep) -> list[str]:
        found = []
        for named, tool, _ in step.loosen:
            screw = self.hall.screws[
                named if named in self.hall.screws else self.hall.by_key[named]
            ]
            if screw.tool != tool or screw.by_hand:
                raise Unreadable(f"step {step.number}: {screw.id} is no {tool}")
            found.append(screw.id)
        return found

    def _line(self, line: Told, marks: dict[str, float | int]) -> None:
        if line.task == "dial":
            return
        if line.task == "mark":
            self.hall.put(line.key, marks[line.key])
            return
        assert line.to is not None
        source, to = self._source(line), line.to
        if self.noise is not None:
            to -= self.noise.error(self.words, line.key, line.using)
        if line.task == "roll":
            assert line.bar is not None
            self.hall.turn_until(line.bar, line.key, to, source)
        else:
            self.hall.put(line.key, self.hall.own_for(line.key, to, source))

    def _source(self, line: Told) -> ReadFrom:
        instrument = self.words.by_instrument.get(line.using or "")
        return (instrument.read_from if instrument else None) or "joint"

    def _grips(self, step: ToldStep) -> None:
        """See that the list says how to share where both grips of a bar are set."""
        keys = {line.key for line in step.lines}
        both = any(set(loop.grips) <= keys for loop in self.hall.loops.all)
        if both and not step.shares:
            raise Unreadable(f"step {step.number}: nothing says what to do with two grips")

    def _look(self, step: ToldStep) -> None:
        """See that what earlier steps finished is as it was left."""
        here = {line.key for line in step.lines if line.task != "dial"}
        for key, (number, value) in self.finished.items():
            off = abs(self._off(key, value))
            if key in here:
                self.again.append(key)
                allowed = STAYED_MM if self._is_length(key) else STAYED_DEG
                allowed = math.inf if self.noise is not None else allowed + self.rounding
            else:
                allowed = STAYED
            if off > allowed:
                raise Disturbed(f"step {step.number} moved {key}, finished in {number}, by {off}")
        for key in here:
            self.finished[key] = step.number, self.hall.own(key)

    def _is_length(self, key: str) -> bool:
        _, joint = self.hall.part_and_joint(key)
        return joint is None or joint.slides is not None

    def _off(self, key: str, value: float | int) -> float:
        off = self.hall.own(key) - value
        return off if self._is_length(key) else (off + 180.0) % 360.0 - 180.0
