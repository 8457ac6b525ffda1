"""The scale bar: blocks of a round length, in millimetres or in inches and feet."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

from model.picture import style, svg, text
from model.picture.boxes import XY
from model.readings.quantity import LengthUnit

INCH = 25.4
_LEAST = 9.0
_MOST = 62.0
_HIGH = 1.3


def _round_lengths(unit: LengthUnit) -> Iterator[float]:
    if unit in ("mm", "cm"):
        for power in count(1):
            for step in (1, 2, 5):
                yield step * 10.0**power
    for inches in (1, 2, 3, 6):
        yield inches * INCH
    for power in count(0):
        for step in (1, 2, 5):
            yield step * 10.0**power * 12 * INCH


def _said(length: float, unit: LengthUnit, block: float) -> str:
    if unit in ("in", "in-decimal"):
        feet, inches = divmod(round(length / INCH), 12)
        if not feet:
            return f"{inches}″" if inches else "0"
        return f"{feet}′ {inches}″" if inches else f"{feet}′"
    if block >= 1000:
        return f"{length / 1000:g}"
    return f"{length / 10:g}" if unit == "cm" else f"{length:g}"


def _unit(unit: LengthUnit, block: float) -> str:
    if unit in ("in", "in-decimal"):
        return ""
    return " m" if block >= 1000 else f" {unit}"


def blocks(scale: float, unit: LengthUnit) -> tuple[float, int]:
    """Return a block's length (rig mm) and how many of them the bar has, for a scale."""
    block = next(length for length in _round_lengths(unit) if length / scale >= _LEAST)
    return block, max(2, min(5, int(_MOST / (block / scale))))


def scale_bar(scale: float, unit: LengthUnit, at: XY, size: float) -> tuple[list[str], float]:
    """Return the bar's elements and how wide it is (mm on paper), its words included.

    ``at`` is its left lower corner and ``size`` the letters' size, both in mm on paper.
    """
    block, number = blocks(scale, unit)
    x, y = at[0] * scale, at[1] * scale
    high = _HIGH * scale
    parts: list[str] = []
    for i in range(number):
        fill = style.INK if i % 2 == 0 else style.PAPER
        place = svg.look(x=x + i * block, y=y - high, width=block, height=high)
        edge = svg.look(fill=fill, stroke=style.INK, stroke_width=0.15 * scale)
        parts.append(svg.tag("rect", {**place, **edge}))
    above = y - high - 0.8 * scale
    wide = 0.0
    for i in range(number + 1):
        said = _said(i * block, unit, block)
        anchor = "middle" if i else "start"
        spot = x + i * block
        if i == number:
            spot -= text.width(said) * size * scale / 2
            said, anchor = said + _unit(unit, block), "start"
            wide = (spot - x) / scale + text.width(said) * size
        parts.append(svg.written(said, (spot, above), size * scale, text_anchor=anchor))
    return [svg.group("scale", parts, fill=style.INK)], wide
