"""How far from home each piece is, how sure that is, and whether it matters."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from model.book.book import Tolerance
from model.compare.answer import owner_name
from model.compare.moves import Move, piece_moves
from model.compare.putback.answer import Reached, Remains
from model.compare.putback.asked import Asked
from model.compare.putback.goal import Goal
from model.compare.settings import difference_of
from model.rig.part import Piece
from model.space.positions import Positions
from model.space.sureness import COVER_95

Tolerances = Sequence[Tolerance]
SLACK = 1e-6
MOST_NAMED = 2
LEAST_SHARE = 0.2
"""A setting that makes less of what a piece is off is not named."""


@dataclass(frozen=True, slots=True)
class Ends:
    """Home, and the rig as it stands or is to stand; ``names`` of the pages from and to."""

    asked: Asked
    home: Positions
    here: Positions
    not_hung: frozenset[str] = frozenset()

    @property
    def names(self) -> tuple[str, str]:
        """The pages' names, home first."""
        return self.asked.names[1], self.asked.names[0]


def remains(goal: Goal, tolerances: Tolerances) -> Iterator[Remains]:
    """Yield what remains of every piece of home when a goal is reached, in the page's order."""
    ends = Ends(goal.basis.asked, goal.basis.home, goal.positions)
    return remains_between(ends, tolerances)


def remains_between(
    ends: Ends, tolerances: Tolerances, *, measured: bool = True
) -> Iterator[Remains]:
    """Yield how far every piece of home is from it; with ``measured`` off not how sure that is."""
    pairs = piece_moves(ends.home, ends.here, ends.names, measured=measured)
    moves = {move.piece: move for move in pairs}
    by_role = {held.id.casefold(): held for held in tolerances}
    for part in ends.asked.wanted.parts:
        if not isinstance(part, Piece):
            continue
        tolerance = by_role.get((part.role or "").casefold())
        move = moves.get(part.id)
        why = _why_unknown(ends, part.id)
        if move is None or why:
            yield _unknown(part, tolerance, why)
        else:
            yield _of_move(ends, part, tolerance, move, measured=measured)


def _of_move(
    ends: Ends, part: Piece, tolerance: Tolerance | None, move: Move, *, measured: bool
) -> Remains:
    distance, tilt = move.distance, math.hypot(*move.by[3:])
    unread = ends.here.rests_in(part.id, "carried") if measured else ()
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
        reached=_told(reached(tolerance, distance, tilt), move),
        unread=unread,
        mostly=tuple(_mostly(ends, part.id)) if measured else (),
    )


def reached(tolerance: Tolerance | None, distance: float, tilt: float) -> Reached:
    """Say whether a piece is home: within its role's tolerance, in mm and in degrees."""
    if tolerance is None or (tolerance.mm is None and tolerance.deg is None):
        return "no tolerance"
    beyond_mm = tolerance.mm is not None and distance > tolerance.mm + SLACK
    beyond_deg = tolerance.deg is not None and tilt > tolerance.deg + SLACK
    return "not home" if beyond_mm or beyond_deg else "home"


def _told(found: Reached, move: Move) -> Reached:
    """Return "not told" for what is beyond its tolerance by less than its readings can tell."""
    if found != "not home" or move.u is None:
        return found
    can_tell = any(abs(by) > COVER_95 * u for by, u in zip(move.by, move.u, strict=True))
    return found if can_tell else "not told"


def _mostly(ends: Ends, piece_id: str) -> Iterator[str]:
    """Yield the settings that make the most of what a piece is off, the largest first.

    To the first order: each one's difference from home times how it moves the middle.
    """
    home, here = ends.home.page, ends.here.page
    sizes: list[tuple[float, str]] = []
    for influence in ends.here.sureness[piece_id].influences:
        key = influence.source.key
        one, two = home.setting(key).value, here.setting(key).value
        if isinstance(one, int | float) and isinstance(two, int | float):
            by = difference_of(one, two, here.declared[key])
            moved = float(np.linalg.norm(influence.by[:3, 0])) * abs(by)
            sizes.append((moved, key))
    whole = sum(size for size, _ in sizes)
    for size, key in sorted(sizes, reverse=True)[:MOST_NAMED]:
        if size > max(0.5, LEAST_SHARE * whole):
            yield key


def _unknown(part: Piece, tolerance: Tolerance | None, why: str) -> Remains:
    return Remains(
        piece=part.id,
        name=part.name,
        role=part.role,
        tolerance_mm=tolerance.mm if tolerance else None,
        tolerance_deg=tolerance.deg if tolerance else None,
        reached="unknown",
        why=why or "its place is not known",
    )


def _why_unknown(ends: Ends, piece_id: str) -> str:
    if piece_id in ends.not_hung:
        return "not hung yet"
    for which, positions in (("at home", ends.home), ("tonight", ends.here)):
        if piece_id not in positions.pieces:
            fault = positions.fault(piece_id) if piece_id in positions.page.by_id else None
            if fault is not None:
                return f"{which}: {fault.what}"
            open_ = [_name(positions, key) for key in positions.open_settings(piece_id)]
            return f"{which}, open: {'; '.join(open_) or 'its place is not known'}"
    return ""


def _name(positions: Positions, key: str) -> str:
    declared = positions.page.declared.get(key)
    return f"{owner_name(positions.page, declared.owner)}, {declared.label}" if declared else key
