"""What a move is worth: against what the readings can tell, and against the role's tolerance."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from model.compare.moves import STILL
from model.compare.piece_answer import Limit, MoveSpread, PieceVerdict, Shift, Tilted
from model.compare.settings import COVERAGE
from model.space.frames import Array

if TYPE_CHECKING:
    from model.book.book import Tolerance

LEAST_TILT = 0.05
"""A surface that turned by less, degrees, stayed as it was."""

SIDEWAYS = 45.0
"""From this lean on a surface stands; a tilt as uncertain as that, degrees, is not told."""


def judged(
    by: Sequence[float], u: Sequence[float], turned: float, limit: Limit | None, *, is_unsure: bool
) -> PieceVerdict:
    """Return what a move is worth.

    ``by`` are mm right, ahead, up and degrees of tilt ahead and right, ``u`` their standard
    uncertainties, ``turned`` the degrees between the surface as it was and as it is. Only those of
    the three ways count against the tolerance in which the readings can tell the move from none.
    """
    if math.hypot(*by[:3]) <= STILL and turned <= LEAST_TILT:
        return "same"
    if is_unsure:
        return "unsure"
    sure = [mm for mm, spread in zip(by[:3], u[:3], strict=True) if is_told(mm, spread, STILL)]
    is_turned = is_tilt_told(by, u)
    if limit is None or (limit.mm is None and limit.deg is None):
        return "moved (no tolerance)" if sure or is_turned else "not told apart"
    steep = limit.deg is not None and turned > limit.deg
    if (limit.mm is not None and math.hypot(*sure) > limit.mm) or (steep and is_turned):
        return "beyond tolerance"
    if steep or (limit.mm is not None and math.hypot(*by[:3]) > limit.mm):
        return "not told apart"
    return "within tolerance" if sure or is_turned else "not told apart"


def is_told(by: float, u: float, least: float) -> bool:
    """Tell whether a difference is more than its readings' uncertainty and than ``least``."""
    return abs(by) > max(COVERAGE * u, least)


def is_tilt_told(by: Sequence[float], u: Sequence[float]) -> bool:
    """Tell whether a surface's tilt changed by more than the readings can tell."""
    return any(is_told(*pair, LEAST_TILT) for pair in zip(by[3:], u[3:], strict=True))


def is_move_told(by: Sequence[float], u: Sequence[float]) -> bool:
    """Tell whether a move, of the middle or of the tilt, is more than the readings can tell."""
    ways = zip(by[:3], u[:3], strict=True)
    return any(is_told(*pair, STILL) for pair in ways) or is_tilt_told(by, u)


def limits_by_role(tolerances: Iterable[Tolerance]) -> dict[str, Limit]:
    """Return the book's tolerances by role, as roles are matched."""
    return {
        role_of(held.id): Limit(mm=held.mm, deg=held.deg, guess=held.guess) for held in tolerances
    }


def role_of(role: str | None) -> str:
    """Return a role as it is matched: spaces and the letters' case do not count."""
    return " ".join((role or "").split()).casefold()


def angle_between(one: Array, other: Array) -> float:
    """Return the degrees between two unit vectors (3,)."""
    half = math.hypot(*(other - one)) / 2.0
    return math.degrees(2.0 * math.asin(min(half, 1.0)))


def shift_of(by: Sequence[float]) -> Shift:
    """Return a move of the middle for an answer, mm to six decimals."""
    right, ahead, up = (round(float(v), 6) + 0.0 for v in by[:3])
    distance = round(math.hypot(*by[:3]), 6)
    return Shift(right=right, ahead=ahead, up=up, distance=distance)


def tilted_of(by: Sequence[float], one: Array, other: Array) -> Tilted:
    """Return a change of tilt for an answer, degrees to six decimals; the normals are unit (3,)."""
    ahead, right = (round(float(v), 6) + 0.0 for v in by[3:])
    steep = math.cos(math.radians(SIDEWAYS))
    return Tilted(
        ahead=ahead,
        right=right,
        turned=round(angle_between(one, other), 6),
        stands=min(abs(float(one[2])), abs(float(other[2]))) < steep,
    )


def spread_of(u: Sequence[float]) -> MoveSpread:
    """Return how sure a move is for an answer."""
    right, ahead, up, tilt_ahead, tilt_right = (round(float(v), 6) for v in u)
    return MoveSpread(
        right=right,
        ahead=ahead,
        up=up,
        tilt_ahead=tilt_ahead if tilt_ahead <= SIDEWAYS else None,
        tilt_right=tilt_right if tilt_right <= SIDEWAYS else None,
    )
