"""Which labels a view wants, how large they are, and where each would best stand. Paper mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from model.picture import style, text
from model.picture.boxes import XY, Box, along, around, within
from model.picture.figure import end_on, outline, run
from model.picture.labels import ON_LINE, Foot, Spot, Want
from model.picture.scene import Disc, Scene, Slab, Tube, View
from model.picture.view import drum, project

_PAD = 0.4
_SHARED = 3.0
"""What it costs to point at, or to stand on, a place that belongs to another piece too."""


@dataclass(frozen=True, slots=True)
class Label:
    """A label to be written: its words as they are cut, and whole; a letter stands in a ring."""

    want: Want
    said: str
    whole: str
    sort: Literal["name", "letter", "moved", "floor"] = "name"
    colour: str = style.INK


Numbers = Mapping[str, int]
"""The number that stands for a piece's name, by the piece's id; none where names are written."""


def labels(
    scene: Scene, view: View, scale: float, size: float, numbers: Numbers, *, alone: bool
) -> list[Label]:
    """Return the labels of a view, those with the least choice first.

    ``size`` is that of the letters (mm on paper). Floor marks are named from above, and in any
    view that stands ``alone`` on its sheet.
    """
    rings = [t for t in scene.tubes if t.sort != "mount" and t.letter]
    named = [t for t in scene.tubes if t.sort != "mount" and t.name and not t.letter]
    found = [_ring(tube, view, scale, size) for tube in rings]
    found += [_tube_name(tube, view, scale, size) for tube in named]
    for moved in scene.arrows:
        start, end = project(moved.start, view), project(moved.end, view)
        feet = tuple(Foot(x / scale, y / scale) for x, y in (start, end))
        want = _sized(moved.id, moved.words, size, feet, bare=2.6, stop=1.5, bold=True)
        found.append(_label(want, moved.words, "moved"))
    found += _pieces(scene, view, scale, size, numbers)
    if view == "above" or alone:
        for mark in scene.marks:
            found.append(_floor(mark.id, mark.name, project(mark.at, view), scale, size))
    if view == "above":
        start, end = (project(point, view) for point in scene.zero_line)
        found.append(_floor("zero mark", "zero", start, scale, size))
        found.append(_floor("zero line", "ahead", end, scale, size))
    return [label for label in found if label.whole]


def _label(want: Want, said: str, sort: Literal["name", "moved", "floor"] = "name") -> Label:
    return Label(want, _cut(said, bold=sort == "moved"), said, sort)


def _cut(said: str, *, bold: bool) -> str:
    """Words that say how far something moved are bold, and may be longer than a name."""
    longest = style.LONGEST_WORDS if bold else style.LONGEST_LABEL
    return text.cut(said, longest / style.TEXT, bold=bold)


def _sized(
    key: str,
    said: str,
    size: float,
    feet: tuple[Foot, ...],
    spots: tuple[Spot, ...] = (),
    *,
    bare: float = 0.0,
    stop: float = 0.0,
    bold: bool = False,
) -> Want:
    width = text.width(_cut(said, bold=bold), bold=bold)
    return Want(key, width * size + 2 * _PAD, style.LINE * size, feet, spots, bare, stop)


def _floor(key: str, said: str, at: XY, scale: float, size: float) -> Label:
    foot = (Foot(at[0] / scale, at[1] / scale),)
    return _label(_sized(key, said, size, foot, bare=2.8, stop=1.6), said, "floor")


def _ring(tube: Tube, view: View, scale: float, size: float) -> Label:
    points = tuple((x / scale, y / scale) for x, y in run(tube, view))
    letter = text.cut(tube.letter, 2.4, bold=True)
    high = 2 * style.RING * size / style.TEXT
    wide = max(high, text.width(letter, bold=True) * size * 0.9 + 1.4)
    if end_on(points, 2 * style.POST_END):
        want = Want(tube.id, wide, high, (Foot(*points[0]),), bare=2.0, stop=1.5)
    else:
        shares = (0.5, 0.36, 0.64, 0.22, 0.78, 0.1, 0.9, 0.43, 0.57, 0.29, 0.71)
        # On its own line a ring is where it should be: its own ink is not held against it.
        own = -(high + 1.2) * (1.6 if tube.sort == "post" else 1.4) * ON_LINE - 1.5
        spots = tuple(Spot(*along(points, share), own + 0.1 * i) for i, share in enumerate(shares))
        feet = tuple(Foot(*along(points, share)) for share in shares[:7])
        want = Want(tube.id, wide, high, feet, spots)
    look = style.bar_style(tube.number)
    plain = tube.sort == "post" or look.cased
    return Label(want, letter, tube.letter, "letter", style.INK if plain else look.colour)


def _tube_name(tube: Tube, view: View, scale: float, size: float) -> Label:
    points = tuple((x / scale, y / scale) for x, y in run(tube, view))
    feet = tuple(Foot(*along(points, share)) for share in (0.5, 0.25, 0.75, 0.1, 0.9))
    return _label(_sized(tube.id, tube.name, size, feet), tube.name)


def _pieces(scene: Scene, view: View, scale: float, size: float, numbers: Numbers) -> list[Label]:
    pieces: list[Disc | Slab] = [piece for piece in scene.discs if piece.name]
    pieces += [piece for piece in scene.slabs if piece.name]
    outlines = [tuple((x / scale, y / scale) for x, y in outline(piece, view)) for piece in pieces]
    areas = [_area(shape) for shape in outlines]
    found: list[Label] = []
    for i in sorted(range(len(pieces)), key=lambda i: areas[i]):
        piece, own = pieces[i], outlines[i]
        others = [shape for j, shape in enumerate(outlines) if j != i]
        middle = project(piece.centre, view)
        at = middle[0] / scale, middle[1] / scale
        feet = tuple(_feet(piece, own, at, view, scale, others))
        bare, stop = (0.0, 0.0) if own else (2.4, 1.5)
        said = str(numbers.get(piece.id, piece.name))
        want = _sized(piece.id, said, size, feet, bare=bare, stop=stop)
        want = replace(want, spots=tuple(_spots(want, own, others)))
        found.append(replace(_label(want, said), whole=piece.name))
    return found


def _area(shape: Sequence[XY]) -> float:
    return around(shape).width * around(shape).height if shape else 0.0


def _shared(at: XY, others: Sequence[Sequence[XY]]) -> float:
    return _SHARED * sum(within(at, other) for other in others)


def _feet(
    piece: Disc | Slab,
    own: Sequence[XY],
    at: XY,
    view: View,
    scale: float,
    others: Sequence[Sequence[XY]],
) -> Iterator[Foot]:
    """The middle, and points well inside the outline: the fewer others share them, the better."""
    spread: list[XY] = []
    if isinstance(piece, Disc):
        face = drum(piece, view).near
        spread = [face.at(angle, 0.72) for angle in range(0, 360, 45)]
        spread = [(x / scale, y / scale) for x, y in spread]
    elif own:
        spread = [((x + at[0]) / 2, (y + at[1]) / 2) for x, y in own[:8]]
    feet = [Foot(*point, _shared(point, others)) for point in (at, *spread)]
    yield from sorted(feet, key=lambda foot: foot.cost)[: 6 if len(others) < 40 else 4]


def _spots(want: Want, own: Sequence[XY], others: Sequence[Sequence[XY]]) -> Iterator[Spot]:
    """Places within the piece's own outline, where the label needs no leader."""
    if len(own) < 3:
        return
    hull = around(own)
    across, down = hull.width - want.width, hull.height - want.height
    if across < 0 or down < 0:
        return
    middle = hull.middle
    for y in (0.0, -0.3, 0.3, -0.6, 0.6, -0.85, 0.85):
        for x in (0.0, -0.4, 0.4, -0.8, 0.8):
            spot = middle[0] + x * across / 2, middle[1] + y * down / 2
            box = Box(
                spot[0] - want.width / 2,
                spot[1] - want.height / 2,
                spot[0] + want.width / 2,
                spot[1] + want.height / 2,
            )
            corners = ((box.x0, box.y0), (box.x1, box.y0), (box.x0, box.y1), (box.x1, box.y1))
            if all(within(corner, own) for corner in corners):
                yield Spot(*spot, 0.8 * (abs(x) + abs(y)) + _shared(spot, others))
