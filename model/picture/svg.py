"""SVG as text: elements, numbers, words. The one place where a text becomes markup."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from xml.sax.saxutils import escape, quoteattr

from model.clean import clean
from model.picture import style, text
from model.picture.boxes import XY
from model.picture.view import Ellipse

Attributes = Mapping[str, str | float]


def num(value: float) -> str:
    """Return a number rounded to 0.01, without needless zeros."""
    if not math.isfinite(value):
        raise ValueError(f"not a finite number: {value}")
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short in ("-0", "") else short


def tag(name: str, attributes: Attributes, *inside: str) -> str:
    """Return an element: ``stroke_width`` is written ``stroke-width``; ``inside`` is markup."""
    words = "".join(
        f" {key.replace('_', '-')}={quoteattr(v if isinstance(v, str) else num(v))}"
        for key, v in attributes.items()
    )
    if not inside:
        return f"<{name}{words}/>"
    if len(inside) == 1 and "\n" not in inside[0] and name in ("text", "title", "desc"):
        return f"<{name}{words}>{inside[0]}</{name}>"
    if name == "text":
        return f"<{name}{words}>{''.join(inside)}</{name}>"
    return "\n".join([f"<{name}{words}>", *inside, f"</{name}>"])


def look(**attributes: str | float) -> dict[str, str | float]:
    """Return attributes to be handed on to several elements."""
    return attributes


def group(name: str, inside: Iterable[str], **more: str | float) -> str:
    """Return a group with its class and what it hands down to all in it; nothing if it is empty."""
    parts = [part for part in inside if part]
    return tag("g", {"class": name, **more}, *parts) if parts else ""


def words(said: str) -> str:
    """Return a text cleaned and escaped, as the inside of an element."""
    return escape(clean(said))


def title(said: str) -> str:
    """Return what a reader is told, or sees under the pointer, about the element around it."""
    return tag("title", {}, words(said))


def points(run: Iterable[XY]) -> str:
    """Return points as an attribute's value."""
    return " ".join(f"{num(x)},{num(y)}" for x, y in run)


def line(a: XY, b: XY, **more: str | float) -> str:
    """Return a straight line."""
    return tag("line", {"x1": a[0], "y1": a[1], "x2": b[0], "y2": b[1], **more})


def polyline(run: Iterable[XY], **more: str | float) -> str:
    """Return a line through points."""
    return tag("polyline", {"points": points(run), **more})


def circle(at: XY, radius: float, **more: str | float) -> str:
    """Return a circle."""
    return tag("circle", {"cx": at[0], "cy": at[1], "r": radius, **more})


def ellipse(shape: Ellipse, **more: str | float) -> str:
    """Return an ellipse; one that is seen edge-on is a line, as SVG draws none with a zero axis."""
    if shape.ry < 0.01:
        return line(shape.at(180), shape.at(0), **more)
    place: dict[str, str | float] = {
        "cx": shape.cx, "cy": shape.cy, "rx": shape.rx, "ry": shape.ry,
    }  # fmt: skip
    if num(shape.turn) != "0" and num(shape.rx) != num(shape.ry):
        place["transform"] = f"rotate({num(shape.turn)} {num(shape.cx)} {num(shape.cy)})"
    return tag("ellipse", {**place, **more})


def dashes(pattern: Iterable[float], scale: float) -> str:
    """Return a dash pattern (mm on paper) in user units."""
    return " ".join(num(dash * scale) for dash in pattern)


def written(said: str, at: XY, size: float, *, whole: str = "", **more: str | float) -> str:
    """Return a line of text with its baseline at a point, its letters ``size`` user units high.

    Characters that the table of widths does not know are fitted into the width that was kept for
    them. Where the text was cut, ``whole`` is all of it.
    """
    attributes: dict[str, str | float] = {"x": at[0], "y": at[1], "font_size": size, **more}
    if not text.known(clean(said)):
        attributes["textLength"] = text.width(clean(said)) * size
        attributes["lengthAdjust"] = "spacingAndGlyphs"
    inside = (title(whole),) if whole and clean(whole) != clean(said) else ()
    return tag("text", attributes, *inside, words(said))


def document(paper: tuple[float, float], scale: float, said: tuple[str, str], *inside: str) -> str:
    """Return the whole file: paper in mm, user units of 1/scale mm, its title and description."""
    wide, high = paper
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        + tag(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "width": f"{num(wide)}mm",
                "height": f"{num(high)}mm",
                "viewBox": f"0 0 {num(wide * scale)} {num(high * scale)}",
                "role": "img",
                "font-family": style.FONT,
            },
            title(said[0]),
            tag("desc", {}, words(said[1])),
            tag("rect", {"width": wide * scale, "height": high * scale, "fill": style.PAPER}),
            *inside,
        )
        + "\n"
    )
