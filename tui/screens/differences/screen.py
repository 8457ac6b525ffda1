"""The differences' screen: the thin part between Textual and the pure state."""

from __future__ import annotations

from collections.abc import Callable

from tui.keys import Keys
from tui.looks.look import Look
from tui.screens.differences.cells import (
    count_cells,
    detail_cells,
    heading_cells,
    row_cells,
    title_cells,
)
from tui.screens.differences.state import DifferencesState, Show, press
from tui.screens.text import TextScreen
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell

HELP = [
    "",
    "a difference in brackets is within what the two readings can tell",
    "- stands where one of the two was not measured that night, or not in the same way",
]


class DifferencesScreen(StageScreen):
    """Two pages' differences; Enter goes to the setting on the rack."""

    details = 1

    def __init__(
        self, look: Look, keys: Keys, state: DifferencesState, show: Callable[[str], None]
    ) -> None:
        super().__init__(look, keys)
        self.state, self.show_on_rack = state, show

    def press(self, key: str, _char: str | None, /) -> None:
        """Change the state, then do what it asks for."""
        self.state = press(self.state, key, self.keys, self.grid.rows_in_view)
        match self.state.wanted:
            case Show(id_):
                self.leave()
                self.show_on_rack(id_)
            case "back":
                self.leave()
            case "help":
                lines = self.keys.help_lines("differences") + HELP
                self.app.push_screen(
                    TextScreen(self.look, self.keys, "keys of the differences", lines)
                )
            case "look":
                self.next_look()

    def draw(self) -> None:
        """Show the state."""
        state = self.state
        self.title_bar.show(title_cells(state))
        self.heading.show(heading_cells(state, self.size.width))
        self.grid.show(
            len(state.rows), lambda row, width: row_cells(state, row, width), state.cursor
        )
        self.detail_bars[0].show(detail_cells(state))
        self.prompt_bar.show(count_cells(state))
        self.footer.show([Cell(self.keys.footer("differences"), "footer")])
