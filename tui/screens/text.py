"""A screen of plain lines to read: the keys' help, or what was refused or flagged."""

from __future__ import annotations

from collections.abc import Sequence

from tui.keys import Keys
from tui.looks.look import Look
from tui.widgets.base import StageScreen
from tui.widgets.cursor import moved
from tui.widgets.line import Cell


class TextScreen(StageScreen):
    """Lines that can be paged through; ``top`` is the first one shown."""

    def __init__(self, look: Look, keys: Keys, title: str, lines: Sequence[str]) -> None:
        super().__init__(look, keys)
        self.words, self.lines_shown, self.top = title, list(lines), 0

    def tell(self, lines: Sequence[str]) -> None:
        """Show other lines in the place of these, as far as the screen is still open."""
        self.lines_shown = list(lines)
        if self.is_attached:
            self.draw()

    def press(self, key: str, _char: str | None, /) -> None:
        """Move, or go back."""
        action, height = self.keys.action("reader", key), self.grid.rows_in_view
        tops = max(1, len(self.lines_shown) - height + 1)
        place = moved(action, self.top, tops, height)
        if place is not None:
            self.top = place
        elif action in ("back", "back_too"):
            self.leave()

    def draw(self) -> None:
        """Show the lines from the top one on, and say where they are cut."""
        count, height = len(self.lines_shown), self.grid.rows_in_view
        last = min(count, self.top + height)
        more = f"lines {self.top + 1} to {last} of {count}" if count > height else ""
        self.title_bar.show([Cell(self.words, "title")])
        self.heading.show([Cell(more, "heading")])
        self.grid.show(
            last - self.top,
            lambda row, _width: [Cell(self.lines_shown[self.top + row], "text")],
            0,
        )
        self.footer.show([Cell(self.keys.footer("reader"), "footer")])


def wrapped(text: str, width: int) -> list[str]:
    """Break lines that are wider than ``width``, with a hanging indent."""
    import textwrap

    lines: list[str] = []
    for line in text.split("\n"):
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        lines += textwrap.wrap(line, max(20, width), subsequent_indent=indent) or [""]
    return lines
