"""How much is drawn where: so that a label finds white paper. Millimetres on paper."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import accumulate

from model.picture.boxes import Box, Segment, around

_CELL = 0.8


class Ink:
    """The length of line in every cell of the page, each times its weight; summed beforehand."""

    def __init__(self, segments: Iterable[tuple[Segment, float]] = ()) -> None:
        drawn = list(segments)
        frame = around([end for segment, _ in drawn for end in segment] or [(0.0, 0.0)])
        self._left, self._top = frame.x0 - _CELL, frame.y0 - _CELL
        self._columns = math.ceil(frame.width / _CELL) + 3
        self._rows = math.ceil(frame.height / _CELL) + 3
        cells = [[0.0] * self._columns for _ in range(self._rows)]
        for ((ax, ay), (bx, by)), weight in drawn:
            length = math.hypot(bx - ax, by - ay)
            steps = max(1, math.ceil(length / (_CELL / 2)))
            share = weight * max(length, _CELL / 2) / steps
            for i in range(steps):
                part = (i + 0.5) / steps
                column = int((ax + (bx - ax) * part - self._left) / _CELL)
                row = int((ay + (by - ay) * part - self._top) / _CELL)
                cells[row][column] += share
        above = [0.0] * (self._columns + 1)
        self._sums = [above]
        for cell_row in cells:
            run = accumulate(cell_row, initial=0.0)
            above = [a + b for a, b in zip(above, run, strict=True)]
            self._sums.append(above)

    def under(self, box: Box) -> float:
        """Return the weighted length of line under a box, to a cell's width."""
        left, top = self._left, self._top
        x0 = min(max(int((box.x0 - left) / _CELL), 0), self._columns)
        y0 = min(max(int((box.y0 - top) / _CELL), 0), self._rows)
        x1 = min(max(math.ceil((box.x1 - left) / _CELL), 0), self._columns)
        y1 = min(max(math.ceil((box.y1 - top) / _CELL), 0), self._rows)
        sums = self._sums
        return sums[y1][x1] - sums[y0][x1] - sums[y1][x0] + sums[y0][x0]
