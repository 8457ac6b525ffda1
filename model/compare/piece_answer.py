"""What an answer says of a piece on two pages: how it moved, what that is worth, what caused it."""

from __future__ import annotations

from typing import Literal

from model.frozen import Frozen

PieceVerdict = Literal[
    "beyond tolerance",
    "moved (no tolerance)",
    "unsure",
    "within tolerance",
    "not told apart",
    "same",
    "not measured",
    "unknown",
    "only on the first",
    "only on the second",
]
"""Farther than its role's tolerance; moved, and its role has none; different, and how sure is not
known; moved by less than its tolerance; by less than the readings can tell, or no one can tell
whether by more than its tolerance; where it was; nothing measured moved it, and not all it rests on
was measured; its place is not known on one of the pages; not on both pages."""

PIECE_VERDICTS: tuple[PieceVerdict, ...] = (
    "beyond tolerance",
    "moved (no tolerance)",
    "unsure",
    "within tolerance",
    "not told apart",
    "same",
    "not measured",
    "unknown",
    "only on the first",
    "only on the second",
)

TO_REPORT: frozenset[PieceVerdict] = frozenset(
    {"beyond tolerance", "moved (no tolerance)", "unsure", "within tolerance"}
)
"""What says that a piece moved."""


class Shift(Frozen):
    """How far the middle of a surface moved, mm: to the player's right, ahead, up."""

    right: float
    ahead: float
    up: float
    distance: float


class Tilted(Frozen):
    """How a surface's tilt changed, degrees: + its far edge went down, + its right edge did.

    ``turned`` is the angle between the surface as it was and as it is. One that ``stands`` faces
    more to a side than up: its edges go aside as it turns, and no edge goes down for sure.
    """

    ahead: float
    right: float
    turned: float
    stands: bool = False


class MoveSpread(Frozen):
    """The standard uncertainty of a move, mm and degrees, of each of the five.

    A tilt's is null where it is more than half a quarter turn: the surface faces sideways.
    """

    right: float
    ahead: float
    up: float
    tilt_ahead: float | None
    tilt_right: float | None


class Limit(Frozen):
    """How far off the player lets it be, from the book, by its role: mm and degrees."""

    mm: float | None = None
    deg: float | None = None
    guess: bool = False


class Cause(Frozen):
    """How much of a move one setting accounts for: put back alone, the piece goes back so far
    along its move (mm), or its surface turns so far back along its turn (degrees).

    ``setting`` is a key, or ``structure``: parts, hardware, and what is measured in another way.
    """

    setting: str
    amount: float
    share: float


class Causes(Frozen):
    """The settings that account for most of a move, the largest first.

    ``rest`` is what the others account for together, and what settings do together that none does
    alone: all of them and the rest are the whole.
    """

    of: tuple[Cause, ...] = ()
    rest: float = 0.0


class ComparedPiece(Frozen):
    """One piece of two pages: how it moved from the first to the second.

    Everything is as far as it was measured: what was carried on one of the pages counts as not
    moved, and is under ``not_measured`` where the piece rests on it. ``beyond`` says that the move
    is more than the readings can tell, ``unsure`` names the settings of which nobody said how sure
    they are. ``assumed`` are open on both pages, and taken at the same value.
    """

    id: str
    name: str
    role: str | None = None
    verdict: PieceVerdict
    move: Shift | None = None
    tilt: Tilted | None = None
    u: MoveSpread | None = None
    beyond: bool = False
    tolerance: Limit | None = None
    causes: Causes = Causes()
    tilt_causes: Causes = Causes()
    not_measured: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    why: str | None = None
