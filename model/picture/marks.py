"""Small signs that have one size on paper: crosses, clamps, and the samples of the legend."""

from __future__ import annotations

import math

from model.picture import style, svg
from model.picture.boxes import XY
from model.picture.moved import head, pen, pointing
from model.picture.tubes import bar_line, broken


def cross(at: XY, arm: float) -> list[str]:
    """Return a small cross, like an x; ``arm`` in user units."""
    x, y = at
    return [
        svg.line((x - arm, y - arm), (x + arm, y + arm)),
        svg.line((x - arm, y + arm), (x + arm, y - arm)),
    ]


def square(at: XY, scale: float) -> str:
    """Return a clamp's small square."""
    side = style.CLAMP * scale
    corner = {"x": at[0] - side / 2, "y": at[1] - side / 2}
    return svg.tag("rect", {**corner, "width": side, "height": side})


def zero(start: XY, end: XY, scale: float) -> list[str]:
    """Return the zero mark at ``start``, and the zero line with its arrow if it is seen."""
    (x, y), arm = start, 1.9 * scale
    shapes = [
        svg.line((x - arm, y), (x + arm, y)),
        svg.line((x, y - arm), (x, y + arm)),
        svg.circle(start, 1.1 * scale),
    ]
    if math.dist(start, end) > 4 * scale:
        shapes.append(svg.line(start, end, stroke_dasharray=svg.dashes(style.CHAIN, scale)))
        tip = head(start, end, 2.2 * scale, 0.7 * scale)
        shapes.append(svg.polyline(tip, stroke_width=style.PIECE * scale))
    return shapes


def sample(sign: str, number: int, start: XY, end: XY, scale: float) -> list[str]:
    """Return what a sign looks like between two points of a level line: for the legend."""
    middle = (start[0] + end[0]) / 2, start[1]
    thin = svg.look(stroke=style.INK, stroke_width=style.MOUNT * scale)
    soft = svg.look(stroke=style.SOFT, stroke_width=style.FLOOR * scale, fill="none")
    if sign == "bar":
        return bar_line((start, end), number, scale)
    if sign == "post":
        return [svg.line(start, end, stroke=style.INK, stroke_width=style.POST * scale)]
    if sign == "mount":
        return [svg.line(start, end, **thin)]
    if sign == "open":
        return [svg.line(start, middle, **thin), broken((start, middle), scale)]
    if sign == "clamp":
        return [svg.tag("g", {"fill": style.INK}, square(middle, scale))]
    if sign == "cross":
        return [svg.group("sign", cross(middle, style.ARM * scale), **thin)]
    if sign == "mark":
        return [svg.group("sign", cross(middle, style.ARM * scale), **soft)]
    if sign == "zero":
        return [svg.group("sign", zero((start[0] + 1.9 * scale, start[1]), end, scale), **soft)]
    if sign == "under":
        dash = svg.dashes(style.UNDER_DASH, scale)
        grey = svg.look(stroke=style.FAINT, stroke_width=style.UNDER * scale)
        return [svg.line(start, end, stroke_dasharray=dash, **grey)]
    return [svg.group("sign", pointing(start, end, scale), **pen(scale))]
