"""The checklist's screen: the thin part between Textual and the pure state.

The moves are worked out in a thread: the screen is there at once and says what it waits for.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Horizontal

from model.book.take import Hand
from model.disk.journal import Journal
from model.errors import ClampbookError
from tui.keys import ENTRY_STARTS, Keys
from tui.looks.look import Look
from tui.screens.text import TextScreen
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell
from tui.widgets.pane import Pane

if TYPE_CHECKING:
    from tui.screens.putback.state import PutBackState

TYPING = "Enter take  Esc leave it as it was  Ctrl-U empty the line"
WAITING = "working out the moves…"
WIDE, PANE = 118, 40
"""From so many columns on all pieces stand beside the moves, in so many."""
HELP = [
    "",
    "a tick says that a move was made; it is no reading, and the setting stays carried",
    "a digit begins a re-reading of the line's setting: it goes to a page of its own,",
    "begun from this one at the first re-reading; one that agrees ticks its line",
    "ticks are in a file beside the pages: two people can take a side each",
    "! hold what a line names before you loosen; the venue's rules come first",
]


class PutBackScreen(StageScreen):
    """The moves from one page to another; ``paths`` are the page as it is and the wanted one."""

    details = 3
    DEFAULT_CSS = "PutBackScreen > Horizontal { height: 1fr; }"

    def __init__(
        self,
        look: Look,
        keys: Keys,
        paths: tuple[Path, Path],
        label: str,
        hand: Hand,
        journal: Journal | None = None,
    ) -> None:
        super().__init__(look, keys)
        self.paths, self.label, self.hand, self.journal = paths, label, hand, journal
        self.state: PutBackState | None = None
        self.trouble = ""
        self.pane = Pane(look, self._fill_pane)

    def compose(self) -> ComposeResult:
        """Lay the lines from top to bottom, the pieces beside the moves where there is room."""
        yield self.title_bar
        yield self.heading
        with Horizontal():
            yield self.grid
            yield self.pane
        yield from self.detail_bars
        yield self.prompt_bar
        yield self.footer

    def on_mount(self) -> None:
        """Draw for the first time, and work the moves out beside."""
        super().on_mount()
        self._beside(lambda: self._opened(None, enough=False))

    def _beside(self, work: Callable[[], Callable[[], None]]) -> None:
        """Do what takes long in a thread; what it returns is done in the screen's own."""

        def run() -> None:
            shown = work()
            with suppress(RuntimeError):  # the program was left meanwhile: nothing waits for it
                self.app.call_from_thread(shown)

        self.run_worker(run, thread=True, exit_on_error=True)

    def _opened(self, minutes: float | None, *, enough: bool) -> Callable[[], None]:
        """Read both pages and work the moves out; return what shows them, or why there are none."""
        from model.book.page_file import open_page
        from model.book.replay import replay
        from model.compare.putback.desk import open_desk, shortened
        from model.compare.putback.pages import book_choices
        from tui.screens.putback.state import Shorten, start

        try:
            now, wanted = (open_page(path) for path in self.paths)
            if self.journal is not None:
                now = replay(now, self.journal).file
            choices, unreadable = book_choices(now.path.parent)
            desk = open_desk(now, wanted, choices, self.journal)
            part = Shorten(minutes, enough)
            if not part.is_whole:
                desk = shortened(desk, minutes)
            state = replace(start(desk, self.hand, self.label), part=part)
        except ClampbookError as error:
            words = _words(error)
            return lambda: self._troubled(words)
        if unreadable is not None:
            state = state.saying(_words(unreadable), refused=True)
        return lambda: self._show(state)

    def _show(self, state: PutBackState) -> None:
        from tui.screens.putback.saving import up_to_date
        from tui.screens.putback.state import at_tick, with_rows

        if self.state is not None:  # what was done and typed meanwhile stays
            before = self.state
            state = replace(
                state,
                hand=before.hand,
                side=before.side,
                asking=before.asking,
                ticked=before.ticked,
                chosen=before.chosen,
            )
            state = up_to_date(with_rows(state))
            if before.line is not None:
                state = at_tick(state, before.line.tick)
        self.state, self.trouble = state, ""
        self.draw()

    def _troubled(self, words: str) -> None:
        if self.state is None:
            self.trouble = words
        else:
            self.state = replace(self.state, wanted=None).saying(words, refused=True)
        self.draw()

    def takes_text(self, text: str, /) -> bool:
        """Take pasted text into an open line, or as a re-reading."""
        return self.state is not None and (self.state.asking is not None or text[0] in ENTRY_STARTS)

    def marks(self, key: str, /) -> bool:
        """Tell the keys that tick, so that one held down does not go on ticking."""
        action = self.keys.action("putback", key)
        is_typing = self.state is not None and self.state.asking is not None
        return not is_typing and action in ("done", "toggle")

    def press(self, key: str, char: str | None, /) -> None:
        """Change the state, then do what it asks for."""
        if self.state is None:
            if self.keys.action("putback", key) in ("back", "back_too"):
                self.leave()
            return
        from tui.screens.putback.press import press
        from tui.screens.putback.saving import (
            adopt_on_disk,
            read_on_disk,
            someone_elses,
            tick_on_disk,
            up_to_date,
        )
        from tui.screens.putback.state import Adopt, Reading, Shorten, Ticking

        fresh = up_to_date(self.state)
        if self.marks(key) and someone_elses(self.state, fresh):
            # What was drawn had no tick: Space would take the other one's away.
            self.state = fresh.saying("someone else ticked this line meanwhile")
            return
        state = press(fresh, key, char, self.keys, self.grid.rows_in_view)
        wanted = state.wanted
        self.hand = state.hand
        match wanted:
            case Ticking():
                state = tick_on_disk(state, wanted)
            case Reading():
                state = read_on_disk(state, wanted, self._now())
            case Adopt():
                state = adopt_on_disk(state, wanted, self._now())
            case Shorten():
                state = replace(state, wanted=None).saying(WAITING)
                self._beside(lambda: self._opened(wanted.minutes, enough=wanted.enough))
        self.state = replace(state, wanted=None)
        if isinstance(wanted, str):
            self._ask(wanted)

    def _now(self) -> datetime:
        clock: Callable[[], datetime] | None = getattr(self.app, "clock", None)
        assert clock is not None, "the program knows its clock"
        return clock()

    def _ask(self, wanted: str) -> None:
        match wanted:
            case "back":
                self.leave()
            case "look":
                self.next_look()
            case "help":
                lines = self.keys.help_lines("putback") + HELP
                self.app.push_screen(
                    TextScreen(self.look, self.keys, "keys of the put-back", lines)
                )
            case "care":
                self._tell_care()

    def _tell_care(self) -> None:
        from model.compare.putback.text import CARE
        from tui.screens.text import wrapped

        assert self.state is not None
        lines = [*CARE, "", *self.state.work.answer.notes]
        shown = [part for line in lines for part in wrapped(line, self.size.width - 1)]
        self.app.push_screen(TextScreen(self.look, self.keys, "before you loosen anything", shown))

    def _fill_pane(self) -> None:
        if self.state is None or not self.pane.size.width:
            return
        from tui.screens.putback.piece_cells import pane_cells

        state = self.state
        rows = [pane_cells(row, state) for row in state.work.standing]
        self.pane.show([[Cell(" from home now", "heading")], *rows])

    def draw(self) -> None:
        """Show the state, or what is waited for."""
        if self.state is None:
            self._draw_waiting()
            return
        from tui.screens.putback.cells import bottom_cells, heading_cells, row_cells, title_cells

        state = self.state
        pane = PANE if self.size.width >= WIDE and not state.pieces else 0
        self.pane.widen(pane)
        self.grid.styles.width = self.size.width - pane
        self.title_bar.show(title_cells(state))
        self.heading.show(heading_cells(state))
        self.grid.show(
            len(state.rows), lambda row, width: row_cells(state, row, width), state.cursor
        )
        below = bottom_cells(state, self.size.width)
        for bar, cells in zip((*self.detail_bars, self.prompt_bar), below, strict=True):
            bar.show(cells)
        words = self.keys.footer("putback") if state.asking is None else TYPING
        self.footer.show([Cell(words, "footer")])
        self._fill_pane()

    def _draw_waiting(self) -> None:
        from tui.screens.text import wrapped

        lines = wrapped(self.trouble or WAITING, max(20, self.size.width - 2))
        self.title_bar.show([Cell(f"put back to {self.label}", "title")])
        self.heading.show([Cell("", "heading")])
        self.grid.show(len(lines), lambda row, _width: [Cell(lines[row], "text")], 0)
        self.footer.show([Cell(self.keys.footer("putback"), "footer")])

    def wear(self, look: Look) -> None:
        """Draw everything in another look."""
        super().wear(look)
        self.pane.look = look
        self.pane.refresh()


def _words(error: ClampbookError) -> str:
    first = error.first
    if first is None:
        return error.title
    told = f"{error.title}: {first.what}"
    told += f"; {first.why}" if first.why else ""
    return f"{told}; right: {first.right}" if first.right else told
