"""The answer for three pages at once: what each setting and piece was at home, last, and now."""

from __future__ import annotations

from typing import Literal

from model.compare.answer import ComparedPage, ComparedPart, RecordedValue
from model.compare.piece_answer import TO_REPORT, ComparedPiece
from model.compare.settings import Verdict
from model.frozen import Frozen
from model.readings.quantity import Quantity


class Against(Frozen):
    """A setting against another page's: the difference in mm, degrees or teeth, and its worth."""

    verdict: Verdict
    difference: float | int | None = None
    u: float | None = None
    converted: bool = False
    why: str | None = None


class ThreeSetting(Frozen):
    """One setting on three pages; null where a page does not declare it.

    ``last_from_home`` and ``this_from_home`` are against home, ``this_from_last`` against the last
    page.
    """

    setting: str
    part: str
    part_name: str
    name: str
    quantity: Quantity
    home: RecordedValue | None = None
    last: RecordedValue | None = None
    this: RecordedValue | None = None
    last_from_home: Against | None = None
    this_from_home: Against | None = None
    this_from_last: Against | None = None

    @property
    def differs(self) -> bool:
        """Whether it moved anywhere between the three."""
        found = (self.last_from_home, self.this_from_home, self.this_from_last)
        return any(one is not None and one.verdict in ("moved", "unsure") for one in found)


class ThreePiece(Frozen):
    """One piece on three pages: its moves from home, and from the last page."""

    id: str
    name: str
    role: str | None = None
    last_from_home: ComparedPiece | None = None
    this_from_home: ComparedPiece | None = None
    this_from_last: ComparedPiece | None = None

    @property
    def differs(self) -> bool:
        """Whether it moved anywhere between the three."""
        found = (self.last_from_home, self.this_from_home, self.this_from_last)
        return any(one is not None and one.verdict in TO_REPORT for one in found)


class ThreeCompared(Frozen):
    """Home, the last page and this one.

    ``last_is`` says how the last page was found, ``notes`` what could not be compared as it was
    meant. ``settings`` are all of this page's and the last one's, in walking order.
    """

    answer: Literal["compare-three"] = "compare-three"
    version: Literal[1] = 1
    home_name: str
    home: ComparedPage
    last: ComparedPage | None = None
    last_is: Literal["begun from", "the one before", "none"]
    this: ComparedPage
    structure_from_home: tuple[ComparedPart, ...] = ()
    structure_from_last: tuple[ComparedPart, ...] = ()
    settings: tuple[ThreeSetting, ...] = ()
    pieces: tuple[ThreePiece, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def something(self) -> bool:
        """Whether there is something to report: this page differs from home."""
        return (
            bool(self.structure_from_home)
            or any(_moved(held.this_from_home) for held in self.settings)
            or any(
                held.this_from_home is not None and held.this_from_home.verdict in TO_REPORT
                for held in self.pieces
            )
        )


def _moved(against: Against | None) -> bool:
    return against is not None and against.verdict in ("moved", "unsure")
