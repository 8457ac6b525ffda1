"""One line of the screen that is not a row: title, heading, prompt, footer."""

from __future__ import annotations

from textual.strip import Strip
from textual.widget import Widget

from tui.looks.look import Look
from tui.widgets.line import Cell, Cells, strip_of


class Bar(Widget):
    """A line that redraws only when what it says changes."""

    DEFAULT_CSS = "Bar { height: 1; width: 100%; }"

    def __init__(self, look: Look, cells: Cells = (), *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.look = look
        self.cells: tuple[Cell, ...] = tuple(cells)

    def show(self, cells: Cells) -> None:
        """Say something else."""
        new = tuple(cells)
        if new != self.cells:
            self.cells = new
            self.refresh()

    def render_line(self, y: int) -> Strip:
        """Draw the line."""
        return strip_of(self.cells if y == 0 else (), self.size.width, self.look)
