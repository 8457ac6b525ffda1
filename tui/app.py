"""The wiring: the look, the keys, the first screen, and the one place that shows an error."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar

from textual.app import App
from textual.binding import Binding

from model.errors import CannotDo, Problem
from tui.config import Config
from tui.keys import Keys
from tui.looks.choice import chosen_look, look_after
from tui.looks.look import Look
from tui.widgets.base import StageScreen

if TYPE_CHECKING:
    from model.book.find import Meant

Clock = Callable[[], datetime]


class ClampbookApp(App[None]):
    """The program in the terminal: a stack of our screens, no mouse, no animation."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar = [Binding("ctrl+c", "quit", "out", show=False, priority=True)]

    def __init__(
        self, first: Callable[[], StageScreen], look: Look, environ: Mapping[str, str]
    ) -> None:
        super().__init__(ansi_color=look.terminal_colours)
        self.first, self.look, self.environ = first, look, dict(environ)
        self.animation_level = "none"

    def next_look(self) -> None:
        """Go on to the next look, on every screen that is open."""
        self.look = look_after(self.look, self.environ)
        self.ansi_color = self.look.terminal_colours
        for screen in self.screen_stack:
            if isinstance(screen, StageScreen):
                screen.wear(self.look)

    def on_mount(self) -> None:
        """Show the first screen; when it is left, the program ends."""
        screen = self.first()
        self.push_screen(screen, lambda _none: self.exit())


def run_app(meant: Meant, config: Config, clock: Clock) -> None:
    """Open the screens on a book or a page; returns when they are left."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        problem = Problem(
            code="no-terminal",
            what="the screens need a terminal, and there is none here",
            right="clampbook read, compare or begin, which need none",
        )
        raise CannotDo("cannot open the screens", (problem,))
    environ = dict(os.environ)
    look, keys = chosen_look(config.look, environ), Keys(config.keys)
    first = _first_screen(meant, config, clock, look, keys)
    ClampbookApp(first, look, environ).run(mouse=False)


def _first_screen(
    meant: Meant, config: Config, clock: Clock, look: Look, keys: Keys
) -> Callable[[], StageScreen]:
    """Read what is to be shown before the terminal is taken, so that a refusal is plain text.

    A page of a book opens over the book's list, which is up before anything heavy is loaded.
    """
    if meant.folder is None:
        from model.book.take import Hand
        from tui.screens.rack.opening import open_rack

        assert meant.page is not None
        hand = Hand(unit=config.unit, by=config.by)
        rack = open_rack(look, keys, hand, meant.page, None)
        return lambda: rack
    from model.book.heads import list_book
    from tui.screens.book.screen import BookScreen

    listing = list_book(meant.folder)
    return lambda: BookScreen(look, keys, listing, config, clock, meant.page)
