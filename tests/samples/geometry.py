"""The little geometry that sample rigs need: vectors, frames, posts, bars. mm and degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass

Vec = tuple[float, float, float]
UP: Vec = (0.0, 0.0, 1.0)


def add(a: Vec, b: Vec, times: float = 1.0) -> Vec:
    return (a[0] + b[0] * times, a[1] + b[1] * times, a[2] + b[2] * times)


def sub(a: Vec, b: Vec) -> Vec:
    return add(a, b, -1.0)


def scaled(a: Vec, times: float) -> Vec:
    return (a[0] * times, a[1] * times, a[2] * times)


def dot(a: Vec, b: Vec) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def size(a: Vec) -> float:
    return math.sqrt(dot(a, a))


def unit(a: Vec) -> Vec:
    return scaled(a, 1.0 / size(a))


def turned(v: Vec, axis: Vec, degrees: float) -> Vec:
    """Turn ``v`` about ``axis``, right-handed."""
    k, t = unit(axis), math.radians(degrees)
    along = scaled(k, dot(k, v) * (1.0 - math.cos(t)))
    return add(add(scaled(v, math.cos(t)), cross(k, v), math.sin(t)), along)


def heading(turn: float) -> Vec:
    """The level direction that is ``turn`` degrees clockwise from straight ahead."""
    return (math.sin(math.radians(turn)), math.cos(math.radians(turn)), 0.0)


def square_to(v: Vec, axis: Vec) -> Vec:
    """The part of ``v`` at right angles to ``axis``, made unit."""
    return unit(add(v, axis, -dot(v, axis)))


def pitch(v: Vec, up: Vec) -> float:
    """Degrees that ``v`` points above what is level where ``up`` is up."""
    return math.degrees(math.asin(max(-1.0, min(1.0, dot(unit(v), up)))))


def up_by_gravity(slope_ahead: float, slope_right: float) -> Vec:
    """Gravity's up, seen from a riser that rises ahead and to the right by these degrees."""
    x, y = math.sin(math.radians(slope_right)), math.sin(math.radians(slope_ahead))
    return (x, y, math.sqrt(1.0 - x * x - y * y))


@dataclass(frozen=True, slots=True)
class Frame:
    """A place and three axes: x right, y outward, z along."""

    at: Vec
    x: Vec
    y: Vec
    z: Vec

    def out(self, v: Vec) -> Vec:
        """A direction of the frame, in the room."""
        return add(add(scaled(self.x, v[0]), self.y, v[1]), self.z, v[2])

    def shifted(self, v: Vec) -> Frame:
        return Frame(add(self.at, self.out(v)), self.x, self.y, self.z)

    def turned(self, axis: Vec, degrees: float) -> Frame:
        about = self.out(axis)
        x, y, z = (turned(v, about, degrees) for v in (self.x, self.y, self.z))
        return Frame(self.at, x, y, z)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight rail: end A, the way to end B, and where a clamp's zero spin points."""

    start: Vec
    along: Vec
    zero: Vec

    def at(self, place: float) -> Vec:
        return add(self.start, self.along, place)

    def tangent(self, place: float) -> Vec:
        return self.along

    def normal(self, place: float) -> Vec:
        return self.zero


@dataclass(frozen=True, slots=True)
class Arc:
    """A curved rail: centre, radius, the bulge's direction, the chord's, the place between them."""

    centre: Vec
    radius: float
    bulge: Vec
    along: Vec
    middle: float

    def _angle(self, place: float) -> float:
        return (place - self.middle) / self.radius

    def at(self, place: float) -> Vec:
        t = self._angle(place)
        away = add(scaled(self.bulge, math.cos(t)), self.along, math.sin(t))
        return add(self.centre, away, self.radius)

    def tangent(self, place: float) -> Vec:
        t = self._angle(place)
        return add(scaled(self.along, math.cos(t)), self.bulge, -math.sin(t))

    def normal(self, place: float) -> Vec:
        return square_to(UP, self.tangent(place))


Rail = Line | Arc


def clamp_frame(rail: Rail, place: float, spin: float) -> Frame:
    """The frame (r, o, u) of a clamp; spin is clockwise seen from B, zero at the normal."""
    u = rail.tangent(place)
    o = turned(rail.normal(place), scaled(u, -1.0), spin)
    return Frame(rail.at(place), cross(o, u), o, u)


def radius_of(chord: float, sagitta: float) -> float:
    return chord * chord / (8.0 * sagitta) + sagitta / 2.0


def radius_of_arc(length: float, sagitta: float) -> float:
    """The radius of an arc of that length and sagitta, by halving."""
    low, high = length / math.pi, length * length / sagitta
    for _ in range(80):
        radius = (low + high) / 2.0
        if radius * (1.0 - math.cos(length / (2.0 * radius))) > sagitta:
            low = radius
        else:
            high = radius
    return (low + high) / 2.0


def chord_between(radius: float | None, first: float, second: float) -> float:
    """How far two places of a bar are from each other, in a straight line."""
    if radius is None:
        return second - first
    return 2.0 * radius * math.sin((second - first) / (2.0 * radius))


def place_at_chord(radius: float | None, first: float, chord: float) -> float:
    """The place that is ``chord`` in a straight line from the place ``first``."""
    if radius is None:
        return first + chord
    return first + 2.0 * radius * math.asin(chord / (2.0 * radius))


def grips_on_posts(p: Vec, q: Vec, aside_p: float, aside_q: float) -> tuple[Vec, Vec]:
    """Where a level-viewed straight bar passes two upright posts, so far to the right of each."""
    flat = (q[0] - p[0], q[1] - p[1], 0.0)
    apart = size(flat)
    # The bar's line is square to its offsets: their difference turns it from the posts' line.
    toe = math.degrees(math.asin((aside_p - aside_q) / apart))
    along = turned(unit(flat), UP, toe)
    right = cross(along, UP)
    return add(p, right, aside_p), add(q, right, aside_q)
