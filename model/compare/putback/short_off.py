"""How far from home a piece is in units of what its player lets pass, and how much that counts."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from model.book.book import Tolerance
from model.compare.putback.basis import Basis
from model.compare.putback.goal import Goal
from model.compare.putback.riding import ridden
from model.rig.part import Piece
from model.rig.setting import Setting
from model.space.frames import Array, Frame, settled
from model.space.memo import Unplaced
from model.space.positions import Positions
from model.space.sureness import outputs_of, short_way

LEFT = 0.05
"""What a setting counts that is not at home, be it a dial, a badge's turn or a joint of a piece
whose place is not known: a twentieth of a tolerance, so that it is set when there is time left."""

FINEST = 0.1
"""A tolerance finer than this, mm or degrees, is taken as this: no reading tells it from none."""

BY_SORT: tuple[tuple[frozenset[str], float, float], ...] = (
    (frozenset({"throne", "stool", "seat", "snare", "pedal"}), 5.0, 3.0),
    (frozenset({"tom", "toms"}), 10.0, 2.0),
)
OTHERS = (20.0, 3.0)
"""Cymbals, and whatever else (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Scale:
    """The distance and the tilt that count as one, mm and degrees, and how much the role counts.

    ``own`` tells that the book says both; else what it leaves open goes by the piece's sort.
    """

    mm: float
    deg: float
    counts: float
    own: bool

    def off(self, away: Array) -> float:
        """Return how far off a piece is: root sum square of its distance and tilt by the scale.

        ``away`` (5,) is what it is away from home: right, ahead, up in mm, tilts in degrees.
        """
        distance, tilt = float(np.linalg.norm(away[:3])), float(np.linalg.norm(away[3:]))
        return math.hypot(distance / self.mm, tilt / self.deg)


def scale_of(piece: Piece, tolerances: Iterable[Tolerance]) -> Scale:
    """Return a piece's scale by its role: the book's tolerance, else that of its sort."""
    role = (piece.role or "").casefold()
    held = next((t for t in tolerances if t.id.casefold() == role), None)
    words = frozenset(role.split())
    sort = next(((mm, deg) for sort, mm, deg in BY_SORT if words & sort), OTHERS)
    mm, deg = (None, None) if held is None else (held.mm, held.deg)
    return Scale(
        max(sort[0] if mm is None else mm, FINEST),
        max(sort[1] if deg is None else deg, FINEST),
        1.0 if held is None else held.counts,
        mm is not None and deg is not None,
    )


class Away:
    """How far from home each piece is with some joints at home; each worked out once.

    A piece's place is made anew only for joints that it rests on.
    """

    def __init__(self, basis: Basis, whole: Goal, tolerances: Iterable[Tolerance]) -> None:
        told = tuple(tolerances)
        self._basis = basis
        self._start = Positions(basis.own_goal(frozenset()))
        self._home: dict[str, Setting] = {
            key: whole.own.setting(key) for key in whole.keys if basis.is_wanted(key)
        }
        self._wanted = basis.home
        pieces = (part for part in basis.asked.wanted.parts if isinstance(part, Piece))
        self.pieces: dict[str, Piece] = {piece.id: piece for piece in pieces}
        self.scales: Mapping[str, Scale] = {
            key: scale_of(piece, told) for key, piece in self.pieces.items()
        }
        self.made = 0
        self._kept: dict[tuple[str, frozenset[str]], Array] = {}
        then = Positions(whole.own)
        self._rests: dict[str, frozenset[str]] = {}
        for key in self.counted:
            self._outputs(then, key)
            rests = self._start.rests("surface", key) | then.rests("surface", key)
            self._rests[key] = rests.intersection(self._home)

    @cached_property
    def counted(self) -> tuple[str, ...]:
        """The pieces whose place is known at home and tonight, in the page's order."""
        known = self._wanted.pieces.keys() & self._start.pieces.keys()
        return tuple(key for key in self.pieces if key in known)

    def rests(self, piece_id: str) -> frozenset[str]:
        """Return the joints that a counted piece's place rests on."""
        return self._rests[piece_id]

    def off(self, piece_id: str, keys: Collection[str]) -> float:
        """Return how far off a counted piece is with ``keys`` at home, as much as it counts.

        Where that leaves its place unknown, it counts as it was tonight: it is no nearer.
        """
        scale = self.scales[piece_id]
        return scale.counts * scale.off(self._away(piece_id, keys))

    def in_tolerances(self, piece_id: str, keys: Collection[str]) -> float:
        """Return how many tolerances off a counted piece is, in distance or tilt, the larger."""
        scale, away = self.scales[piece_id], self._away(piece_id, keys)
        distance, tilt = float(np.linalg.norm(away[:3])), float(np.linalg.norm(away[3:]))
        return max(distance / scale.mm, tilt / scale.deg)

    def _away(self, piece_id: str, keys: Collection[str]) -> Array:
        """Return what a piece is away from home with ``keys`` there, (5,)."""
        at_home = self._rests[piece_id].intersection(keys)
        node = piece_id, at_home
        if node not in self._kept:
            self.made += 1
            self._kept[node] = self._made(piece_id, at_home)
        return self._kept[node]

    def _made(self, piece_id: str, at_home: frozenset[str]) -> Array:
        there = self._outputs(self._start, piece_id)
        if at_home:
            settings = {key: self._home[key] for key in at_home if key in self._home}
            page = ridden(self._basis, self._start.page.with_settings(settings), at_home, {})
            moved = self._outputs(Positions(page, before=self._start), piece_id)
            there = there if moved is None else moved
        home = self._outputs(self._wanted, piece_id)
        assert there is not None
        assert home is not None
        away: Array = short_way(there - home)[0]
        return away

    def _outputs(self, positions: Positions, piece_id: str) -> Array | None:
        piece = positions.page.by_id[piece_id]  # measured as that page says, not as home's
        assert isinstance(piece, Piece)
        try:
            surface = positions.places.surface(piece)
        except Unplaced:
            return None
        if not settled(surface.at, surface.z):
            return None
        return outputs_of(Frame(surface.at[:1], surface.axes[:1]), 1)
