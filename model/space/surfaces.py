"""A playing surface: its lean and toward where, its tilts, the heights of its near and far edge."""

from __future__ import annotations

import numpy as np

from model.rig.part import Piece
from model.space.frames import Array, Frame, dot, scaled, settled, size, unit

NEAR_LEVEL = 1.0
"""Degrees from level, or from upside down, within which toward says little and is not told."""
STANDS = 80.0
"""Degrees of lean over which a surface stands upright (a kick's hoop): it has no near edge."""


def tilts(normal: Array) -> tuple[Array, Array]:
    """Return how far a surface tilts ahead and right (B,), in degrees, + with that edge low.

    Ahead is what a level shows that lies on it along the zero line, seen from above; right is how
    far the normal leans out of the upright plane along the zero line. Both are smooth for a level
    surface and for one that faces the player.
    """
    ahead = np.degrees(np.arctan2(normal[..., 1], normal[..., 2]))
    right = np.degrees(np.arctan2(normal[..., 0], np.hypot(normal[..., 1], normal[..., 2])))
    return ahead, right


def lean_toward(normal: Array) -> tuple[float, float | None]:
    """Return the lean L and toward T of the first of a batch, in degrees.

    normal = (sin L sin T, sin L cos T, cos L): T points to the low edge, clockwise from the zero
    line; None where the surface is nearly level, or nearly upside down.
    """
    x, y, z = (float(v) for v in normal[0])
    lean = float(np.degrees(np.arctan2(np.hypot(x, y), z)))
    if min(lean, 180.0 - lean) < NEAR_LEVEL:
        return lean, None
    return lean, float(np.degrees(np.arctan2(x, y)) % 360.0)


def edge_heights(piece: Piece, surface: Frame, player: Array) -> tuple[float, float] | None:
    """Return the heights of the near and the far edge, mm; None where there are none.

    They are where the upright plane through the player's point and the surface's middle cuts the
    rim; far is away from the player.
    """
    way = surface.at[:1] - player[:1]
    way = way * np.array([[1.0, 1.0, 0.0]])
    normal = surface.z[:1]
    if float(size(way)[0]) < 1.0 or lean_toward(normal)[0] > STANDS:
        return None
    away = unit(way)
    slope = away - scaled(np.array([[0.0, 0.0, 1.0]]), dot(away, normal) / normal[..., 2])
    slope = unit(slope)
    half = half_width(piece, surface, slope)
    if half is None:
        return None
    middle, rise = float(surface.at[0, 2]), float(slope[0, 2]) * half
    return middle - rise, middle + rise


def half_width(piece: Piece, surface: Frame, way: Array) -> float | None:
    """Return how far the rim is from the middle along a unit vector in the surface, mm."""
    if (round_ := piece.shell or piece.disc) is not None:
        return round_.diameter / 2.0
    if piece.slab is None or not settled(surface.x, surface.y):
        return None
    across = abs(float(dot(way, surface.x[:1])[0]))
    along = abs(float(dot(way, surface.y[:1])[0]))
    halves = [
        size_ / 2.0 / share
        for size_, share in ((piece.slab.width, across), (piece.slab.depth, along))
        if share > 1e-12
    ]
    return min(halves)
