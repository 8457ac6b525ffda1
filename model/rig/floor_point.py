"""Where a part stands on the rug: x and y, or two tapes from named marks."""

from __future__ import annotations

import math

from model.rig.declared import ZERO, AnyPart
from model.rig.page import Page

Point = tuple[float, float]


def mark_points(page: Page) -> dict[str, Point]:
    """Return the marks of the rug by id, in mm right of the zero mark and ahead of it."""
    return {ZERO: (0.0, 0.0), **{mark.id: (mark.x, mark.y) for mark in page.marks}}


def floor_point(page: Page, part: AnyPart) -> Point | None:
    """Return where a part on the floor stands, in mm; None where a reading or a mark is missing.

    Two distances from two marks meet in two points; ``marks_side`` says on which side of the line
    from the first mark to the second. Tapes that do not reach each other give None.
    """
    if part.marks is None:
        x, y = (_number(page, f"{part.id}.{name}") for name in ("x", "y"))
        return None if x is None or y is None else (x, y)
    points = mark_points(page)
    tapes = [_number(page, f"{part.id}.{name}") for name in ("from_1", "from_2")]
    if tapes[0] is None or tapes[1] is None or not set(part.marks) <= points.keys():
        return None
    first, second = (points[mark] for mark in part.marks)
    return crossing(first, second, (tapes[0], tapes[1]), part.marks_side)


def _number(page: Page, key: str) -> float | None:
    value = page.setting(key).value
    return float(value) if isinstance(value, int | float) else None


def crossing(
    first: Point, second: Point, tapes: tuple[float, float], side: str | None
) -> Point | None:
    """Return where two circles meet, to the right or ``left`` of the line between their middles.

    ``tapes`` are their radii, mm. None where they do not meet.
    """
    a, b = tapes
    dx, dy = second[0] - first[0], second[1] - first[1]
    between = math.hypot(dx, dy)
    if between == 0.0:
        return None
    along = (a * a - b * b + between * between) / (2.0 * between)
    if (square := a * a - along * along) < 0.0:
        return None
    aside = (-1.0 if side == "left" else 1.0) * math.sqrt(square)
    ux, uy = dx / between, dy / between
    # To the right of (ux, uy), seen from above, is (uy, -ux).
    return first[0] + along * ux + aside * uy, first[1] + along * uy - aside * ux
