"""The book screen: the thin part between Textual and the pure state. Loads nothing heavy."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from textual.worker import get_current_worker

from model.book.beside.quick import beside_count
from model.book.heads import Listing, PageHead, count_in, list_book
from model.errors import ClampbookError
from tui.config import Config
from tui.keys import Keys
from tui.looks.look import Look
from tui.places import page_journal
from tui.screens.book.cells import (
    detail_cells,
    heading_cells,
    prompt_cells,
    row_cells,
    title_cells,
)
from tui.screens.book.state import (
    BookState,
    Counts,
    Make,
    Open,
    Start,
    press,
    start,
    with_counts,
)
from tui.screens.text import TextScreen, wrapped
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell

Clock = Callable[[], datetime]


class BookScreen(StageScreen):
    """The nights of a book; the counts come in after the first frame."""

    details = 1

    def __init__(
        self,
        look: Look,
        keys: Keys,
        listing: Listing,
        config: Config,
        clock: Clock,
        first: Path | None = None,
    ) -> None:
        super().__init__(look, keys)
        self.clock, self.config, self.first = clock, config, first
        self.state: BookState = start(listing, clock().date(), config.unit)

    def on_mount(self) -> None:
        """Draw; then open the page that was asked for, and count in the background."""
        self.draw()
        self.call_after_refresh(self._after_first_frame)

    def _after_first_frame(self) -> None:
        if self.first is not None:
            self.open_page(self.first)
        self._count()

    def _count(self) -> None:
        self.run_worker(self._count_all, thread=True, exclusive=True)

    def _count_all(self) -> None:
        """Count the pages, the last ones first; show them in a few goes."""
        worker = get_current_worker()
        number = beside_count(self.state.listing, page_journal(self.clock))
        self.app.call_from_thread(self._found_beside, number)
        counted: dict[str, Counts | str] = {}
        for page in reversed(self.state.listing.pages):
            if worker.is_cancelled:
                return
            try:
                counted[page.name] = count_in(page.path)
            except ClampbookError as error:
                counted[page.name] = error.problems[0].what if error.problems else error.title
            if len(counted) % 20 == 0:
                self.app.call_from_thread(self._counted, dict(counted))
        self.app.call_from_thread(self._counted, counted)

    def _found_beside(self, number: int) -> None:
        self.state = replace(self.state, beside=number)
        self.draw()

    def _counted(self, counted: dict[str, Counts | str]) -> None:
        self.state = with_counts(self.state, counted)
        self.draw()

    def takes_text(self, _text: str, /) -> bool:
        """Take pasted text into the line of a page that is begun."""
        return self.state.draft is not None or self.state.new_book is not None

    def press(self, key: str, char: str | None, /) -> None:
        """Change the state, then do what it asks for."""
        self.state = press(self.state, key, char, self.keys, self.grid.rows_in_view)
        wanted = self.state.wanted
        self.state = replace(self.state, wanted=None)
        match wanted:
            case Open(page):
                self.open_page(page.path)
            case Start(draft):
                self._start(draft.source, draft.day, draft.moment, draft.venue)
            case Make(rig):
                self._make(rig)
            case "back":
                self.app.exit()
            case "help":
                lines = [*self.keys.help_lines("book"), "", "* a page that may still be changed"]
                self.app.push_screen(TextScreen(self.look, self.keys, "keys of the book", lines))
            case "problems":
                self._tell_problems()
            case "beside":
                self._choose_version()
            case "look":
                self.next_look()

    def _tell_problems(self) -> None:
        lines: list[str] = []
        for error in self.state.listing.unreadable:
            lines += [*wrapped(error.text(), self.size.width - 1), ""]
        shown = lines or ["every file of this book can be read"]
        self.app.push_screen(TextScreen(self.look, self.keys, "files of this book", shown))

    def _choose_version(self) -> None:
        from tui.screens.book.choosing import Choosing

        Choosing(self, page_journal(self.clock)).versions()

    def said(self, words: str, *, refused: bool = False) -> None:
        """Say something on the list of pages."""
        self.state = self.state.saying(words, refused)
        self.draw()

    def open_page(self, path: Path) -> None:
        """Open a page in the rack screen; one that cannot be read is told, and stays as it is."""
        from model.book.take import Hand
        from tui.screens.rack.opening import open_rack

        hand = Hand(unit=self.state.unit, by=self.config.by)
        try:
            journal = page_journal(self.clock)
            folder = self.state.listing.folder
            screen = open_rack(self.look, self.keys, hand, path, folder, journal)
        except ClampbookError as error:
            lines = wrapped(error.text(), self.size.width - 1)
            self.app.push_screen(TextScreen(self.look, self.keys, error.title, lines))
            return
        self.app.push_screen(screen, lambda _none: self.reload(path))

    def _start(self, source: PageHead, day: str, moment: str, venue: str) -> None:
        from model.book.begin import Begin
        from model.book.start import start_page

        crew = (self.config.by,) if self.config.by else ()
        begin = Begin(date.fromisoformat(day), self.clock(), moment, venue, crew)
        try:
            journal = page_journal(self.clock)
            file = start_page(self.state.listing.folder, source.path, begin, journal)
        except ClampbookError as error:
            self.state = self.state.saying(error.in_a_line(), True)
            return
        self.state = replace(self.state, draft=None)
        self.reload(file.path)
        self.open_page(file.path)

    def _make(self, rig: str) -> None:
        """Make a book of that rig in this folder, and open its page for building."""
        from model.book.new_rig import NewRig, new_book

        now = self.clock()
        crew = (self.config.by,) if self.config.by else ()
        try:
            file = new_book(self.state.listing.folder, NewRig(rig, now.date(), now, crew=crew))
        except ClampbookError as error:
            self.state = self.state.saying(error.in_a_line(), True)
            return
        except OSError as error:
            self.state = self.state.saying(f"refused: {error.strerror or error}", True)
            return
        self.state = replace(self.state, new_book=None)
        self.reload(file.path)
        self.said(f"made the book of {file.page.head.rig}")
        self.open_page(file.path)
        self.app.call_later(self._build)

    def _build(self) -> None:
        from tui.screens.rack.screen import RackScreen

        if isinstance(self.app.screen, RackScreen):
            self.app.screen.build()

    def reload(self, path: Path) -> None:
        """List the book again, the cursor on the page at ``path``."""
        try:
            listing = list_book(self.state.listing.folder)
        except ClampbookError as error:
            self.state = self.state.saying(error.title, True)
            self.draw()
            return
        names = [page.path for page in listing.pages]
        cursor = names.index(path) if path in names else max(0, len(names) - 1)
        kept = {k: v for k, v in self.state.counts.items() if k != path.stem}
        self.state = replace(self.state, listing=listing, cursor=cursor, counts=kept)
        self.draw()
        self._count()

    def draw(self) -> None:
        """Show the state."""
        state = self.state
        self.title_bar.show(title_cells(state))
        self.heading.show(heading_cells())
        self.grid.show(len(state.rows), lambda row, _width: row_cells(state, row), state.cursor)
        self.detail_bars[0].show(detail_cells(state))
        self.prompt_bar.show(prompt_cells(state))
        self.footer.show([Cell(self.keys.footer("book"), "footer")])
