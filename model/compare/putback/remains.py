"""How far from home each piece is when all is done, how sure that is, and whether it matters."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from model.book.book import Tolerance
from model.compare.moves import Move, piece_moves
from model.compare.putback.answer import Reached, Remains
from model.compare.putback.goal import Goal
from model.rig.part import Piece
from model.space.positions import Positions
from model.space.sureness import COVER_95

Tolerances = Sequence[Tolerance]
SLACK = 1e-6


def remains(goal: Goal, tolerances: Tolerances) -> Iterator[Remains]:
    """Yield what remains of every piece of home, in the page's order."""
    asked = goal.basis.asked
    home = Positions(asked.wanted)
    names = asked.names[1], asked.names[0]
    moves = {move.piece: move for move in piece_moves(home, goal.positions, names)}
    by_role = {held.id.casefold(): held for held in tolerances}
    for part in asked.wanted.parts:
        if isinstance(part, Piece):
            tolerance = by_role.get((part.role or "").casefold())
            move = moves.get(part.id)
            if move is None:
                yield _unknown(part, tolerance, _why(goal, home, part.id))
            else:
                yield of_move(part, tolerance, move)


def of_move(part: Piece, tolerance: Tolerance | None, move: Move) -> Remains:
    """Return how far a piece is off, against its tolerance."""
    distance, tilt = move.distance, math.hypot(*move.by[3:])
    return Remains(
        piece=part.id,
        name=part.name,
        role=part.role,
        by=tuple(round(v, 6) + 0.0 for v in move.by),
        u95=None if move.u is None else tuple(round(COVER_95 * u, 6) for u in move.u),
        distance=round(distance, 6),
        tilt=round(tilt, 6),
        tolerance_mm=tolerance.mm if tolerance else None,
        tolerance_deg=tolerance.deg if tolerance else None,
        reached=reached(tolerance, distance, tilt),
    )


def reached(tolerance: Tolerance | None, distance: float, tilt: float) -> Reached:
    """Say whether a piece is home: within its role's tolerance, in mm and in degrees."""
    if tolerance is None or (tolerance.mm is None and tolerance.deg is None):
        return "no tolerance"
    beyond_mm = tolerance.mm is not None and distance > tolerance.mm + SLACK
    beyond_deg = tolerance.deg is not None and tilt > tolerance.deg + SLACK
    return "not home" if beyond_mm or beyond_deg else "home"


def _unknown(part: Piece, tolerance: Tolerance | None, why: str) -> Remains:
    return Remains(
        piece=part.id,
        name=part.name,
        role=part.role,
        tolerance_mm=tolerance.mm if tolerance else None,
        tolerance_deg=tolerance.deg if tolerance else None,
        reached="unknown",
        why=why,
    )


def _why(goal: Goal, home: Positions, piece_id: str) -> str:
    for which, positions in (("at home", home), ("tonight", goal.positions)):
        if piece_id not in positions.pieces:
            fault = positions.fault(piece_id) if piece_id in positions.page.by_id else None
            if fault is not None:
                return f"{which}: {fault.what}"
            missing = ", ".join(positions.open_settings(piece_id)) or "its place is not known"
            return f"{which}: open: {missing}"
    return ""
