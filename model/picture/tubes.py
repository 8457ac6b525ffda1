"""Tubes and rods as lines: posts heavy, bars in their colours and dashes, mounts thin."""

from __future__ import annotations

import math

from model.picture import style, svg
from model.picture.boxes import XY
from model.picture.figure import end_on, run
from model.picture.scene import Tube, View
from model.picture.view import depth, project


def tube_shape(tube: Tube, view: View, scale: float) -> str:
    """Return a tube in a view, in rig mm; a post or a bar that is seen along itself is a circle."""
    points = run(tube, view)
    name = f"{tube.letter}: {tube.name}" if tube.letter else tube.name
    shapes: list[str] = []
    along = end_on(points, 2 * style.POST_END * scale)
    if tube.sort == "mount":
        shapes = [_mount(points, scale)]
    elif tube.sort == "post":
        heavy = svg.look(stroke=style.INK, stroke_width=style.POST * scale)
        shapes = [] if along else [svg.polyline(points, **heavy)]
        shapes += [_end(tube, view, scale)] if along or view == "above" else []
    else:
        shapes = [_end(tube, view, scale)] if along else bar_line(points, tube.number, scale)
    if tube.open_end and not along:
        shapes.append(broken(points, scale))
    return svg.tag("g", {"class": tube.sort}, svg.title(name), *shapes)


def _mount(points: tuple[XY, ...], scale: float) -> str:
    if end_on(points, 0.4 * scale):
        return svg.circle(points[0], style.DOT * scale, fill=style.INK)
    return svg.polyline(points, stroke=style.INK, stroke_width=style.MOUNT * scale)


def bar_line(points: tuple[XY, ...], number: int, scale: float) -> list[str]:
    """Return the ``number``-th bar's line through points, with its casing if it needs one."""
    look = style.bar_style(number)
    lines: list[str] = []
    if look.cased:
        cased = (style.BAR + 2 * style.CASING) * scale
        lines.append(svg.polyline(points, stroke=style.INK, stroke_width=cased))
    seen: dict[str, str | float] = {"stroke": look.colour, "stroke_width": style.BAR * scale}
    if look.dashes:
        seen["stroke_dasharray"] = svg.dashes(look.dashes, scale)
    return [*lines, svg.polyline(points, **seen)]


def _end(tube: Tube, view: View, scale: float) -> str:
    """The end that is nearer to the eye."""
    at = project(max(tube.points, key=lambda point: depth(point, view)), view)
    if tube.sort == "post":
        look = svg.look(fill=style.PAPER, stroke=style.INK, stroke_width=0.55 * scale)
        return svg.circle(at, style.POST_END * scale, **look)
    bar = style.bar_style(tube.number)
    edge = style.INK if bar.cased else bar.colour
    look = svg.look(fill=bar.colour, stroke=edge, stroke_width=style.CASING * scale)
    return svg.circle(at, style.BAR_END * scale, **look)


def broken(points: tuple[XY, ...], scale: float) -> str:
    """A short zigzag across the end: where it ends is not known."""
    x, y = points[-1]
    before = next((p for p in reversed(points) if math.dist(p, (x, y)) > 1e-6), (x - 1, y))
    far = math.dist(before, (x, y))
    u, v = (x - before[0]) / far, (y - before[1]) / far
    zigzag = [(-0.4, -1.9), (0.45, -0.5), (-0.45, 0.5), (0.4, 1.9)]
    shape = [(x + scale * (u * a - v * b), y + scale * (v * a + u * b)) for a, b in zigzag]
    return svg.polyline(shape, stroke=style.INK, stroke_width=0.25 * scale)
