"""The legend: letters, colours, dashes and names; and what the other signs mean. Paper mm."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from model.picture import style, svg, text
from model.picture.boxes import XY, Box
from model.picture.marks import sample
from model.picture.panel import ring
from model.picture.scene import Scene
from model.picture.wants import Numbers

_SAMPLE = 15.0
_ROW = 1.72
_BETWEEN = 5.0
_LONGEST = 42.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the legend: a letter or none, a sign, and what it means."""

    letter: str
    sign: str
    name: str
    number: int = 0


def rows(scene: Scene, numbers: Numbers, *, under: bool) -> tuple[Row, ...]:
    """Return what the legend has to say of a scene: bars, posts, the signs that occur, numbers."""
    names = {disc.id: disc.name for disc in scene.discs}
    names.update((slab.id, slab.name) for slab in scene.slabs)
    numbered = [Row("", "number", names[key], number) for key, number in numbers.items()]
    return (*_rows(scene, under), *numbered)


def _rows(scene: Scene, under: bool) -> Iterator[Row]:
    bars = [tube for tube in scene.tubes if tube.sort == "bar"]
    for tube in sorted(bars, key=lambda tube: tube.number):
        yield Row(tube.letter, "bar", tube.name, tube.number)
    for tube in scene.tubes:
        if tube.sort == "post":
            yield Row(tube.letter, "post", tube.name)
    if any(tube.sort == "mount" for tube in scene.tubes):
        yield Row("", "mount", "mount")
    if scene.clamps:
        yield Row("", "clamp", "clamp")
    if any(tube.open_end for tube in scene.tubes):
        yield Row("", "open", "end not known")
    if any(not slab.corners for slab in scene.slabs):
        yield Row("", "cross", "size or turn not known")
    if scene.arrows:
        yield Row("", "moved", "moved, from the ring to the tip")
    yield Row("", "zero", "zero mark, zero line ahead")
    if scene.marks:
        yield Row("", "mark", "mark on the floor")
    if under:
        yield Row("", "under", "the page underneath")


@dataclass(frozen=True, slots=True)
class Legend:
    """The legend in so many columns: its rows, the size of its letters, and how large it is."""

    rows: tuple[Row, ...]
    size: float
    columns: tuple[float, ...]
    """How wide each column is."""
    deep: int

    @property
    def room(self) -> XY:
        """How wide and how high it is."""
        between = _BETWEEN * (len(self.columns) - 1)
        return sum(self.columns) + between, self.deep * _ROW * self.size


def shapes(listed: tuple[Row, ...], size: float) -> tuple[Legend, ...]:
    """Return the legend in every number of columns, the fewest first."""
    found: dict[int, Legend] = {}
    for wanted in range(1, len(listed) + 1):
        deep = math.ceil(len(listed) / wanted)
        runs = [listed[i : i + deep] for i in range(0, len(listed), deep)]
        columns = tuple(max(_wide(row, size) for row in run) for run in runs)
        found.setdefault(len(columns), Legend(listed, size, columns, deep))
    return tuple(found.values())


def _factor(size: float) -> float:
    return size / style.TEXT


def _letter_width(row: Row, size: float) -> float:
    said = text.cut(row.letter, 2.4, bold=True)
    return max(2 * style.RING * _factor(size), text.width(said, bold=True) * size * 0.9 + 1.4)


def _name(row: Row) -> str:
    return text.cut(row.name, _LONGEST / style.TEXT)


def _wide(row: Row, size: float) -> float:
    start = _start(size) if row.sign != "number" else 8.2 * _factor(size) + 1.0
    return start + text.width(_name(row)) * size


def _start(size: float) -> float:
    """How far from the left the names begin: after the widest ring and the sample."""
    return (8.2 + _SAMPLE + 2.0) * _factor(size)


def markup(legend: Legend, scale: float) -> str:
    """Return the legend in user units from its left top corner."""
    size = legend.size
    parts: list[str] = []
    left = 0.0
    for column, wide in enumerate(legend.columns):
        run = legend.rows[column * legend.deep : (column + 1) * legend.deep]
        for i, row in enumerate(run):
            middle = (i + 0.5) * _ROW * size
            parts += _row(row, left, middle, size, scale)
        left += wide + _BETWEEN
    return svg.group("legend", parts, fill=style.INK)


def _row(row: Row, left: float, middle: float, size: float, scale: float) -> Iterator[str]:
    factor = _factor(size)
    if row.letter:
        look = style.bar_style(row.number)
        plain = row.sign == "post" or look.cased
        wide, half = _letter_width(row, size), style.RING * factor
        right = left + 7.2 * factor
        box = Box(right - wide, middle - half, right, middle + half)
        said = text.cut(row.letter, 2.4, bold=True)
        colour = style.INK if plain else look.colour
        yield ring(said, row.letter, box, size, scale, colour)
    start = (left + 8.2 * factor) * scale, middle * scale
    end = start[0] + _SAMPLE * factor * scale, start[1]
    if row.sign == "number":
        spot = (left + 7.2 * factor) * scale, (middle + 0.35 * size) * scale
        yield svg.written(str(row.number), spot, size * scale, text_anchor="end")
        at = (left + 8.2 * factor + 1.0) * scale, spot[1]
        yield svg.written(_name(row), at, size * scale, whole=row.name)
        return
    yield from sample(row.sign, row.number, start, end, scale)
    at = (left + _start(size)) * scale, (middle + 0.35 * size) * scale
    yield svg.written(_name(row), at, size * scale, whole=row.name)
