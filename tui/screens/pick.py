"""A screen to choose one of several things from: the page to show beside this one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tui.keys import Keys
from tui.looks.look import Look
from tui.widgets.base import StageScreen
from tui.widgets.cursor import moved
from tui.widgets.line import Cell


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to choose: what it is called here, and its line."""

    id: str
    words: str


class PickScreen(StageScreen):
    """The choices, a row each; Enter takes one."""

    def __init__(
        self,
        look: Look,
        keys: Keys,
        title: str,
        choices: Sequence[Choice],
        taken: Callable[[Choice], None],
        cursor: int = 0,
    ) -> None:
        super().__init__(look, keys)
        self.words, self.choices, self.taken, self.cursor = title, list(choices), taken, cursor

    def press(self, key: str, _char: str | None) -> None:
        """Move, take, or go back."""
        action = self.keys.action("pick", key)
        place = moved(action, self.cursor, len(self.choices), self.grid.rows_in_view)
        if place is not None:
            self.cursor = place
        elif action == "choose" and self.choices:
            self.leave()
            self.taken(self.choices[self.cursor])
        elif action == "help":
            from tui.screens.text import TextScreen

            lines = self.keys.help_lines("pick")
            self.app.push_screen(TextScreen(self.look, self.keys, "keys", lines))
        elif action in ("back", "back_too"):
            self.leave()

    def draw(self) -> None:
        """Show the choices."""
        self.title_bar.show([Cell(self.words, "title")])
        self.heading.show([Cell("", "heading")])
        self.grid.show(
            len(self.choices),
            lambda row, _width: [Cell(f"  {self.choices[row].words}", "text")],
            self.cursor,
        )
        self.footer.show([Cell(self.keys.footer("pick"), "footer")])
