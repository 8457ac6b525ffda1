"""Vectors and frames, many at a time: mm and radians, x right, y ahead, z up, right-handed.

Every array has a batch in front: a vector is (B, 3), a number (B,), axes (B, 3, 3) with x, y and z
as columns. One computation gives a page's places, all their derivatives, or a thousand trials;
what is unknown is NaN and stays so.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

X = np.array([[1.0, 0.0, 0.0]])
Y = np.array([[0.0, 1.0, 0.0]])
Z = np.array([[0.0, 0.0, 1.0]])
NAMED: dict[str, Array] = {"x": X, "y": Y, "z": Z, "-x": -X, "-y": -Y, "-z": -Z}
"""The axes that a joint may name, in the frame before it."""

SAME = 1e-7
"""Trials that differ by less than this, mm, show the same place."""


def vector(components: tuple[float, float, float]) -> Array:
    """Return a vector (1, 3)."""
    return np.array([components], dtype=np.float64)


def axis_of(axis: str | tuple[float, float, float]) -> Array:
    """Return a joint's axis as a unit vector (1, 3): ``x`` to ``-z``, or a direction."""
    return NAMED[axis] if isinstance(axis, str) else unit(vector(axis))


def stacked(*columns: Array) -> Array:
    """Return numbers (B,) as the components of a vector, (B, n)."""
    rows = max(len(column) for column in columns)
    out = np.empty((rows, len(columns)))
    for number, column in enumerate(columns):
        out[:, number] = column
    return out


def dot(a: Array, b: Array) -> Array:
    """Return a·b, (B,)."""
    product: Array = np.einsum("...i,...i->...", a, b)
    return product


def cross(a: Array, b: Array) -> Array:
    """Return a × b, (B, 3)."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    return stacked(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)


def size(a: Array) -> Array:
    """Return |a|, (B,)."""
    return np.sqrt(dot(a, a))


def unit(a: Array) -> Array:
    """Return a/|a|, (B, 3); NaN for no direction."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return scaled(a, 1.0 / size(a))


def scaled(a: Array, times: Array | float) -> Array:
    """Return a vector times a number, (B, 3)."""
    return a * (times if isinstance(times, float) else times[..., None])


def square_to(a: Array, axis: Array) -> Array:
    """Return the part of ``a`` at right angles to the unit vector ``axis``, made unit, (B, 3)."""
    return unit(a - scaled(axis, dot(a, axis)))


def heading(turn: Array) -> Array:
    """Return the level direction d(t) = (sin t, cos t, 0): clockwise seen from above, radians."""
    return stacked(np.sin(turn), np.cos(turn), np.zeros_like(turn))


def rotation(axis: Array, angle: Array) -> Array:
    """Return the matrix (B, 3, 3) of a right-handed turn about a unit vector.

    Rodrigues' formula: I + sin θ K + (1 - cos θ) K².
    """
    k = _crossing(axis)
    sin, cos = np.sin(angle)[..., None, None], np.cos(angle)[..., None, None]
    return np.eye(3) + sin * k + (1.0 - cos) * (k @ k)


def _crossing(v: Array) -> Array:
    """Return the matrix K (B, 3, 3) for which K w is v × w."""
    x, y, z = v[..., 0], v[..., 1], v[..., 2]
    none = np.zeros_like(x)
    return stacked(none, -z, y, z, none, -x, -y, x, none).reshape(-1, 3, 3)


def turned(v: Array, axis: Array, angle: Array) -> Array:
    """Return ``v`` turned right-handed about a unit vector, radians, (B, 3)."""
    sin, cos = np.sin(angle)[..., None], np.cos(angle)[..., None]
    along = scaled(axis, dot(axis, v))
    return along + cos * (v - along) + sin * cross(axis, v)


def shortest_turn(a: Array, b: Array) -> Array:
    """Return the matrix (B, 3, 3) that takes the unit vector ``a`` to ``b`` by the shortest way.

    I + K + K²/(1 + a·b) with K of a × b; opposite vectors have no shortest way (NaN).
    """
    k = _crossing(cross(a, b))
    return np.eye(3) + k + (k @ k) / (1.0 + dot(a, b))[..., None, None]


@dataclass(frozen=True, slots=True)
class Frame:
    """A place (B, 3) in mm, and three axes (B, 3, 3) as columns, in the room."""

    at: Array
    axes: Array

    @property
    def x(self) -> Array:
        """The first axis: to the right; r of a clamp."""
        return self.axes[..., 0]

    @property
    def y(self) -> Array:
        """The second axis: outward; o of a clamp."""
        return self.axes[..., 1]

    @property
    def z(self) -> Array:
        """The third axis: along; u of a clamp, a surface's normal."""
        return self.axes[..., 2]

    def out(self, v: Array) -> Array:
        """Return a direction of the frame in the room."""
        direction: Array = (self.axes @ v[..., None])[..., 0]
        return direction

    def shifted(self, v: Array) -> Frame:
        """Return the frame moved by a vector of its own, mm."""
        return Frame(self.at + self.out(v), self.axes)

    def turned(self, axis: Array, angle: Array) -> Frame:
        """Return the frame turned about a unit vector of its own, radians."""
        return Frame(self.at, self.axes @ rotation(axis, angle))


ROOM = Frame(np.zeros((1, 3)), np.eye(3)[None])
"""The zero mark on the rug's top: x to the player's right, y along the zero line, z up."""


def axes_from(x: Array, y: Array, z: Array) -> Array:
    """Return axes (B, 3, 3) from three vectors."""
    x, y, z = np.broadcast_arrays(x, y, z)
    return np.stack((x, y, z), axis=-1)


def finite(*arrays: Array) -> bool:
    """Tell whether the first of each batch is a number throughout."""
    return all(bool(np.isfinite(a[0]).all()) for a in arrays)


def settled(*arrays: Array) -> bool:
    """Tell whether a number is known: finite, and the same in every trial of the batch."""
    return all(
        bool(np.isfinite(a).all()) and (len(a) == 1 or bool((abs(a - a[0]) <= SAME).all()))
        for a in arrays
    )
