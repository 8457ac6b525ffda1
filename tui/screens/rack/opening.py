"""Opening a page for recording: its book, the page beside it, and what may stand beside."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from model.book.book import Book, read_book
from model.book.heads import Listing, list_book
from model.book.history import past_changes
from model.book.page_file import open_page
from model.book.replay import lines_of, replay
from model.book.take import Hand
from model.disk.journal import Journal
from model.errors import ClampbookError
from tui.keys import Keys
from tui.looks.look import Look
from tui.screens.pick import Choice
from tui.screens.rack.saving import replayed_words
from tui.screens.rack.screen import RackScreen
from tui.screens.rack.state import Beside, RackState, Step, not_saved, reopened, start


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


def open_rack(
    look: Look,
    keys: Keys,
    hand: Hand,
    path: Path,
    folder: Path | None,
    journal: Journal | None = None,
) -> RackScreen:
    """Open a page for recording, beside the book's first home, else the page it was begun from.

    What waits in the journal is recorded first, and what was changed last can be undone. Raises
    :class:`ClampbookError` where the page or its book cannot be read.
    """
    file = open_page(path)
    if folder is None:
        state = with_journal(start(file, hand, None, ()), journal)
        return RackScreen(look, keys, state, None, Book(title=file.page.head.rig))
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
    state = with_journal(state, journal)
    return RackScreen(look, keys, state, listing, book)


def with_journal(state: RackState, journal: Journal | None) -> RackState:
    """Return the state with what waited in the journal, and with what can be undone."""
    if journal is None:
        return state
    state = replace(state, journal=journal)
    try:
        replayed = replay(state.file, journal)
    except ClampbookError as error:
        return not_saved(state, error)
    if replayed.file is not state.file:
        state = reopened(state, replayed.file)
    done, undone = past_changes(state.page, lines_of(state.file, journal))
    state = replace(
        state,
        done=tuple(Step(past.edit, past.inverse, past.what) for past in done),
        undone=tuple(Step(past.edit, past.inverse, past.what) for past in undone),
    )
    words = replayed_words(replayed)
    if not words:
        return state
    held = replayed.file.held is not None or bool(replayed.stay)
    return state.saying(words, "kept" if held else "saved")
