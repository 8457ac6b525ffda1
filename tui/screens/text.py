"""A screen of plain lines to read: the keys' help, or what was refused or flagged."""

from __future__ import annotations

from collections.abc import Sequence

from tui.keys import Keys
from tui.looks.look import Look
from tui.widgets.base import StageScreen
from tui.widgets.cursor import moved
from tui.widgets.line import Cell


class TextScreen(StageScreen):
    """Lines that can be paged through."""

    def __init__(self, look: Look, keys: Keys, title: str, lines: Sequence[str]) -> None:
        super().__init__(look, keys)
        self.words, self.lines_shown, self.cursor = title, list(lines), 0

    def press(self, key: str, _char: str | None) -> None:
        """Move, or go back."""
        action = self.keys.action("reader", key)
        place = moved(action, self.cursor, len(self.lines_shown), self.grid.rows_in_view)
        if place is not None:
            self.cursor = place
        elif action in ("back", "back_too"):
            self.leave()

    def draw(self) -> None:
        """Show the lines."""
        self.title_bar.show([Cell(self.words, "title")])
        self.heading.show([Cell("", "heading")])
        self.grid.show(
            len(self.lines_shown),
            lambda row, _width: [Cell(self.lines_shown[row], "text")],
            self.cursor,
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
