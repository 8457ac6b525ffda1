"""The rack screen: the thin part between Textual and the pure state."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from model.book.book import read_book
from model.book.heads import Listing, list_book
from model.book.page_file import PageFile, open_page, record
from model.book.take import Hand
from model.errors import ClampbookError
from model.readings.entry import show_value
from model.rig.flags import limit_flag
from tui.keys import Keys
from tui.looks.look import Look
from tui.screens.pick import Choice, PickScreen
from tui.screens.rack.cells import heading_cells, row_cells, title_cells
from tui.screens.rack.press import press
from tui.screens.rack.prompt_cells import bottom_cells
from tui.screens.rack.state import Beside, RackState, Save, not_saved, saved, start
from tui.screens.text import TextScreen, wrapped
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell

if TYPE_CHECKING:
    from pathlib import Path


class RackScreen(StageScreen):
    """The page in hand, as a tree with its settings in columns."""

    details = 2

    def __init__(self, look: Look, keys: Keys, state: RackState, listing: Listing | None) -> None:
        super().__init__(look, keys)
        self.state, self.listing = state, listing

    def press(self, key: str, char: str | None) -> None:
        """Change the state, then do what it asks for."""
        self.state = press(self.state, key, char, self.keys, self.grid.rows_in_view)
        wanted = self.state.wanted
        if isinstance(wanted, Save):
            self.state = put_on_disk(self.state, wanted)
        elif wanted is not None:
            self.state = replace(self.state, wanted=None)
            self._ask(wanted)

    def _ask(self, wanted: str) -> None:
        width = self.size.width - 1
        match wanted:
            case "back":
                self.dismiss()
            case "help":
                lines = self.keys.help_lines("rack") + ENTRY_HELP
                self.app.push_screen(TextScreen(self.look, self.keys, "keys of the rack", lines))
            case "problems":
                problems = self.state.file.problems
                lines = [line for p in problems for line in wrapped(p.text(), width)]
                title = f"{self.state.file.name}: what is odd about it"
                shown = lines or ["nothing is odd about this page"]
                self.app.push_screen(TextScreen(self.look, self.keys, title, shown))
            case "other":
                self._choose_other()

    def _choose_other(self) -> None:
        if self.listing is None:
            self.state = self.state.saying("this page is in no book: there is no other", "refused")
            return
        choices, cursor = beside_choices(self.listing, self.state)
        self.app.push_screen(
            PickScreen(
                self.look,
                self.keys,
                "the page to show beside this one",
                choices,
                self._take_other,
                cursor,
            )
        )

    def _take_other(self, choice: Choice) -> None:
        assert self.listing is not None
        try:
            beside = load_beside(self.listing, choice.id)
        except ClampbookError as error:
            self.state = not_saved(self.state, error)
        else:
            self.state = replace(self.state, beside=beside)
        self.draw()

    def draw(self) -> None:
        """Show the state."""
        state = self.state
        self.title_bar.show(title_cells(state))
        self.heading.show(heading_cells(state, self.size.width))
        self.grid.show(
            len(state.rows), lambda row, width: row_cells(state, row, width), state.index
        )
        below = bottom_cells(state, self.size.width)
        for bar, cells in zip((*self.detail_bars, self.prompt_bar), below, strict=True):
            bar.show(cells)
        self.footer.show([Cell(self.keys.footer("rack"), "footer")])


ENTRY_HELP = [
    "",
    "digits begin an entry at once; Enter takes it and steps on, Esc or an empty line leaves it",
    '   812   81.2cm   32"   32 3/16   2\' 8 1/2"   12½   -12.5°   3t (teeth)',
    "     =  the value shown, measured again     ++1/4  --12  so much more or less than it",
]


def put_on_disk(state: RackState, save: Save) -> RackState:
    """Save a change; return the state that tells how it went."""
    edit = save.step.inverse if save.way == "undo" else save.step.edit
    try:
        file = record(state.file, edit)
    except ClampbookError as error:
        return not_saved(state, error)
    return saved(state, file, save, words_for(state, file, save))


def words_for(state: RackState, file: PageFile, save: Save) -> str:
    """Say what was saved: the setting, its value, what it was, and what is odd about it."""
    done = {"new": "saved", "undo": "undone", "redo": "done again"}[save.way]
    key = getattr(save.step.edit, "key", None)
    if key is None:
        return f"{done}: {save.step.what}"
    declared, after = file.page.declared[key], file.page.setting(key)
    before = state.page.setting(key)
    asked = declared.asked(state.hand.unit)
    shown = [
        f"{s.state} {show_value(s.value, asked)}" if s.value is not None else s.state
        for s in (after, before)
    ]
    flag = limit_flag(key, after, declared)
    odd = f"; flagged: {flag.what}, {flag.why}" if flag else ""
    return f"{done}: {declared.label} {shown[0]} (was {shown[1]}){odd}"


def beside_choices(listing: Listing, state: RackState) -> tuple[list[Choice], int]:
    """Return the homes and the pages, last first, and which of them is shown now."""
    choices = [
        Choice(name, f"home {home}: {name}")
        for home, name in listing.book.homes.items()
        if listing.named(name)
    ]
    homes = {choice.id for choice in choices}
    choices += [
        Choice(page.name, f"{page.date} {page.moment}, {page.venue or '-'}")
        for page in reversed(listing.pages)
        if page.name != state.file.name and page.name not in homes
    ]
    now = state.beside.name if state.beside else ""
    return choices, next((i for i, choice in enumerate(choices) if choice.id == now), 0)


def load_beside(listing: Listing, name: str) -> Beside:
    """Open the page of that name to show beside another; raises :class:`ClampbookError`."""
    head = listing.named(name)
    if head is None:
        raise ClampbookError(f"the book has no page {name}")
    homes = listing.homes_of(name)
    label = f"home {homes[0]}" if homes else f"{head.date} {head.moment}"
    return Beside(label, name, open_page(head.path).page)


def open_rack(look: Look, keys: Keys, hand: Hand, path: Path, folder: Path | None) -> RackScreen:
    """Open a page for recording, beside the book's first home, else the page it was begun from.

    Raises :class:`ClampbookError` where the page or its book cannot be read.
    """
    file = open_page(path)
    if folder is None:
        return RackScreen(look, keys, start(file, hand, None, ()), None)
    book, listing = read_book(folder).book, list_book(folder)
    wanted = (book.home(), file.page.head.begun_from)
    name = next((n for n in wanted if n and n != file.name and listing.named(n)), None)
    beside, trouble = None, ""
    if name is not None:
        try:
            beside = load_beside(listing, name)
        except ClampbookError as error:
            trouble = f"{error.title}: {name} is not shown beside"
    state = start(file, hand, beside, book.walk)
    return RackScreen(look, keys, state.saying(trouble, "refused") if trouble else state, listing)
