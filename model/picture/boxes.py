"""Boxes, segments and outlines on a page: what touches what. Any unit, y down."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

XY = tuple[float, float]
Segment = tuple[XY, XY]


class Box(NamedTuple):
    """An upright box: left, top, right, bottom."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.y1 - self.y0

    @property
    def middle(self) -> XY:
        """The point in the middle."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def moved(self, x: float, y: float) -> Box:
        """Return the box moved."""
        return Box(self.x0 + x, self.y0 + y, self.x1 + x, self.y1 + y)

    def grown(self, by: float) -> Box:
        """Return the box with so much more on every side."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def times(self, factor: float) -> Box:
        """Return the box with every coordinate multiplied."""
        return Box(self.x0 * factor, self.y0 * factor, self.x1 * factor, self.y1 * factor)

    def near(self, other: Box, gap: float = 0.0) -> bool:
        """Tell whether two boxes overlap, or come nearer to each other than ``gap``."""
        return (
            self.x0 < other.x1 + gap
            and other.x0 < self.x1 + gap
            and self.y0 < other.y1 + gap
            and other.y0 < self.y1 + gap
        )

    def holds(self, other: Box, slack: float = 0.0) -> bool:
        """Tell whether the other box lies within this one."""
        return (
            self.x0 <= other.x0 + slack
            and self.y0 <= other.y0 + slack
            and self.x1 >= other.x1 - slack
            and self.y1 >= other.y1 - slack
        )

    def nearest(self, x: float, y: float) -> XY:
        """Return the point of the box that is nearest to a point."""
        return min(max(x, self.x0), self.x1), min(max(y, self.y0), self.y1)


def around(points: Iterable[XY]) -> Box:
    """Return the box around points, of which there is at least one."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def union(boxes: Iterable[Box]) -> Box:
    """Return the box around boxes, of which there is at least one."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return Box(min(x0), min(y0), max(x1), max(y1))


def cuts(segment: Segment, box: Box) -> bool:
    """Tell whether a segment passes through the inside of a box (Liang and Barsky's clipping)."""
    (ax, ay), (bx, by) = segment
    dx, dy = bx - ax, by - ay
    enter, leave = 0.0, 1.0
    for step, gap in (
        (-dx, ax - box.x0),
        (dx, box.x1 - ax),
        (-dy, ay - box.y0),
        (dy, box.y1 - ay),
    ):
        if step == 0:
            if gap <= 0:
                return False
        elif step < 0:
            enter = max(enter, gap / step)
        else:
            leave = min(leave, gap / step)
    return enter < leave


def cross(one: Segment, other: Segment) -> bool:
    """Tell whether two segments cross at a point inside both."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    c_side = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    d_side = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
    a_side = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
    b_side = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
    return c_side * d_side < 0 and a_side * b_side < 0


def hull(points: Iterable[XY]) -> tuple[XY, ...]:
    """Return the convex outline of points (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def half(run: Sequence[XY]) -> list[XY]:
        chain: list[XY] = []
        for point in run:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0:
                chain.pop()
            chain.append(point)
        return chain[:-1]

    return tuple(half(ordered) + half(ordered[::-1]))


def _turn(a: XY, b: XY, c: XY) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def within(point: XY, outline: Sequence[XY]) -> bool:
    """Tell whether a point lies inside a convex outline made by ``hull``."""
    return len(outline) > 2 and all(
        _turn(outline[i - 1], outline[i], point) > 0 for i in range(len(outline))
    )


def along(points: Sequence[XY], share: float) -> XY:
    """Return the point at a share of the length of a line through points."""
    lengths = [math.dist(a, b) for a, b in pairwise(points)]
    left = share * sum(lengths)
    for (a, b), length in zip(pairwise(points), lengths, strict=True):
        if left <= length and length > 0:
            part = left / length
            return a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part
        left -= length
    return points[-1]
