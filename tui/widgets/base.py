"""What every screen of ours is: bars and a grid, drawn from a pure state after each key."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.events import Key, Paste
from textual.screen import Screen

from tui.keys import Keys
from tui.looks.look import Look
from tui.widgets.bar import Bar
from tui.widgets.grid import Grid

HELD = 0.15
"""Seconds: the same key again within less is a key held down; terminals tell no other way."""


class StageScreen(Screen[None]):
    """Title, heading, rows, ``details`` lines about the row, a prompt, a footer."""

    AUTO_FOCUS = None
    DEFAULT_CSS = "StageScreen { layout: vertical; overflow: hidden; }"
    details = 0

    def __init__(self, look: Look, keys: Keys) -> None:
        super().__init__()
        self.look, self.keys = look, keys
        self.title_bar, self.heading = Bar(look), Bar(look)
        self.grid = Grid(look)
        self.detail_bars = [Bar(look) for _ in range(self.details)]
        self.prompt_bar, self.footer = Bar(look), Bar(look)
        self._last_key, self._last_time, self.pressed_at = "", 0.0, 0.0

    def compose(self) -> ComposeResult:
        """Lay the lines from top to bottom."""
        yield self.title_bar
        yield self.heading
        yield self.grid
        yield from self.detail_bars
        yield self.prompt_bar
        yield self.footer

    def on_mount(self) -> None:
        """Draw for the first time."""
        self.draw()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def on_key(self, event: Key) -> None:
        """Take a key; nothing else handles it.

        A key that came while this screen was being left, or another opened over it, belongs to the
        screen that is shown now: typed fast, none goes astray.
        """
        event.stop()
        event.prevent_default()
        if self.app.screen is not self:
            forwarded = Key(event.key, event.character)
            forwarded.time = event.time
            self.app.screen.post_message(forwarded)
            return
        since = event.time - self._last_time if event.key == self._last_key else HELD
        self._last_key, self._last_time, self.pressed_at = event.key, event.time, event.time
        if since < HELD and self.marks(event.key):
            return
        char = event.character if event.is_printable else None
        self.press(event.key, char)
        self.draw()

    def on_paste(self, event: Paste) -> None:
        """Take the first line of pasted text where a text is asked for; it is never commands."""
        event.stop()
        if self.app.screen is not self:
            self.app.screen.post_message(Paste(event.text))
            return
        lines = event.text.splitlines()
        text = "".join(char for char in (lines[0] if lines else "") if char.isprintable())
        if text and self.takes_text(text):
            for at, char in enumerate(text):
                if self.takes_text(text[at:]):  # the first one may have opened no line
                    self.press(char, char)
            self.draw()

    def takes_text(self, _text: str, /) -> bool:
        """Tell whether pasted text may be typed here: into a line that is open."""
        return False

    def marks(self, _key: str, /) -> bool:
        """Tell whether a key marks something, so that one held down must not go on marking."""
        return False

    def leave(self) -> None:
        """Go back to the screen below, or out of the program from the last one."""
        if len(self.app.screen_stack) > 1:
            self.dismiss()
        else:
            self.app.exit()

    def wear(self, look: Look) -> None:
        """Draw everything in another look."""
        self.look = look
        bars = (self.title_bar, self.heading, *self.detail_bars, self.prompt_bar, self.footer)
        for bar in bars:
            bar.look = look
            bar.refresh()
        self.grid.look = look
        self.grid.refresh()

    def next_look(self) -> None:
        """Go on to the next look, on every screen."""
        go_on = getattr(self.app, "next_look", None)
        if go_on is not None:
            go_on()

    def press(self, key: str, char: str | None, /) -> None:
        """Change the state by a key."""
        raise NotImplementedError

    def draw(self) -> None:
        """Show the state; what did not change is not drawn again."""
        raise NotImplementedError
