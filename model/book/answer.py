"""The answers of beginning a page and of taking readings: what is printed, and ``--json``."""

from __future__ import annotations

from typing import Literal

from model.frozen import Frozen
from model.rig.setting import State


class Begun(Frozen):
    """A page that was begun: where it is, from which, and what it starts with."""

    answer: Literal["begin"] = "begin"
    version: Literal[1] = 1
    page: str
    path: str
    begun_from: str
    counts: dict[str, int]


class ReadingTaken(Frozen):
    """One reading: saved, or refused and why. ``flag`` says what is odd about a saved one."""

    line: int | None = None
    setting: str | None = None
    typed: str
    saved: bool
    state: State | None = None
    value: float | int | str | None = None
    shown: str | None = None
    before: str | None = None
    flag: str | None = None
    refused: str | None = None
    right: str | None = None


class ReadingsTaken(Frozen):
    """All the readings of one call."""

    answer: Literal["read"] = "read"
    version: Literal[1] = 1
    page: str
    path: str
    readings: tuple[ReadingTaken, ...]

    @property
    def saved(self) -> int:
        """How many are on the disk."""
        return sum(reading.saved for reading in self.readings)
