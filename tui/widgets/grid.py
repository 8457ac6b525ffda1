"""The grid: rows of cells and a cursor. It draws only the rows that changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Offset, Region
from textual.strip import Strip
from textual.widget import Widget

from tui.looks.look import Look
from tui.widgets.line import Cells, strip_of

Layout = Callable[[int, int], Cells]
"""Row number and width to cells; asked only for rows that are on the screen."""


class Grid(Widget):
    """``count`` rows, each laid out when it is drawn; the cursor is always in view."""

    DEFAULT_CSS = "Grid { height: 1fr; width: 100%; }"

    def __init__(self, look: Look, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.look = look
        self.count = 0
        self.cursor = 0
        self.top = 0
        self._cells_of: Layout = lambda _row, _width: ()
        self._drawn: dict[int, tuple[Cells, bool]] = {}

    def show(self, count: int, layout: Layout, cursor: int) -> None:
        """Show rows and the cursor; what is drawn already and did not change stays."""
        self.count, self._cells_of = count, layout
        self.cursor = min(max(cursor, 0), max(count - 1, 0))
        top = self._top_for(self.cursor)
        if top != self.top:
            self.top = top
            self._drawn.clear()
            self.refresh()
        else:
            self._refresh_changed()
        self._park()

    def _refresh_changed(self) -> None:
        for y in range(self.size.height):
            if self._drawn.get(y) != self._wanted(y):
                self.refresh(Region(0, y, self.size.width, 1))

    def _wanted(self, y: int) -> tuple[Cells, bool]:
        row = self.top + y
        if row >= self.count:
            return (), False
        return tuple(self._cells_of(row, self.size.width)), row == self.cursor

    def _top_for(self, cursor: int) -> int:
        height = self.size.height
        if height == 0:  # not laid out yet: the first resize decides
            return 0
        top = min(self.top, max(0, self.count - height))
        if top <= cursor < top + height:
            return top
        # Half a screen at a time: most moves then redraw two rows, and what comes next is seen.
        return min(max(0, cursor - height // 2), max(0, self.count - height))

    def render_line(self, y: int) -> Strip:
        """Draw one row."""
        cells, on_cursor = self._drawn[y] = self._wanted(y)
        return strip_of(cells, self.size.width, self.look, on_cursor)

    def on_resize(self) -> None:
        """Keep the cursor in view when the terminal changes its size."""
        self._drawn.clear()
        self.top = self._top_for(self.cursor)
        self.refresh()
        self._park()

    def _park(self) -> None:
        """Leave the terminal's own cursor on the current row, for screen readers."""
        self.app.cursor_position = Offset(0, self.region.y + self.cursor - self.top)

    @property
    def rows_in_view(self) -> int:
        """How many rows fit."""
        return max(1, self.size.height)


def rows_as_text(count: int, layout: Layout, width: int) -> Sequence[str]:
    """Return all the rows as plain text: what tests and captures compare."""
    from tui.widgets.line import line_text

    return [line_text(layout(row, width), width) for row in range(count)]
