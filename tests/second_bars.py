"""The second computation of places: arcs, and bars in one grip or two."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, root  # type: ignore[import-untyped]
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped]

from model.rig.kind import Outlet
from model.rig.part import Bar, Curve
from tests.second_turns import Array, Unknown, cross, square_to, unit

Residual = Callable[[Sequence[float]], list[float]]
SHORT_MM = 10.0
"""How much shorter than its two grips a whole bar may be, in mm."""


@dataclass(frozen=True, slots=True)
class Arc:
    """A bar's axis as a shape: the radius (None: straight) and the length, where it is known."""

    radius: float | None
    length: float | None

    def chord(self, a: float, b: float) -> float:
        """Return the straight distance from place ``a`` to place ``b``, in mm."""
        if self.radius is None:
            return b - a
        return 2.0 * self.radius * math.sin((b - a) / (2.0 * self.radius))


def arc_of(bar: Bar) -> Arc:
    """Return the shape of a bar's axis."""
    if bar.curve is None:
        return Arc(None, bar.length)
    radius, half = face_arc(bar.curve)
    if bar.curve.face != "axis":
        if bar.tube is None:
            raise Unknown("a face is named and no tube")
        radius += bar.tube / 2.0 * (1.0 if bar.curve.face == "inner" else -1.0)
    return Arc(radius, 2.0 * half * radius)


def face_arc(curve: Curve) -> tuple[float, float]:
    """Return the radius of the face measured to, and half its opening angle in radians."""
    chord, sagitta = curve.chord, curve.sagitta
    arc = curve.length if curve.along == "arc" else None
    if chord is None and curve.along == "chord":
        chord = curve.length
    if chord is not None and sagitta is not None:
        half = 2.0 * math.atan2(2.0 * sagitta, chord)
        radius = chord / 2.0 / math.sin(half)
    elif arc is not None and sagitta is not None:
        half = opening(lambda a: (1.0 - math.cos(a)) / (2.0 * a), sagitta / arc)
        radius = arc / (2.0 * half)
    elif arc is not None and chord is not None:
        half = opening(lambda a: math.sin(a) / a, chord / arc)
        radius = arc / (2.0 * half)
    else:
        raise Unknown("an arc needs two of its measures")
    if half > math.pi / 2.0 + 1e-12:
        raise Unknown("more than half a circle")
    return radius, half


def opening(ratio: Callable[[float], float], target: float) -> float:
    """Return half the opening angle at which a ratio of the arc's measures is the target."""
    low, high = 1e-6, math.pi / 2.0
    if (ratio(low) - target) * (ratio(high) - target) > 0.0:
        raise Unknown("no such arc")
    return float(brentq(lambda a: ratio(a) - target, low, high, xtol=1e-15, rtol=1e-15))


@dataclass(frozen=True, slots=True)
class Run:
    """A bar in the room: one place of its axis with the tangent there.

    On an arc ``bulge`` points outward there, and the point is the arc's centre in place of the
    place itself.
    """

    arc: Arc
    place: float
    point: Array
    tangent: Array
    bulge: Array | None = None
    closure: float | None = None

    def at(self, place: float) -> tuple[Array, Array]:
        """Return the point and the tangent at a place, in mm from end A."""
        if self.arc.radius is None or self.bulge is None:
            return self.point + self.tangent * (place - self.place), self.tangent
        by = (place - self.place) / self.arc.radius
        turn = Rotation.from_rotvec(cross(self.bulge, self.tangent) * by)
        return self.point + self.arc.radius * turn.apply(self.bulge), turn.apply(self.tangent)

    def ends(self) -> tuple[Array, Array | None]:
        end_b = None if self.arc.length is None else self.at(self.arc.length)[0]
        return self.at(0.0)[0], end_b


def bulge_of(line: Array, bow: float, up: Array) -> Array:
    """Return where the bulge points: flat to the right at 0, up at 90."""
    right = unit(cross(line, up))
    return Rotation.from_rotvec(-line * math.radians(bow)).apply(right)  # type: ignore[no-any-return]


def run_through(arc: Arc, place: float, point: Array, tangent: Array, bulge: Array | None) -> Run:
    """Return the bar that has ``point`` at ``place`` with that tangent."""
    if arc.radius is None or bulge is None:
        return Run(arc, place, point, tangent)
    return Run(arc, place, point - arc.radius * bulge, tangent, bulge)


@dataclass(frozen=True, slots=True)
class Hold:
    """How one of two clamps holds a bar: its centre, its rail's tangent, and the way."""

    centre: Array
    rail: Array
    outlet: Outlet
    side: float

    @property
    def away(self) -> float:
        """Axis to axis, or centre to the bar's end, in mm."""
        away = {"beside": self.outlet.standoff, "end": self.outlet.reach, "through": 0.0}
        found = away[self.outlet.holds or "through"]
        if found is None:
            raise Unknown("how far the clamp holds the bar is not told")
        return found

    def start(self, line: Array, first: bool) -> Array:
        """Return a grip to begin with, for a bar along ``line``."""
        if self.outlet.holds == "beside":
            return self.centre + self.away * self.side * unit(cross(line, self.rail))
        if self.outlet.holds == "end":
            return self.centre + self.away * (1.0 if first else -1.0) * square_to(line, self.rail)
        return self.centre

    def misses(self, grip: Sequence[float], line: Sequence[float]) -> list[float]:
        """Return by how much each of three conditions of contact is missed."""
        off = [g - c for g, c in zip(grip, self.centre.tolist(), strict=True)]
        rail = self.rail.tolist()
        if self.away == 0.0:
            return off
        long = math.sqrt(sum(o * o for o in off)) - self.away
        along_rail = sum(o * r for o, r in zip(off, rail, strict=True))
        if self.outlet.holds == "beside":
            return [long, along_rail, sum(o * d for o, d in zip(off, line, strict=True))]
        aside = (
            line[1] * rail[2] - line[2] * rail[1],
            line[2] * rail[0] - line[0] * rail[2],
            line[0] * rail[1] - line[1] * rail[0],
        )
        return [long, along_rail, sum(o * a for o, a in zip(off, aside, strict=True))]


def two_grips(first: Hold, second: Hold) -> tuple[Array, Array]:
    """Return the two grip points: every condition of contact met at once."""
    line = unit(second.centre - first.centre)
    begin = np.concatenate([first.start(line, True), second.start(line, False)])
    if first.away == 0.0 and second.away == 0.0:
        return begin[:3], begin[3:]

    def misses(grips: Sequence[float]) -> list[float]:
        a, b = list(grips[:3]), list(grips[3:])
        apart = math.dist(a, b)
        line = [(q - p) / apart for p, q in zip(a, b, strict=True)]
        return [*first.misses(a, line), *second.misses(b, line)]

    found = polished(misses, root(misses, begin, tol=1e-13).x)
    grips = found[:3], found[3:]
    line = unit(grips[1] - grips[0])
    for hold, grip, is_first in zip((first, second), grips, (True, False), strict=True):
        if float((hold.start(line, is_first) - hold.centre) @ (grip - hold.centre)) < 0.0:
            raise Unknown("the grips were found on the wrong side")
    return grips


def polished(misses: Residual, x: Array) -> Array:
    """Return the solution with what the solver left over taken out by Newton's steps."""
    for _ in range(6):
        off = np.array(misses(x.tolist()))
        if float(np.abs(off).max()) < 1e-12:
            return x
        slopes = np.empty((len(x), len(x)))
        for column in range(len(x)):
            moved = x.copy()
            moved[column] += 1e-5
            slopes[:, column] = (np.array(misses(moved.tolist())) - off) / 1e-5
        x = x - np.linalg.solve(slopes, off)
    if float(np.abs(misses(x.tolist())).max()) > 1e-10:
        raise Unknown("the two grips cannot be met")
    return x


def lay_on(
    arc: Arc,
    grips: tuple[Array, Array],
    places: tuple[float | None, float | None],
    up: Array,
    bow: float | None,
) -> Run:
    """Return a two-grip bar: the chord between its places on the line, middles together."""
    (one, two), (a, b) = grips, places
    apart = math.dist(one.tolist(), two.tolist())
    line = unit(two - one)
    if arc.length is not None and arc.chord(0.0, arc.length) < apart - SHORT_MM:
        raise Unknown("the bar is too short for its grips")
    if a is None or b is None:
        if arc.radius is not None or (a is None and b is None):
            raise Unknown("a place on the bar is open")
        place, grip = (a, one) if a is not None else (b, two)
        assert place is not None
        return Run(arc, place, grip, line)
    if a >= b:
        raise Unknown("end A lies toward the first clamp")
    middle, closure = (one + two) / 2.0, apart - arc.chord(a, b)
    if arc.radius is None:
        return Run(arc, (a + b) / 2.0, middle, line, closure=closure)
    if bow is None:
        raise Unknown("the bow is open")
    bulge = bulge_of(line, bow, up)
    centre = middle - bulge * arc.radius * math.cos((b - a) / (2.0 * arc.radius))
    return Run(arc, (a + b) / 2.0, centre, line, bulge, closure)
