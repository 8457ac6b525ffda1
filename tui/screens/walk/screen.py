"""The walk's screen: the thin part between Textual and the pure state."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from tui.keys import ENTRY_STARTS, Keys
from tui.looks.look import Look
from tui.screens.rack.odd import odd_lines
from tui.screens.rack.prompt_cells import bottom_cells, message_lines
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.screen import ENTRY_HELP, TYPING
from tui.screens.rack.state import RackState, Save
from tui.screens.text import TextScreen
from tui.screens.walk.cells import body_lines, heading_cells, next_words, title_cells
from tui.screens.walk.press import press
from tui.screens.walk.state import WalkState, after_save
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell

HELP = [
    "",
    "Enter alone says: seen at its mark. A key held down marks nothing more.",
    *ENTRY_HELP[1:],
]


class WalkScreen(StageScreen):
    """One setting at a time; leaving it gives the rack's state back."""

    details = 2

    def __init__(
        self,
        look: Look,
        keys: Keys,
        state: WalkState,
        left: Callable[[RackState], None],
        remember: Callable[[str], None],
    ) -> None:
        super().__init__(look, keys)
        self.state, self.left, self.remember = state, left, remember

    def takes_text(self, text: str, /) -> bool:
        """Take pasted text into an open line, or as an entry for the setting."""
        return self.state.rack.prompt is not None or text[0] in ENTRY_STARTS

    def marks(self, key: str, /) -> bool:
        """Tell the keys that mark whole parts; Enter has its own way with being held."""
        action = self.keys.action("walk", key)
        return self.state.rack.prompt is None and action in ("all_seen", "part_seen")

    def press(self, key: str, char: str | None, /) -> None:
        """Change the state, then do what it asks for."""
        before = self.state.key
        self.state = press(self.state, key, char, self.keys, self.pressed_at)
        wanted = self.state.rack.wanted
        if isinstance(wanted, Save):
            rack = put_on_disk(self.state.rack, wanted)
            self.state = after_save(self.state, rack, wanted)
        elif wanted == "back":
            self.left(replace(self.state.rack, wanted=None))
            self.leave()
        elif wanted == "look":
            self.next_look()
        elif wanted == "problems":
            title, lines = odd_lines(self.state.rack, self.size.width - 1)
            self.app.push_screen(TextScreen(self.look, self.keys, title, lines))
        elif wanted == "help":
            lines = self.keys.help_lines("walk") + HELP
            self.app.push_screen(TextScreen(self.look, self.keys, "keys of the walk", lines))
        if self.state.key != before:
            self.remember(self.state.key)

    def draw(self) -> None:
        """Show the state."""
        state, width = self.state, self.size.width
        self.title_bar.show(title_cells(state))
        self.heading.show(heading_cells(state, width))
        lines = body_lines(state, width) if width else []
        self.grid.show(len(lines), lambda row, _width: [Cell(*lines[row])], 2)
        if state.rack.prompt is None:
            above, last = message_lines(state.rack, width)
            below = [Cell(next_words(state), "quiet")], above, last
        else:
            below = bottom_cells(state.rack, width)
        for bar, cells in zip((*self.detail_bars, self.prompt_bar), below, strict=True):
            bar.show(cells)
        typing = state.rack.prompt is not None
        words = TYPING if typing else self.keys.footer("walk")
        self.footer.show([Cell(words, "footer")])
