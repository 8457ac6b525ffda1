"""Opening a page for recording: its book, the page beside it, and what may stand beside."""

from __future__ import annotations

from pathlib import Path

from model.book.book import Book, read_book
from model.book.heads import Listing, list_book
from model.book.page_file import open_page
from model.book.take import Hand
from model.errors import ClampbookError
from tui.keys import Keys
from tui.looks.look import Look
from tui.screens.pick import Choice
from tui.screens.rack.screen import RackScreen
from tui.screens.rack.state import Beside, RackState, start


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
    return Beside(label, name, open_page(head.path).page, is_home=bool(homes))


def open_rack(look: Look, keys: Keys, hand: Hand, path: Path, folder: Path | None) -> RackScreen:
    """Open a page for recording, beside the book's first home, else the page it was begun from.

    Raises :class:`ClampbookError` where the page or its book cannot be read.
    """
    file = open_page(path)
    if folder is None:
        return RackScreen(
            look, keys, start(file, hand, None, ()), None, Book(title=file.page.head.rig)
        )
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
    state = state.saying(trouble, "refused") if trouble else state
    return RackScreen(look, keys, state, listing, book)
