"""Rails: the line of a post or a straight bar, the arc of a curved one; a clamp's frame on them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from model.errors import Problem
from model.rig.part import Bar, Curve
from model.rig.record_flags import flag_of
from model.space.frames import Array, Frame, axes_from, cross, scaled, turned


@dataclass(frozen=True, slots=True)
class Line:
    """A straight rail: end A, the way to end B, its length in mm where it is known.

    ``highest`` is where an inner tube in it ends, mm from A.
    """

    start: Array
    along: Array
    length: float | None = None
    highest: Array | None = None

    def at(self, place: Array) -> Array:
        """Return the point (B, 3) at a place in mm from A."""
        return self.start + scaled(self.along, place)

    def tangent(self, _place: Array) -> Array:
        """Return the way to B, (B, 3)."""
        return self.along


@dataclass(frozen=True, slots=True)
class Arc:
    """A curved rail in the plane of ``along`` and ``bulge``; its ``middle`` place bulges most.

    Places are mm of arc from end A; ``along`` is its chord's way, A to B.
    """

    centre: Array
    radius: float
    bulge: Array
    along: Array
    middle: Array
    length: float | None = None
    highest: None = None

    def at(self, place: Array) -> Array:
        """Return the point (B, 3) at a place in mm from A."""
        t = (place - self.middle) / self.radius
        away = scaled(self.bulge, np.cos(t)) + scaled(self.along, np.sin(t))
        return self.centre + scaled(away, self.radius)

    def tangent(self, place: Array) -> Array:
        """Return the way to B at a place, (B, 3)."""
        t = (place - self.middle) / self.radius
        return scaled(self.along, np.cos(t)) - scaled(self.bulge, np.sin(t))


Rail = Line | Arc


def clamp_frame(at: Array, tangent: Array, zero: Array, spin: Array) -> Frame:
    """Return a clamp's frame (r, o, u); ``spin`` in radians, clockwise seen from B looking to A."""
    outward = turned(zero, -tangent, spin)
    return Frame(at, axes_from(cross(outward, tangent), outward, tangent))


@dataclass(frozen=True, slots=True)
class Bow:
    """A bar's own curve to its axis: radius and arc length in mm."""

    radius: float
    length: float

    def chord(self, between: Array) -> Array:
        """Return the straight distance of two places ``between`` mm of arc apart."""
        return 2.0 * self.radius * np.sin(between / (2.0 * self.radius))


def bow_of(bar: Bar, curve: Curve) -> Bow | Problem:
    """Return a curved bar's radius and length from two of its chord, sagitta and nominal length.

    R = c²/8s + s/2, from the triangle of half the chord, R and R - s.
    """
    key = f"part.{bar.id}.curve"
    chord = curve.length if curve.along == "chord" and curve.chord is None else curve.chord
    arc = curve.length if curve.along == "arc" else None
    sagitta = curve.sagitta
    if chord is not None and arc is not None and arc <= chord:
        return flag_of(
            "short-arc",
            key,
            f"{bar.name}: its arc of {arc:g} mm is no longer than its chord of {chord:g} mm",
            "an arc is longer than its chord",
            "the arc along the tube, and the chord straight from end to end",
        )
    if chord is not None and sagitta is not None:
        if sagitta > chord / 2.0:
            return flag_of(
                "deep-sagitta",
                key,
                f"{bar.name}: its sagitta of {sagitta:g} mm is over half its chord of {chord:g} mm",
                "that would be more than half a circle",
                f"at most {chord / 2.0:g}",
            )
        radius = chord * chord / (8.0 * sagitta) + sagitta / 2.0
        half = math.asin(min(chord / (2.0 * radius), 1.0))
    elif arc is not None and sagitta is not None:
        # s/L = (1 - cos t)/2t for half the angle t, which rises up to half a circle.
        if sagitta > arc / math.pi:
            return flag_of(
                "deep-sagitta",
                key,
                f"{bar.name}: its sagitta of {sagitta:g} mm is too much for an arc of {arc:g} mm",
                "that would be more than half a circle",
                f"at most {arc / math.pi:.1f}",
            )
        half = _halved(lambda t: math.sin(t / 2.0) ** 2 / t, sagitta / arc)
        radius = arc / (2.0 * half)
    elif arc is not None and chord is not None:
        # c/L = sin t / t falls as t grows.
        if chord / arc < 2.0 / math.pi:
            return flag_of(
                "short-chord",
                key,
                f"{bar.name}: its chord of {chord:g} mm is too short for an arc of {arc:g} mm",
                "that would be more than half a circle",
                f"at least {arc * 2.0 / math.pi:.1f}",
            )
        half = _halved(lambda t: -math.sin(t) / t, -chord / arc)
        radius = arc / (2.0 * half)
    else:
        return flag_of(
            "unknown-curve",
            key,
            f"{bar.name}: how it curves is not known",
            "two of chord, sagitta and a length that says along what",
            "curve = { chord = 1000.0, sagitta = 100.0 }",
        )
    if curve.face != "axis":
        if bar.tube is None:
            return flag_of(
                "no-tube",
                key,
                f"{bar.name}: its curve is measured on the {curve.face} face, and its tube's size "
                "is not known",
                right="tube = 38.1",
            )
        radius += bar.tube / 2.0 if curve.face == "inner" else -bar.tube / 2.0
    return Bow(radius, 2.0 * radius * half)


def _halved(rises: Callable[[float], float], wanted: float) -> float:
    """Return t in (0, π/2] where a function that rises has a value, by halving."""
    low, high = 0.0, math.pi / 2.0
    for _ in range(200):
        middle = (low + high) / 2.0
        if middle in (low, high):
            break
        low, high = (middle, high) if rises(middle) < wanted else (low, middle)
    return high
