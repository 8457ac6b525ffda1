"""A bar between two clamps: the line past both, and how well the places on the bar agree."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from model.rig.kind import Kind
from model.rig.part import Bar
from model.space.bar_faults import (
    at_one_place,
    cannot_pass,
    cannot_reach,
    check_grips,
    needs_length,
)
from model.space.frames import Array, cross, finite, scaled, settled, size, square_to, unit
from model.space.grips import bulge_of, grip_joints, holding, place_on_bar, standing_off
from model.space.memo import Unplaced
from model.space.rails import Arc, Bow, Line, Rail

if TYPE_CHECKING:
    from model.space.places import Places

MOST_ROUNDS = 200
STILL = 1e-14
LEAST_APART = 1.0
"""Two clamps nearer than this, mm, give a bar no line."""


@dataclass(frozen=True, slots=True)
class Grip:
    """How a clamp holds: its centre on its own rail, the rail's way, how it holds, how far off."""

    at: Array
    tangent: Array
    holds: str
    away: Array


def on_two_grips(
    places: Places, bar: Bar, kind: Kind, bow: Bow | None, length: float | None
) -> tuple[Rail, Array | None]:
    """Return the bar's rail, and its closure (B,) in mm: how much farther apart the two grips are
    than the places on the bar say; None where one of those is not known.

    The line and the points where it passes the clamps depend on each other; they settle fast,
    since a standoff is short against the bar. Raises :class:`Unplaced`.
    """
    grips = [_grip(places, bar, clamp) for clamp in bar.on]
    sides = [-1.0 if side == "left" else 1.0 for side in bar.side or ("right", "right")]
    between = grips[1].at - grips[0].at
    if settled(between) and float(size(between)[0]) < LEAST_APART:
        raise Unplaced(at_one_place(bar))
    along = unit(between)
    for _ in range(MOST_ROUNDS):
        first = _held_at(grips[0], along, sides[0], 1.0)
        second = _held_at(grips[1], along, sides[1], -1.0)
        before, along = along, unit(second - first)
        moved = np.abs(along - before)
        if not np.any(moved > STILL):
            break
    else:
        if settled(along) and float(np.max(moved[0])) > 1e-9:
            raise Unplaced(cannot_pass(bar, float(size(grips[1].at - grips[0].at)[0])))
    apart = size(second - first)
    on_bar = _grip_places(places, bar, kind, length)
    check_grips(bar, on_bar, length)
    whole = None if length is None else _chord(bow, np.array([length]))
    if whole is not None and settled(apart):
        cannot_reach(bar, float(apart[0]), float(whole[0]), length)
    if bow is None and not all(finite(place) for place in on_bar):
        return _by_one_place(first, second, along, on_bar, length), None
    chord = _chord(bow, on_bar[1] - on_bar[0])
    middle = scaled(first + second, 0.5)
    half_way = (on_bar[0] + on_bar[1]) / 2.0
    closure = apart - chord
    if bow is None:
        return Line(middle - scaled(along, half_way), along, length), closure
    bulge = bulge_of(places, bar, kind, along)
    half = chord / 2.0
    down = np.sqrt(bow.radius * bow.radius - half * half)
    centre = middle - scaled(bulge, down)
    return Arc(centre, bow.radius, bulge, along, half_way, bow.length), closure


def _grip(places: Places, bar: Bar, clamp_id: str) -> Grip:
    outlet = holding(places, bar, clamp_id)
    away = standing_off(places, clamp_id, outlet)
    if places.is_plain_clamp(clamp_id):
        at, tangent = places.clamp_on_rail(clamp_id)
    else:
        frame = places.outlet(clamp_id, outlet.id)
        at, tangent = frame.at, frame.z
    return Grip(at, tangent, outlet.holds or "through", away)


def _held_at(grip: Grip, along: Array, side: float, way: float) -> Array:
    """Return where the bar's axis passes the clamp, for a bar that runs ``along``."""
    if grip.holds == "beside":
        return grip.at + scaled(unit(cross(along, grip.tangent)), grip.away * side)
    if grip.holds == "end":
        return grip.at + scaled(square_to(along, grip.tangent), grip.away * way)
    return grip.at


def _chord(bow: Bow | None, between: Array) -> Array:
    return between if bow is None else bow.chord(between)


def _by_one_place(
    first: Array, second: Array, along: Array, on_bar: tuple[Array, Array], length: float | None
) -> Line:
    """Return a straight bar of which only one grip's place is known (NaN for neither)."""
    if finite(on_bar[0]):
        return Line(first - scaled(along, on_bar[0]), along, length)
    return Line(second - scaled(along, on_bar[1]), along, length)


def _grip_places(places: Places, bar: Bar, kind: Kind, length: float | None) -> tuple[Array, Array]:
    """Return the two places on the bar, mm from its end A; NaN where one is open."""
    joints = grip_joints(kind)
    by_id = {joint.id: joint for joint in joints}
    first = by_id.get("grip_a") or (joints[0] if joints else None)
    second = by_id.get("grip_b") or (joints[1] if len(joints) > 1 else None)
    if first is None:
        one = np.zeros(1)
    else:
        one = place_on_bar(places, bar, first, length)
    if second is None or second is first:
        if length is None:
            raise Unplaced(needs_length(bar, "its end B is held"))
        return one, np.array([length])
    return one, place_on_bar(places, bar, second, length)
