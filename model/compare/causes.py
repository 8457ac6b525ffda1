"""Which settings caused how much of a move: each put back alone, and all worked out again."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from model.compare.piece_answer import Cause, Causes
from model.compare.placed import Placed, number
from model.rig.page import Page
from model.space.frames import Array, Frame, settled
from model.space.memo import Unplaced
from model.space.places import Places
from model.space.positions import PlacedPiece, Positions

STRUCTURE = "structure"
"""What settings alone do not account for: parts, hardware, and what is measured otherwise."""

MOST = 5
"""How many settings are named at most."""
ENOUGH = 0.95
"""The share of a move from which on no more settings are named."""
LEAST = 0.005
"""A share of a move under this is not named."""


@dataclass(frozen=True, slots=True)
class PutBack:
    """Where every piece of the second page would be with one setting put back alone.

    ``alone`` is by key, then by piece: its surface; a piece that would have no place is not there.
    ``all`` has every setting put back that can be.
    """

    alone: Mapping[str, Mapping[str, Frame]]
    all: Mapping[str, Frame]


def put_back(placed: Placed) -> PutBack:
    """Put every setting that differs back onto the second page, alone and all together."""
    first, second = placed.own
    differing = [k for k in placed.keys if number(first.page, k) != number(second.page, k)]
    alone: dict[str, dict[str, Frame]] = {}
    for key in differing:
        resting = [held for held in second.pieces.values() if key in held.rests]
        if resting:
            alone[key] = _surfaces(_with(second, first.page, [key]), resting)
    return PutBack(alone, _surfaces(_with(second, first.page, differing), second.pieces.values()))


def _with(second: Positions, first: Page, keys: Sequence[str]) -> Places:
    """Return the second page's places with settings of the first; what rests on none is kept."""
    page = second.page.with_settings({key: first.setting(key) for key in keys})
    kept = second.places.memo.kept_without(frozenset(keys))
    return Places(page, kept=kept, stand_ins=second.places.stand_ins)


def _surfaces(places: Places, pieces: Iterable[PlacedPiece]) -> dict[str, Frame]:
    found: dict[str, Frame] = {}
    for held in pieces:
        try:
            surface = places.surface(held.piece)
        except Unplaced:
            continue
        if settled(surface.at, surface.z):
            found[held.piece.id] = surface
    return found


def causes_of(placed: Placed, back: PutBack, piece: str) -> Causes:
    """Return which settings account for a piece's move, in mm along it."""
    ends = [_middle(positions.pieces[piece].surface) for positions in placed.own]
    return _causes(back, piece, ends, float(np.linalg.norm(ends[1] - ends[0])), _middle)


def tilt_causes_of(placed: Placed, back: PutBack, piece: str, turned: float) -> Causes:
    """Return which settings account for how a surface ``turned``, in degrees of that."""
    ends = [_normal(positions.pieces[piece].surface) for positions in placed.own]
    return _causes(back, piece, ends, turned, _normal)


def _middle(surface: Frame) -> Array:
    middle: Array = surface.at[0]
    return middle


def _normal(surface: Frame) -> Array:
    normal: Array = surface.z[0]
    return normal


def _causes(
    back: PutBack, piece: str, ends: Sequence[Array], whole: float, what: Callable[[Frame], Array]
) -> Causes:
    way = ends[1] - ends[0]
    size = float(way @ way)
    if size == 0.0 or whole == 0.0:
        return Causes()
    amounts = {
        key: float((ends[1] - what(surfaces[piece])) @ way) / size * whole
        for key, surfaces in back.alone.items()
        if piece in surfaces
    }
    if piece in back.all:
        amounts[STRUCTURE] = float((what(back.all[piece]) - ends[0]) @ way) / size * whole
    return _told(amounts, whole)


def _told(amounts: Mapping[str, float], whole: float) -> Causes:
    """Name the largest until nearly all is told; the rest together."""
    told: list[Cause] = []
    rest = whole
    for key, amount in sorted(amounts.items(), key=lambda item: (-abs(item[1]), item[0])):
        share = amount / whole
        done = abs(rest) <= (1.0 - ENOUGH) * whole
        if done or len(told) == MOST or abs(share) < LEAST:
            break
        told.append(Cause(setting=key, amount=round(amount, 6), share=round(share, 6)))
        rest -= amount
    return Causes(of=tuple(told), rest=round(rest, 6) + 0.0)
