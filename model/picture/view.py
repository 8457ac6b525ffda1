"""Seeing the room along one axis: points, circles and drums as they lie on the page.

Page coordinates are the rig's millimetres with x to the right and y **down**, as SVG has them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from model.picture.boxes import XY, Box
from model.picture.scene import Disc, Vec, View

TOWARD: dict[View, Vec] = {
    "above": (0.0, 0.0, 1.0),
    "front": (0.0, 1.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
}
"""The unit vector from the rig to the eye."""

CAPTIONS: dict[View, tuple[str, str]] = {
    "above": ("From above", "ahead is up the page"),
    "front": ("From the front (audience side)", "the player’s right is on the left"),
    "left": ("From the player’s left", "ahead is on the left"),
}
"""Which view it is, and how it lies, in words."""


def project(point: Vec, view: View) -> XY:
    """Return where a point (mm) lies on the page (mm, y down); directions go the same way."""
    x, y, z = point
    if view == "above":
        return x, -y
    if view == "front":
        return -x, -z
    return -y, -z


def depth(point: Vec, view: View) -> float:
    """Return how near to the eye a point is, in mm; more is nearer."""
    return sum(a * b for a, b in zip(point, TOWARD[view], strict=True))


@dataclass(frozen=True, slots=True)
class Ellipse:
    """A circle seen aslant: its middle, semi-axes (mm), and the turn of ``rx`` in degrees.

    The turn is SVG's: from x towards y down, above -90 and up to 90.
    """

    cx: float
    cy: float
    rx: float
    ry: float
    turn: float

    def at(self, degrees: float, share: float = 1.0) -> XY:
        """Return the point at a parameter angle, at a ``share`` of the way out from the middle."""
        angle, turn = math.radians(degrees), math.radians(self.turn)
        u, v = share * self.rx * math.cos(angle), share * self.ry * math.sin(angle)
        return (
            self.cx + u * math.cos(turn) - v * math.sin(turn),
            self.cy + u * math.sin(turn) + v * math.cos(turn),
        )

    def box(self) -> Box:
        """Return its bounding box, in mm."""
        turn = math.radians(self.turn)
        half_x = math.hypot(self.rx * math.cos(turn), self.ry * math.sin(turn))
        half_y = math.hypot(self.rx * math.sin(turn), self.ry * math.cos(turn))
        return Box(self.cx - half_x, self.cy - half_y, self.cx + half_x, self.cy + half_y)

    def ring(self, points: int = 32) -> tuple[XY, ...]:
        """Return points round it, evenly by parameter."""
        return tuple(self.at(360.0 * i / points) for i in range(points))


def ellipse(centre: Vec, normal: Vec, radius: float, view: View) -> Ellipse:
    """Return a circle (mm, unit normal) as it is seen: semi-axes r and r·|n·toward the eye|.

    The short axis lies along the normal as it is seen, because the longest radius is the one that
    stands across both the normal and the line of sight.
    """
    cx, cy = project(centre, view)
    along_x, along_y = project(normal, view)
    if math.hypot(along_x, along_y) < 1e-9:
        return Ellipse(cx, cy, radius, radius, 0.0)
    turn = math.degrees(math.atan2(along_x, -along_y))
    turn = turn - 180.0 if turn > 90.0 else turn + 180.0 if turn <= -90.0 else turn
    return Ellipse(cx, cy, radius, radius * min(1.0, abs(depth(normal, view))), turn)


@dataclass(frozen=True, slots=True)
class Drum:
    """A drum as it is seen: the end nearer to the eye, the other end, and the shell's two sides.

    Each side runs from the near end to the far one; a drum seen along its axis has none.
    """

    near: Ellipse
    far: Ellipse
    sides: tuple[tuple[XY, XY], tuple[XY, XY]] | None


def drum(disc: Disc, view: View) -> Drum:
    """Return a drum (mm) as it is seen.

    The shell's outline touches both ends where their radius stands across the line of sight: at the
    ends of their long axes.
    """
    (x, y, z), (nx, ny, nz) = disc.centre, disc.normal
    back = (x - nx * disc.depth, y - ny * disc.depth, z - nz * disc.depth)
    head = ellipse(disc.centre, disc.normal, disc.radius, view)
    tail = ellipse(back, disc.normal, disc.radius, view)
    near, far = (head, tail) if depth(disc.normal, view) >= 0 else (tail, head)
    if math.hypot(near.cx - far.cx, near.cy - far.cy) < 0.01:
        return Drum(near, far, None)
    return Drum(near, far, ((near.at(0), far.at(0)), (near.at(180), far.at(180))))


def outer_sweep(start: XY, end: XY, outward: XY) -> int:
    """Return SVG's sweep flag of the half ellipse from ``start`` to ``end`` that bulges outward.

    Sweep 1 goes the way of growing angles, which with y down is clockwise (SVG 1.1, 8.3.8).
    """
    across = (end[0] - start[0]) * outward[1] - (end[1] - start[1]) * outward[0]
    return 1 if across < 0 else 0
