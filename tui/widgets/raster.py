"""A drawing in a terminal's cells: dots of braille, eight to a cell, or plain characters."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from tui.looks.look import Role
from tui.widgets.line import Cell

XY = tuple[float, float]

_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bit of each dot of a braille cell: two columns of four (Unicode, block 2800)."""
_BLANK = 0x2800


class Raster:
    """``width`` × ``height`` cells. Points are in dots, x to the right and y down.

    A cell has one role, that of what was drawn in it last; ``braille`` off draws characters that
    every console has, one dot a cell wide and two high.
    """

    def __init__(self, width: int, height: int, *, braille: bool = True) -> None:
        self.width, self.height, self.braille = width, height, braille
        self.dots = (width * 2, height * 4) if braille else (width, height * 2)
        self._bits = [[0] * width for _ in range(height)]
        self._chars: list[list[str]] = [[""] * width for _ in range(height)]
        self._roles: list[list[Role]] = [["text"] * width for _ in range(height)]

    def line(self, start: XY, end: XY, role: Role, dash: int = 0) -> None:
        """Draw a straight line of dots; ``dash`` leaves every second stretch of so many out."""
        clipped = _within(start, end, self.dots)
        if clipped is None:
            return
        (x, y), (x1, y1) = clipped
        steps = max(1, round(max(abs(x1 - x), abs(y1 - y))))
        across, down = (x1 - x) / steps, (y1 - y) / steps
        sign = "" if self.braille else _slope(across, down)
        wide, high = self.dots
        for step in range(steps + 1):
            dot_x, dot_y = round(x + across * step), round(y + down * step)
            if not (0 <= dot_x < wide and 0 <= dot_y < high) or (dash and (step // dash) % 2):
                continue
            if self.braille:
                row, column = dot_y >> 2, dot_x >> 1
                self._bits[row][column] |= _BITS[dot_x & 1][dot_y & 3]
            else:
                row, column = dot_y // 2, dot_x
                self._chars[row][column] = self._chars[row][column] or sign
            self._roles[row][column] = role

    def path(self, points: Sequence[XY], role: Role, dash: int = 0) -> None:
        """Draw lines from point to point."""
        for start, end in pairwise(points):
            self.line(start, end, role, dash)

    def sign(self, at: XY, text: str, role: Role) -> None:
        """Put characters into cells, the first at a point."""
        across, down = (2, 4) if self.braille else (1, 2)
        row, column = round(at[1]) // down, round(at[0]) // across
        for number, char in enumerate(text):
            if 0 <= row < self.height and 0 <= column + number < self.width:
                self._chars[row][column + number] = char
                self._roles[row][column + number] = role

    def rows(self) -> list[list[Cell]]:
        """Return the drawing as lines of cells, runs of one role together."""
        return [self._row(row) for row in range(self.height)]

    def _row(self, row: int) -> list[Cell]:
        cells: list[Cell] = []
        text, role = "", self._roles[row][0] if self.width else "text"
        for column in range(self.width):
            bits = self._bits[row][column]
            char = self._chars[row][column] or (chr(_BLANK + bits) if bits else " ")
            own = self._roles[row][column] if char != " " else role
            if own != role:
                cells.append(Cell(text, role, len(text)))
                text, role = "", own
            text += char
        cells.append(Cell(text, role, len(text)))
        return cells


def _within(start: XY, end: XY, dots: tuple[int, int]) -> tuple[XY, XY] | None:
    """Return the part of a line that may touch the raster, a dot more on each side; None for none.

    Liang and Barsky 1984: the line's shares at which it enters and leaves.
    """
    enters, leaves = 0.0, 1.0
    (x0, y0), (x1, y1) = start, end
    for begin, way, most in ((x0, x1 - x0, dots[0]), (y0, y1 - y0, dots[1])):
        for room, step in ((begin + 1.0, -way), (most - begin, way)):
            if step == 0.0:
                if room < 0.0:
                    return None
            elif step > 0.0:
                leaves = min(leaves, room / step)
            else:
                enters = max(enters, room / step)
    if not enters <= leaves:
        return None

    def at(share: float) -> XY:
        return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share

    return at(enters), at(leaves)


def _slope(across: float, down: float) -> str:
    if abs(across) >= 2.0 * abs(down):
        return "-"
    if abs(down) >= 2.0 * abs(across):
        return "|"
    return "\\" if across * down > 0 else "/"
