"""Arrows for what moved: a ring where it was, a head where it is now."""

from __future__ import annotations

import math

from model.picture import style, svg
from model.picture.boxes import XY
from model.picture.scene import Arrow, View
from model.picture.view import depth, project

RING = 1.15
_HEAD = 2.4
_HALF = 0.8
_TAIL = 1.6


def head(start: XY, end: XY, length: float, half: float) -> tuple[XY, XY, XY]:
    """Return the three points of an arrow's head whose tip, the second, lies at ``end``."""
    far = math.dist(start, end)
    x, y = (end[0] - start[0]) / far, (end[1] - start[1]) / far
    back = end[0] - x * length, end[1] - y * length
    return (
        (back[0] - y * half, back[1] + x * half),
        end,
        (back[0] + y * half, back[1] - x * half),
    )


def arrow(moved: Arrow, view: View, scale: float) -> str:
    """Return an arrow whose tip lies truly at its end, however short it is.

    The head has its own size on paper: on a move of a few millimetres it reaches back over the
    ring, and a tail goes on behind, so that the way it points is still seen. A move along the line
    of sight is a ring with a dot (towards the eye) or a cross (away), as for a current in a wire.
    """
    start, end = project(moved.start, view), project(moved.end, view)
    towards = depth(moved.end, view) - depth(moved.start, view)
    seen = math.dist(start, end) >= 0.1 * scale
    shapes = pointing(start, end, scale) if seen else _along_sight(start, towards, scale)
    return svg.tag("g", {"class": "arrow", **pen(scale)}, svg.title(moved.words), *shapes)


def pen(scale: float) -> dict[str, str | float]:
    """Return how an arrow is drawn."""
    return {"stroke": style.INK, "stroke_width": style.MOVED * scale, "fill": "none"}


def reach(start: XY, end: XY, scale: float) -> XY:
    """Return where an arrow's line begins: at its start, or behind it if it is a short one."""
    far = math.dist(start, end)
    if far < 0.1 * scale:
        return start
    part = max(1.0, (_HEAD + _TAIL) * scale / far)
    return end[0] - (end[0] - start[0]) * part, end[1] - (end[1] - start[1]) * part


def pointing(start: XY, end: XY, scale: float) -> list[str]:
    """Return the shapes of an arrow between two points of the page."""
    far = math.dist(start, end)
    x, y = (end[0] - start[0]) / far, (end[1] - start[1]) / far
    tail = reach(start, end, scale)
    back = end[0] - x * _HEAD * scale, end[1] - y * _HEAD * scale
    tip = head(start, end, _HEAD * scale, _HALF * scale)
    ring = RING * scale
    if far > ring + _HEAD * scale:
        tail = start[0] + x * ring, start[1] + y * ring
    return [
        svg.line(start, end, stroke=style.PAPER, stroke_width=1.3 * scale),
        svg.line(tail, back),
        svg.tag("polygon", {"points": svg.points(tip), "fill": style.INK, "stroke": "none"}),
        svg.circle(start, ring, stroke_width=style.PIECE * scale),
    ]


def _along_sight(at: XY, towards: float, scale: float) -> list[str]:
    x, y = at
    ring = svg.circle(at, RING * scale, fill=style.PAPER, stroke_width=style.PIECE * scale)
    if towards > 0:
        return [ring, svg.circle(at, 0.4 * scale, fill=style.INK, stroke="none")]
    if towards < 0:
        arm = 0.75 * scale
        return [
            ring,
            svg.line((x - arm, y - arm), (x + arm, y + arm)),
            svg.line((x - arm, y + arm), (x + arm, y - arm)),
        ]
    return [ring]
