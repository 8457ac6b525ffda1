"""The answer of adopting pieces of a page as home: what ``adopt`` prints, and ``--json``."""

from __future__ import annotations

from typing import Literal

from model.frozen import Frozen
from model.readings.angles import ReadFrom
from model.readings.quantity import Quantity
from model.rig.setting import State

WhyLeft = Literal["carried", "open", "follows", "shared", "check", "floor"]
"""Why home keeps its own: nobody measured it on the page; nothing is known there; it follows from
the rest at home; other pieces hang there too; it is a check that also measures what stays; it is
the house's floor."""


class AdoptedSetting(Frozen):
    """One setting that is home now, in mm, degrees, teeth, or as a dial's.

    ``state`` is the page's, ``reading_page`` where the value was really read, ``before`` what the
    old home says. ``u`` and ``read_from`` are there where they had to be written on its line, so
    that it means the same among the old home's instruments.
    """

    setting: str
    part: str
    part_name: str
    name: str
    quantity: Quantity
    state: State
    value: float | int | str
    reading_page: str
    before: float | int | str | None
    u: float | None = None
    read_from: ReadFrom | None = None
    shared: bool = False


class LeftSetting(Frozen):
    """One setting that home keeps as it was, and why: a word for programs, and words."""

    setting: str
    part: str
    part_name: str
    name: str
    quantity: Quantity
    why: WhyLeft
    words: str
    state: State
    value: float | int | str | None
    home: float | int | str | None


class MovedPiece(Frozen):
    """A piece that was not chosen and is elsewhere in the new home, and by which settings."""

    piece: str
    name: str
    by: tuple[str, ...]


class KeptDetail(Frozen):
    """What is written about a part otherwise on the page, and stays as the old home has it."""

    part: str
    part_name: str
    field: str
    page: str
    home: str


class Adopted(Frozen):
    """A new home: its name and its page, and what of the page is in it.

    ``made`` says that the page was made from ``old_page``; a page named as it is has nothing
    adopted or left.
    """

    answer: Literal["adopt"] = "adopt"
    version: Literal[1] = 1
    home: str
    page: str
    path: str
    first: bool
    made: bool
    closed: bool
    reason: str
    from_page: str
    old_home: str | None = None
    old_page: str | None = None
    pieces: tuple[str, ...] = ()
    adopted: tuple[AdoptedSetting, ...] = ()
    left: tuple[LeftSetting, ...] = ()
    moved: tuple[MovedPiece, ...] = ()
    kept: tuple[KeptDetail, ...] = ()

    @property
    def something(self) -> bool:
        """Whether there is something to report: something left, another piece moved, still open."""
        return bool(self.left or self.moved or self.kept) or not self.closed
