"""The whole sheet: the views at one scale, the legend, the scale bar, and what it says in words."""

from __future__ import annotations

from dataclasses import replace
from itertools import count, islice
from typing import Literal

from model.errors import CannotDo
from model.picture import legend, style, svg, text
from model.picture.boxes import Box
from model.picture.figure import check, empty
from model.picture.labels import AGAIN
from model.picture.layout import Frames, Layout, arrange, scales
from model.picture.panel import NAMED, Panel, bare, markup, panel
from model.picture.scalebar import scale_bar
from model.picture.scene import VIEWS, Disc, Scene, Slab, View
from model.picture.view import CAPTIONS
from model.picture.wants import Numbers
from model.readings.quantity import LengthUnit

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, tuple[str, float, float]] = {
    "a4": ("A4", 297.0, 210.0),
    "letter": ("US Letter", 279.4, 215.9),
}
"""Landscape, in mm: ISO 216's A4, and ANSI/ASME Y14.1's A (US Letter)."""

CAUTION = (
    "Places are worked out from readings. Check with a tape before you build or hang anything."
)
NOTHING = "Nothing is drawn: no part of this page has a place that is known."

_TITLE = 4.4
_SMALLER = 0.85
_TRIED = 4

_Fitted = tuple[list[Panel], Layout, legend.Legend]


def sheet(
    scene: Scene,
    views: tuple[View, ...] = VIEWS,
    paper: Paper = "a4",
    under: Scene | None = None,
    unit: LengthUnit = "mm",
) -> str:
    """Return the sheet as SVG: landscape, in true scale, its user units the rig's millimetres.

    The scale is the largest standard one at which all views fit with their labels. ``under`` is
    another page's scene that lies beneath, grey and dashed. ``unit`` is the scale bar's.
    """
    if not views:
        raise CannotDo("No view was asked for.")
    check(scene)
    if under is not None:
        check(under)
    return _Sheet(scene, tuple(dict.fromkeys(views)), paper, under, unit).svg()


class _Sheet:
    def __init__(
        self,
        scene: Scene,
        views: tuple[View, ...],
        paper: Paper,
        under: Scene | None,
        unit: LengthUnit,
    ) -> None:
        self.scene, self.views, self.under, self.unit = scene, views, under, unit
        self.paper, self.wide, self.high = PAPERS[paper]
        self.inner = Box(0, 0, self.wide, self.high).grown(-style.MARGIN)
        self.not_drawn = _wrapped(scene.left_out, self.inner.width)
        line = style.LINE * style.TEXT
        head = style.LINE * _TITLE + (line + 0.7 if under else 0) + 3.0
        foot = 7.5 + line * len(self.not_drawn) + (1.5 if self.not_drawn else 0)
        self.body = Box(self.inner.x0, self.inner.y0 + head, self.inner.x1, self.inner.y1 - foot)

    def svg(self) -> str:
        """Return the document."""
        if empty(self.scene) and (self.under is None or empty(self.under)):
            return self._document(1.0, [self._nothing()], NOTHING)
        panels, laid, shown = self._fitted()
        scale = panels[0].scale
        parts = [
            svg.group(
                f"view {one.view}",
                markup(one, self.scene, self.under),
                transform=_moved(laid.origins[one.view], scale),
            )
            for one in panels
        ]
        listed = legend.markup(shown, scale)
        parts.append(svg.group("key", [listed], transform=_moved(laid.legend_at, scale)))
        parts += self._scale(scale)
        return self._document(scale, parts, self._described(scale))

    def _fitted(self) -> _Fitted:
        """Return the largest scale at which all fits with names.

        Where none does, numbers stand for the names, and the legend says them; and where that does
        not fit either, the letters are made smaller. Both go on without an end, so that in the end
        all fits.
        """
        pieces: list[Disc | Slab] = [*self.scene.discs, *self.scene.slabs]
        numbers = {p.id: i + 1 for i, p in enumerate(p for p in pieces if p.name)}
        for step in count():
            size = style.TEXT * _SMALLER**step
            for said in (NAMED, numbers):
                found = self._trial(size, said)
                if found:
                    return found
        raise AssertionError("letters can always be smaller")

    def _trial(self, size: float, numbers: Numbers) -> _Fitted | None:
        listed = legend.rows(self.scene, numbers, under=self.under is not None)
        shapes = legend.shapes(listed, size)
        rooms = [shape.room for shape in shapes]

        def fitted(scale: float, again: int) -> _Fitted | None:
            panels = self._panels(scale, size, numbers, again)
            laid = arrange(_frames(panels), rooms, self.body) if panels else None
            return (panels, laid, shapes[laid.legend]) if panels and laid else None

        tried = list(islice((s for s in scales() if self._may(s, size)), _TRIED))
        quick = fitted(tried[-1], 0)
        for scale in tried if quick else ():
            # A first look is quick; only where it fits are the labels placed with care.
            quick = fitted(scale, 0)
            if quick:
                return fitted(scale, AGAIN) or quick
        return None

    def _panels(
        self, scale: float, size: float, numbers: Numbers, again: int
    ) -> list[Panel] | None:
        """The views with their labels, level with each other; none if there is no room at all."""
        panels: list[Panel] = []
        room = self.body.width * self.body.height
        alone = len(self.views) == 1
        for view in self.views:
            one = panel(
                self.scene, view, scale, size, self.under, numbers=numbers, alone=alone, again=again
            )
            room -= one.frame.width * one.frame.height
            if room < 0:
                return None
            panels.append(one)
        top = min((one.frame.y0 for one in panels if one.view != "above"), default=0.0)
        return [
            one if one.view == "above" else replace(one, frame=one.frame._replace(y0=top))
            for one in panels
        ]

    def _may(self, scale: float, size: float) -> bool:
        frames = {v: bare(self.scene, v, scale, size, self.under).frame for v in self.views}
        return arrange(frames, (), self.body) is not None

    def _scale_words(self, scale: float) -> str:
        return f"1:{scale:g} on {self.paper}, printed at full size"

    def _scale(self, scale: float) -> list[str]:
        at = self.inner.x0, self.inner.y1 - 0.7
        bar, wide = scale_bar(scale, self.unit, at, style.TEXT)
        words = svg.written(
            self._scale_words(scale),
            ((at[0] + wide + 6) * scale, at[1] * scale),
            style.TEXT * scale,
            font_weight="bold",
            fill=style.INK,
        )
        return [*bar, words]

    def _nothing(self) -> str:
        x, y = self.body.middle
        return svg.written(NOTHING, (x, y), 4.0, text_anchor="middle", fill=style.INK)

    def _described(self, scale: float) -> str:
        views = "; ".join(f"{CAPTIONS[v][0]}, {CAPTIONS[v][1]}" for v in self.views)
        pieces: list[Disc | Slab] = [*self.scene.discs, *self.scene.slabs]
        names = [piece.name for piece in pieces if piece.name]
        said = f"Line drawing, {self._scale_words(scale)}. {views}. {CAUTION}"
        if names:
            said += f" Pieces: {', '.join(names)}."
        if self.under is not None:
            said += f" Underneath, grey and dashed: {self.under.title}."
        if self.scene.left_out:
            said += f" Not drawn, their place is not known: {', '.join(self.scene.left_out)}."
        return said

    def _document(self, scale: float, parts: list[str], described: str) -> str:
        inner, size = self.inner, style.TEXT * scale
        left, right = inner.x0 * scale, inner.x1 * scale
        said = text.cut(self.scene.title, inner.width / _TITLE, bold=True)
        at = left, (inner.y0 + style.RISE * _TITLE) * scale
        head = [svg.written(said, at, _TITLE * scale, whole=self.scene.title, font_weight="bold")]
        if self.under is not None:
            whole = f"Underneath, grey and dashed: {self.under.title}"
            low = (inner.y0 + style.LINE * _TITLE + 0.7 + style.RISE * style.TEXT) * scale
            said = text.cut(whole, inner.width / style.TEXT)
            head.append(svg.written(said, (left, low), size, whole=whole, fill=style.SOFT))
        rules = [
            svg.line((left, y * scale), (right, y * scale))
            for y in (self.body.y0 - 1.6, self.body.y1 + 1.2)
        ]
        thin = svg.look(stroke=style.FAINT, stroke_width=style.FLOOR * scale)
        line = style.LINE * style.TEXT
        first = inner.y1 - 6.5 - line * len(self.not_drawn)
        foot = [
            svg.written(words, (left, (first + line * i + 2.0) * scale), size)
            for i, words in enumerate(self.not_drawn)
        ]
        low = (inner.y1 - 0.7) * scale
        foot.append(svg.written(CAUTION, (right, low), size, text_anchor="end"))
        groups = [
            svg.group("title", head, fill=style.INK),
            svg.group("rules", rules, **thin),
            *parts,
            svg.group("foot", foot, fill=style.INK),
        ]
        title = self.scene.title or "Line drawing"
        return svg.document((self.wide, self.high), scale, (title, described), *groups)


def _frames(panels: list[Panel]) -> Frames:
    return {one.view: one.frame for one in panels}


def _moved(to: tuple[float, float], scale: float) -> str:
    return f"translate({svg.num(to[0] * scale)} {svg.num(to[1] * scale)})"


def _wrapped(names: tuple[str, ...], wide: float, most: int = 3) -> list[str]:
    """The names that are not drawn, over a few lines; those for which there is no room, counted."""
    if not names:
        return []
    room = wide / style.TEXT
    lines = ["Not drawn, place not known: "]
    for i, name in enumerate(names):
        said = text.cut(name, style.LONGEST_LABEL / style.TEXT)
        said += ", " if i + 1 < len(names) else ""
        spare = text.width("and 0000 more") if len(lines) == most else 0.0
        if text.width(lines[-1] + said) + spare > room:
            if len(lines) == most:
                lines[-1] += f"and {len(names) - i} more"
                break
            lines.append("")
        lines[-1] += said
    return [line.rstrip() for line in lines]
