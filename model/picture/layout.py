"""Which scale, and where on the sheet each view and the legend stand. Millimetres on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count

from model.picture.boxes import XY, Box, union
from model.picture.scene import View

GAP = 6.0

Frames = dict[View, Box]
Origins = dict[View, XY]


def scales() -> Iterator[float]:
    """Yield the scales that are tried, the largest first, without an end: 5 is 1:5.

    1:5, 1:10, 1:20 and 1:50 are ISO 5455's; those between are common on rulers.
    """
    yield from (5, 10, 12.5, 15, 20, 25, 30, 40, 50, 75)
    for power in count(2):
        for step in (1, 1.5, 2, 2.5, 3, 4, 5, 7.5):
            yield step * 10.0**power


@dataclass(frozen=True, slots=True)
class Layout:
    """Where each view's zero is on the paper, which legend was taken, and its left top corner."""

    origins: Origins
    legend: int
    legend_at: XY


def arrange(frames: Frames, legends: Sequence[XY], body: Box) -> Layout | None:
    """Return the first arrangement that fits into ``body``, or nothing.

    A frame lies about its view's zero. ``legends`` are the sizes the legend can have, the best one
    first. The front stands below the view from above with their zeros in line, and the player's
    left beside the front on the same floor, where that fits.
    """
    for origins in _arrangements(frames):
        boxes = [frames[view].moved(*at) for view, at in origins.items()]
        whole = union(boxes)
        if whole.width > body.width or whole.height > body.height:
            continue
        to_corner = -whole.x0, -whole.y0
        boxes = [box.moved(*to_corner) for box in boxes]
        for i, size in enumerate(legends or [(0.0, 0.0)]):
            spot = _free(size, boxes, body)
            if spot is None:
                continue
            whole = union([*boxes, Box(*spot, spot[0] + size[0], spot[1] + size[1])])
            dx = body.x0 + (body.width - whole.width) / 2
            dy = body.y0 + (body.height - whole.height) / 2
            moved = {
                view: (x + to_corner[0] + dx, y + to_corner[1] + dy)
                for view, (x, y) in origins.items()
            }
            return Layout(moved, i, (spot[0] + dx, spot[1] + dy))
    return None


def _free(size: XY, boxes: Sequence[Box], body: Box) -> XY | None:
    """Return a free corner for the legend: beside the views sooner than below them."""
    if size == (0.0, 0.0):
        return boxes[0].x0, boxes[0].y0
    wide, high = size
    for x in sorted({0.0, *(box.x1 + GAP for box in boxes)}, reverse=True):
        for y in sorted({0.0, *(box.y0 for box in boxes), *(box.y1 + GAP for box in boxes)}):
            spot = Box(x, y, x + wide, y + high)
            if spot.x1 > body.width or spot.y1 > body.height:
                continue
            if not any(spot.near(box, GAP - 0.01) for box in boxes):
                return x, y
    return None


def _arrangements(frames: Frames) -> Iterator[Origins]:
    views = list(frames)
    plan: list[View] = [view for view in views if view == "above"]
    sides: list[View] = [view for view in views if view != "above"]
    if plan and sides:
        yield _rows([plan, sides], frames, in_line=True)
        yield _rows([plan, sides], frames, in_line=False)
    yield _rows([views], frames, in_line=False)
    if plan and len(sides) > 1:
        yield _columns([plan, sides], frames)
    yield _columns([views], frames)


def _rows(rows: list[list[View]], frames: Frames, *, in_line: bool) -> Origins:
    """Rows of views, one below the other; ``in_line`` puts the zeros of the first ones in line."""
    origins: Origins = {}
    zero = max(-frames[row[0]].x0 for row in rows)
    top = 0.0
    for row in rows:
        x = zero + frames[row[0]].x0 if in_line else 0.0
        floor = max((-frames[view].y0 for view in row if view != "above"), default=0.0)
        below = top
        for view in row:
            box = frames[view]
            y = top - box.y0 if view == "above" else top + floor
            origins[view] = x - box.x0, y
            x += box.width + GAP
            below = max(below, y + box.y1)
        top = below + GAP
    return origins


def _columns(columns: list[list[View]], frames: Frames) -> Origins:
    """Columns of views, side by side, each flush left."""
    origins: Origins = {}
    left = 0.0
    for column in columns:
        top = 0.0
        for view in column:
            box = frames[view]
            origins[view] = left - box.x0, top - box.y0
            top += box.height + GAP
        left += max(frames[view].width for view in column) + GAP
    return origins
