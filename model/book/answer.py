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
    """One reading: saved, kept, or refused and why. ``flag`` says what is odd about one taken.

    ``kept`` is the journal that has what the book could not take: it is in the book once the page
    is opened again, or with the next reading that the book takes. ``unconfirmed`` is one that is in
    the page, and whose disk did not say that it stays there.
    """

    line: int | None = None
    setting: str | None = None
    typed: str
    saved: bool
    kept: str | None = None
    unconfirmed: bool = False
    state: State | None = None
    value: float | int | str | None = None
    shown: str | None = None
    before: str | None = None
    flag: str | None = None
    refused: str | None = None
    right: str | None = None


class ReadingsTaken(Frozen):
    """All the readings of one call; ``waited`` are earlier ones that reached the book with it."""

    answer: Literal["read"] = "read"
    version: Literal[1] = 1
    page: str
    path: str
    readings: tuple[ReadingTaken, ...]
    waited: tuple[str, ...] = ()

    @property
    def safe(self) -> int:
        """How many are on the disk: in the book, or in the journal."""
        return sum(reading.saved or reading.kept is not None for reading in self.readings)
