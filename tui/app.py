"""The wiring: the look, the keys, the first screen, and the one place that shows an error."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar

from textual.app import App
from textual.binding import Binding

from model.errors import CannotDo, Problem
from tui.commands.shared import COULD_NOT, NOTHING, say_error
from tui.config import Config
from tui.crash import crash_words, write_crash_log
from tui.keys import Keys
from tui.looks.choice import chosen_look, look_after
from tui.looks.look import Look
from tui.widgets.base import StageScreen

if TYPE_CHECKING:
    from textual.driver import Driver
    from textual.screen import Screen

    from model.book.find import Meant

Clock = Callable[[], datetime]


class ClampbookApp(App[None]):
    """The program in the terminal: a stack of our screens, no mouse, no animation."""

    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar = [
        Binding("ctrl+c", "quit", "out", show=False, priority=True),
        Binding("ctrl+z", "suspend_process", "to the shell", show=False, priority=True),
    ]

    def __init__(
        self,
        first: Callable[[], StageScreen],
        look: Look,
        environ: Mapping[str, str],
        clock: Clock | None = None,
    ) -> None:
        super().__init__(driver_class=_driver(), ansi_color=look.terminal_colours)
        self.crashed: Exception | None = None
        self.first, self.look, self.environ = first, look, dict(environ)
        self.clock = clock
        self.animation_level = "none"

    def next_look(self) -> None:
        """Go on to the next look, on every screen that is open."""
        self.look = look_after(self.look, self.environ)
        self.ansi_color = self.look.terminal_colours
        for screen in self.screen_stack:
            if isinstance(screen, StageScreen):
                screen.wear(self.look)

    def get_default_screen(self) -> Screen[None]:
        """Show the first screen at once, with none of the library's own before it."""
        return self.first()

    def on_mount(self) -> None:
        """Be ready to leave when the session ends."""
        self._leave_on_signals()

    def _leave_on_signals(self) -> None:
        """Leave cleanly when the session ends or someone asks; the readings are on the disk."""
        if sys.platform == "win32":
            return
        loop = asyncio.get_running_loop()
        for number in (signal.SIGHUP, signal.SIGTERM):
            loop.add_signal_handler(number, self._leave, 128 + number)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, (signal.SIGHUP, signal.SIGTERM))

    def _leave(self, status: int) -> None:
        from tui.driver import leave_soon

        leave_soon(status)
        self.exit(return_code=status)

    def _handle_exception(self, error: Exception) -> None:
        """Keep what went wrong for the log; the terminal is restored before anything is said."""
        self.crashed = error
        self._return_code = COULD_NOT
        self._close_messages_no_wait()


def run_app(meant: Meant, config: Config, clock: Clock) -> int:
    """Open the screens on a book or a page; return the exit status when they are left."""
    # The library draws on the error stream; one that is closed is None.
    streams = (sys.stdin, sys.stdout, sys.stderr)
    if not all(stream is not None and stream.isatty() for stream in streams):
        problem = Problem(
            code="no-terminal",
            what="the screens need a terminal, and there is none here",
            right="clampbook read, compare or begin, which need none",
        )
        raise CannotDo("cannot open the screens", (problem,))
    environ = dict(os.environ)
    look, keys = chosen_look(config.look, environ), Keys(config.keys)
    first = _first_screen(meant, config, clock, look, keys)
    app = ClampbookApp(first, look, environ, clock)
    # Held back until the loop hears them: between, the terminal is taken already.
    if sys.platform != "win32":
        signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGHUP, signal.SIGTERM))
    app.run(mouse=False)
    if app.crashed is not None:
        log = write_crash_log(app.crashed, clock())
        say_error(crash_words(app.crashed, log))
        return COULD_NOT
    return app.return_code or NOTHING


def _driver() -> type[Driver] | None:
    """Return our own driver where the terminal is a Unix one, else the library's choice."""
    if sys.platform == "win32":
        return None
    from tui.driver import StageDriver

    return StageDriver


def _first_screen(
    meant: Meant, config: Config, clock: Clock, look: Look, keys: Keys
) -> Callable[[], StageScreen]:
    """Read what is to be shown before the terminal is taken, so that a refusal is plain text.

    A page of a book opens over the book's list, which is up before anything heavy is loaded.
    """
    if meant.folder is None:
        from model.book.take import Hand
        from tui.places import page_journal
        from tui.screens.rack.opening import open_rack

        assert meant.page is not None
        hand = Hand(unit=config.unit, by=config.by)
        rack = open_rack(look, keys, hand, meant.page, None, page_journal(clock))
        return lambda: rack
    from model.book.heads import BOOK_FILE, list_book, list_nothing
    from tui.screens.book.screen import BookScreen

    is_book = (meant.folder / BOOK_FILE).exists()
    listing = list_book(meant.folder) if is_book else list_nothing(meant.folder)
    return lambda: BookScreen(look, keys, listing, config, clock, meant.page)
