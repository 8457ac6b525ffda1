"""The differences' screen: the thin part between Textual and the pure state."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING

from tui.keys import Keys
from tui.looks.look import Look
from tui.screens.differences.cells import (
    count_cells,
    detail_cells,
    heading_cells,
    row_cells,
    title_cells,
)
from tui.screens.differences.state import DifferencesState, Show, filled, press
from tui.screens.text import TextScreen
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell

if TYPE_CHECKING:
    from model.book.book import Book
    from model.compare.answer import Compared

HELP = [
    "",
    "a difference in brackets is within what the two readings can tell",
    "- stands where one was not measured that night, or not in the same way",
    "* the joint's own: a level reads gravity, and what it hangs on moved too",
    "pieces: + is to the right, ahead, up; what was carried counts as not moved",
]


class DifferencesScreen(StageScreen):
    """Two pages' differences; Enter goes to the setting or the piece on the rack.

    The readings are shown at once. The joints' own values and the pieces come when the geometry,
    loaded in a thread, has worked them out. Without a ``book`` that of the rack below is asked.
    """

    details = 2

    def __init__(
        self,
        look: Look,
        keys: Keys,
        state: DifferencesState,
        show: Callable[[str], None],
        book: Book | None = None,
    ) -> None:
        super().__init__(look, keys)
        self.state, self.show_on_rack, self.book = state, show, book

    def on_mount(self) -> None:
        """Draw for the first time; then have the rest worked out."""
        super().on_mount()
        if self.book is None and len(self.app.screen_stack) > 1:
            self.book = getattr(self.app.screen_stack[-2], "book", None)
        self.call_after_refresh(self._begin_filling)

    def _begin_filling(self) -> None:
        if self.is_attached and not self.state.is_filled:
            self.run_worker(self._fill, thread=True, exit_on_error=True)

    def _fill(self) -> None:
        filling = import_module("tui.screens.differences.filling")
        answer = filling.whole_answer(self.state, self.book)
        with suppress(RuntimeError):  # the program was left meanwhile: nothing waits for it
            self.app.call_from_thread(self._filled, answer)

    def _filled(self, answer: Compared) -> None:
        if self.is_attached:
            self.state = filled(self.state, answer)
            self.draw()

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
        for bar, cells in zip(self.detail_bars, detail_cells(state), strict=True):
            bar.show(cells)
        self.prompt_bar.show(count_cells(state))
        self.footer.show([Cell(self.keys.footer("differences"), "footer")])
