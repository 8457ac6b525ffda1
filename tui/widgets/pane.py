"""A pane beside the rows: lines of cells; only those that changed are drawn again."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from tui.looks.look import Look
from tui.widgets.line import Cell, Cells, strip_of


class Pane(Widget):
    """As many lines as fit; nothing in it can be chosen."""

    DEFAULT_CSS = "Pane { height: 1fr; width: 0; display: none; }"

    def __init__(self, look: Look, fill: Callable[[], None]) -> None:
        """``fill`` is asked for new lines when the pane has another size."""
        super().__init__()
        self.look, self._fill = look, fill
        self.lines: list[tuple[Cell, ...]] = []
        self._wide = 0

    def show(self, lines: Sequence[Cells]) -> None:
        """Show other lines."""
        new = [tuple(line) for line in lines]
        for y in range(max(len(new), len(self.lines))):
            before = self.lines[y] if y < len(self.lines) else ()
            after = new[y] if y < len(new) else ()
            if before != after:
                self.refresh(Region(0, y, self.size.width, 1))
        self.lines = new

    def widen(self, width: int) -> None:
        """Take so many columns; none hides the pane."""
        if width != self._wide:
            self._wide = width
            self.styles.width = width
            self.display = width > 0

    def on_resize(self) -> None:
        """Ask for lines that fit."""
        self._fill()

    def render_line(self, y: int) -> Strip:
        """Draw one line."""
        return strip_of(self.lines[y] if y < len(self.lines) else (), self.size.width, self.look)
