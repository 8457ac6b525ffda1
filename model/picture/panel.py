"""One view with its labels and its caption: how much room it takes, and its markup."""

from __future__ import annotations

from dataclasses import dataclass

from model.picture import style, svg, text
from model.picture.boxes import Box, union
from model.picture.draw import draw, draw_under
from model.picture.figure import extent
from model.picture.ink import Ink
from model.picture.inked import segments
from model.picture.labels import AGAIN, Placed, frame, place
from model.picture.moved import arrow
from model.picture.scene import Scene, View
from model.picture.view import CAPTIONS
from model.picture.wants import Label, Numbers, labels

NAMED: Numbers = {}
_HEAD = 1.15
_AIR = 1.6


@dataclass(frozen=True, slots=True)
class Panel:
    """A view laid out: mm on paper from where the rig's zero is seen; ``frame`` holds it all."""

    view: View
    scale: float
    size: float
    drawing: Box
    frame: Box
    labels: tuple[tuple[Label, Placed], ...] = ()


def bare(scene: Scene, view: View, scale: float, size: float, under: Scene | None) -> Panel:
    """Return a view without its labels: the least room it can take."""
    shown = extent(scene, view)
    if under is not None:
        shown = union([shown, extent(under, view)])
    drawing = shown.times(1 / scale).grown(_AIR)
    return Panel(view, scale, size, drawing, _captioned(drawing, view, size))


def panel(
    scene: Scene,
    view: View,
    scale: float,
    size: float,
    under: Scene | None = None,
    *,
    numbers: Numbers = NAMED,
    alone: bool = False,
    again: int = AGAIN,
) -> Panel:
    """Return a view with every label in its place; ``size`` is that of the letters in mm.

    ``numbers`` stand for the pieces' names, where there are any. ``again`` is how often labels look
    for a better place.
    """
    empty = bare(scene, view, scale, size, under)
    drawn = list(segments(scene, view, scale))
    if under is not None:
        drawn += [(seg, weight * 0.3) for seg, weight in segments(under, view, scale)]
    ink = Ink(
        (((a[0] / scale, a[1] / scale), (b[0] / scale, b[1] / scale)), weight)
        for (a, b), weight in drawn
    )
    wanted = labels(scene, view, scale, size, numbers, alone=alone)
    placed = place([label.want for label in wanted], ink, empty.drawing, again)
    whole = _captioned(frame(placed, empty.drawing), view, size)
    return Panel(view, scale, size, empty.drawing, whole, tuple(zip(wanted, placed, strict=True)))


def _captioned(shown: Box, view: View, size: float) -> Box:
    head, note = CAPTIONS[view]
    wide = max(text.width(head, bold=True) * _HEAD, text.width(note)) * size
    high = (_HEAD + 1.0) * style.LINE * size + 1.0
    return Box(shown.x0, shown.y0 - high, max(shown.x1, shown.x0 + wide), shown.y1)


def markup(laid: Panel, scene: Scene, under: Scene | None = None) -> list[str]:
    """Return a panel's elements, in user units from where the rig's zero is seen."""
    scale = laid.scale
    parts = [] if under is None else [draw_under(under, laid.view, scale)]
    parts += draw(scene, laid.view, scale, laid.drawing.times(scale))
    leaders = [placed.leader for _, placed in laid.labels if placed.leader]
    lines = [svg.line(*_times(leader, scale)) for leader in leaders]
    dots = [
        svg.circle(
            _times(placed.leader, scale)[1], style.DOT * scale, fill=style.INK, stroke="none"
        )
        for label, placed in laid.labels
        if placed.leader and not label.want.stop
    ]
    halo = svg.look(stroke=style.PAPER, stroke_width=style.HALO * scale, stroke_opacity=0.8)
    parts.append(svg.group("clear", lines, **halo))
    soft = svg.look(stroke=style.SOFT, stroke_width=style.LEADER * scale)
    parts.append(svg.group("leaders", [*lines, *dots], **soft))
    parts.append(svg.group("moved", (arrow(moved, laid.view, scale) for moved in scene.arrows)))
    names = [_written(label, placed.box, laid) for label, placed in laid.labels]
    parts.append(svg.group("labels", names, fill=style.INK))
    parts.append(_caption(laid))
    return [part for part in parts if part]


def _times(
    leader: tuple[tuple[float, float], tuple[float, float]], scale: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    (ax, ay), (bx, by) = leader
    return (ax * scale, ay * scale), (bx * scale, by * scale)


def _written(label: Label, box: Box, laid: Panel) -> str:
    if label.sort == "letter":
        return ring(label.said, label.whole, box, laid.size, laid.scale, label.colour)
    scale, size = laid.scale, laid.size * laid.scale
    shown = box.times(scale)
    back = svg.tag(
        "rect",
        {
            "x": shown.x0,
            "y": shown.y0,
            "width": shown.width,
            "height": shown.height,
            "fill": style.PAPER,
            "fill_opacity": 0.82,
        },
    )
    more: dict[str, str | float] = {"text_anchor": "middle"}
    if label.sort == "moved":
        more["font_weight"] = "bold"
    elif label.sort == "floor":
        more["fill"] = style.SOFT
    at = (shown.x0 + shown.x1) / 2, shown.y0 + style.RISE * size
    said = svg.written(label.said, at, size, whole=label.whole, **more)
    return svg.tag("g", {"class": "label"}, back, said)


def ring(
    said: str, whole: str, box: Box, size: float, scale: float, colour: str = style.INK
) -> str:
    """Return a letter in its ring: ``box`` and ``size`` in mm on paper."""
    shown = box.times(scale).grown(-0.15 * scale)
    shape = svg.tag(
        "rect",
        {
            "x": shown.x0,
            "y": shown.y0,
            "width": shown.width,
            "height": shown.height,
            "rx": shown.height / 2,
            "fill": style.PAPER,
            "stroke": colour,
            "stroke_width": 0.3 * scale,
        },
    )
    letters = size * scale * 0.9
    at = (shown.x0 + shown.x1) / 2, (shown.y0 + shown.y1) / 2 + 0.36 * letters
    more = {"text_anchor": "middle", "font_weight": "bold"}
    return svg.tag(
        "g", {"class": "letter"}, shape, svg.written(said, at, letters, whole=whole, **more)
    )


def _caption(laid: Panel) -> str:
    head, note = CAPTIONS[laid.view]
    scale, size = laid.scale, laid.size * laid.scale
    x, top = laid.frame.x0 * scale, laid.frame.y0 * scale
    first = svg.written(
        head, (x, top + style.RISE * _HEAD * size), size * _HEAD, font_weight="bold", fill=style.INK
    )
    below = top + (_HEAD * style.LINE + style.RISE) * size
    return svg.group("caption", [first, svg.written(note, (x, below), size, fill=style.SOFT)])
