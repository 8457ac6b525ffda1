"""The second computation of places: frames as 4x4 matrices, and angles read from elsewhere.

Written from the conventions alone, on scipy's Rotation, to be held against the program.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq  # type: ignore[import-untyped]
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped]

from model.readings.angles import ReadFrom
from model.rig.kind import Axis, Joint

Array = NDArray[np.float64]
UP: Array = np.array([0.0, 0.0, 1.0])
AXES = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


class Unknown(Exception):  # noqa: N818
    """Something that the place rests on is open or at fault."""


def vec(parts: Sequence[float] | Array) -> Array:
    return np.asarray(parts, dtype=np.float64)


def unit(v: Array) -> Array:
    size = math.sqrt(float(v @ v))
    if size < 1e-12:
        raise Unknown("a direction that is nothing")
    return v / size


def cross(a: Array, b: Array) -> Array:
    (ax, ay, az), (bx, by, bz) = a.tolist(), b.tolist()
    return np.array([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx])


def square_to(v: Array, axis: Array) -> Array:
    """Return the direction of the part of ``v`` at right angles to the unit ``axis``."""
    return unit(v - axis * float(v @ axis))


def direction(turn: float) -> Array:
    """Return d(t): clockwise from the zero line, seen from above."""
    return np.array([math.sin(math.radians(turn)), math.cos(math.radians(turn)), 0.0])


def axis_of(axis: Axis) -> Array:
    """Return a named or given axis as a unit vector."""
    if isinstance(axis, str):
        if axis.removeprefix("-") not in AXES:
            raise Unknown(f"{axis} is no axis of a frame")
        return vec(AXES[axis.removeprefix("-")]) * (-1.0 if axis.startswith("-") else 1.0)
    return unit(vec(axis))


def turning(axis: Array, degrees: float) -> Array:
    """Return the 3x3 matrix of a right-handed turn about a unit axis."""
    turned = Rotation.from_rotvec(axis * math.radians(degrees))
    return np.asarray(turned.as_matrix(), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Stand:
    """A frame in the room."""

    pose: Array

    @staticmethod
    def of(origin: Array, x: Array, y: Array, z: Array) -> Stand:
        pose = np.eye(4)
        pose[:3, 0], pose[:3, 1], pose[:3, 2], pose[:3, 3] = x, y, z, origin
        return Stand(pose)

    @property
    def origin(self) -> Array:
        return self.pose[:3, 3]

    def axis(self, column: int) -> Array:
        return self.pose[:3, column]

    def into_room(self, v: Array) -> Array:
        return np.asarray(self.pose[:3, :3] @ v, dtype=np.float64)

    def shifted(self, offset: Sequence[float] | Array) -> Stand:
        move = np.eye(4)
        move[:3, 3] = offset
        return Stand(self.pose @ move)

    def turned(self, axis: Array, degrees: float) -> Stand:
        move = np.eye(4)
        move[:3, :3] = turning(axis, degrees)
        return Stand(self.pose @ move)


ROOM = Stand(np.eye(4))


def upright(axis: Array) -> bool:
    """Whether it is plus or minus z of its frame."""
    return not axis[0] and not axis[1]


def meets(mean: float, cos: float, sin: float, target: float) -> Iterator[float]:
    """Yield the degrees in (-180, 180] where mean + cos·cos θ + sin·sin θ is the target."""
    peak = math.atan2(sin, cos)

    def over(angle: float) -> float:
        return mean + cos * math.cos(angle) + sin * math.sin(angle) - target

    if math.hypot(cos, sin) < 1e-12 or over(peak) < 0.0 or over(peak + math.pi) > 0.0:
        return
    for start, end in ((peak - math.pi, peak), (peak, peak + math.pi)):
        if over(start) * over(end) > 0.0:
            continue  # the two ends are the same trough, rounded twice
        found = float(brentq(over, start, end, xtol=1e-15, rtol=1e-15))
        degrees = math.degrees(math.remainder(found, math.tau))
        yield 180.0 if degrees == -180.0 else degrees


@dataclass(frozen=True, slots=True)
class Hinge:
    """A turning joint where it is: the frame before it, its axis, what a level lies along.

    ``hand`` is for a level on it, ``pointer`` for what is seen from above.
    """

    before: Stand
    axis: Array
    hand: Array
    pointer: Array

    @staticmethod
    def of(before: Stand, joint: Joint) -> Hinge:
        assert joint.turns is not None
        axis = axis_of(joint.turns)
        if joint.level is not None:
            hand = axis_of(joint.level)
        else:
            hand = unit(cross(vec(AXES["y" if upright(axis) else "z"]), axis))
        along_y = not axis[0] and not axis[2]
        return Hinge(before, axis, hand, vec(AXES["x" if along_y else "y"]))

    def at(self, what: Array, degrees: float) -> Array:
        """Return where a direction of the frame after the joint points in the room."""
        return self.before.into_room(turning(self.axis, degrees) @ what)

    def wave(self, what: Array, toward: Array) -> tuple[float, float, float]:
        """Return mean, cos and sin of what(θ)·toward, from three places of the turn."""
        turns = Rotation.from_rotvec([a * self.axis for a in (0.0, math.pi / 2.0, math.pi)])
        rows = turns.apply(what) @ self.before.pose[:3, :3].T
        at_0, at_90, at_180 = (rows @ toward).tolist()
        mean = (at_0 + at_180) / 2.0
        return mean, at_0 - mean, at_90 - mean

    def angle(self, reading: float, source: ReadFrom, gravity: Array) -> float:
        """Return the joint's own degrees for a reading from ``source``."""
        if source == "joint":
            return reading
        if source == "zero line":
            return self._pointing(reading)
        if abs(reading) > 90.0:
            raise Unknown("no level reads over 90")
        up = gravity if source == "gravity" else UP
        target = math.sin(math.radians(reading))
        return nearest_zero(meets(*self.wave(self.hand, up), target))

    def _pointing(self, reading: float) -> float:
        along = direction(reading)
        aside = np.array([along[1], -along[0], 0.0])
        found = meets(*self.wave(self.pointer, aside), 0.0)
        return nearest_zero(a for a in found if float(self.at(self.pointer, a) @ along) > 0.0)


def nearest_zero(angles: Iterator[float]) -> float:
    """Return the one with the smaller size; with none there is no such turn."""
    found = sorted(angles, key=abs)
    if not found:
        raise Unknown("no turn gives this reading")
    return found[0]
