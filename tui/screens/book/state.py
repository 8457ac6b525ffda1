"""The book screen's state: its pages, the counts as they come in, a page being begun."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal

from model.book.heads import BOOK_FILE, Listing, PageHead
from model.errors import UnreadableFile
from model.readings.quantity import LENGTH_UNITS, LengthUnit
from tui.keys import Keys
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.cursor import moved
from tui.widgets.typed import Typed

Counts = Mapping[str, int]
Ask = Literal["back", "help", "problems", "beside", "look"]
EMPTY = Typed()


@dataclass(frozen=True, slots=True)
class Draft:
    """A page being begun: date, then moment, then house, a line each."""

    source: PageHead
    day: str
    moment: str
    venue: str
    step: Literal["date", "moment", "house"] = "date"
    typed: Typed = EMPTY


@dataclass(frozen=True, slots=True)
class NewBook:
    """A rig that is begun in an empty folder: its name, being typed."""

    typed: Typed = EMPTY


@dataclass(frozen=True, slots=True)
class Make:
    """The screen is to make a book of that rig here."""

    rig: str


@dataclass(frozen=True, slots=True)
class Open:
    """The screen is to open a page."""

    page: PageHead


@dataclass(frozen=True, slots=True)
class Start:
    """The screen is to begin a page from the draft."""

    draft: Draft


@dataclass(frozen=True, slots=True)
class BookState:
    """All of the screen but its size. ``counts`` lacks a page until it was counted.

    ``beside`` is how many versions lie beside the pages.
    """

    listing: Listing
    today: date
    unit: LengthUnit = "mm"
    cursor: int = 0
    counts: Mapping[str, Counts | str] = field(default_factory=dict)
    draft: Draft | None = None
    message: str = ""
    refused: bool = False
    beside: int = 0
    wanted: Open | Start | Make | Ask | None = None
    new_book: NewBook | None = None

    @property
    def rows(self) -> tuple[PageHead | UnreadableFile, ...]:
        """The pages in order of their beginning, then the files that cannot be read."""
        return (*self.listing.pages, *self.listing.unreadable)

    def saying(self, text: str, refused: bool = False) -> BookState:
        """Return the state with a message."""
        return replace(self, message=text, refused=refused)


def start(listing: Listing, today: date, unit: LengthUnit) -> BookState:
    """Return the state in which a book is opened: the cursor on its last page."""
    last = listing.last()
    cursor = listing.pages.index(last) if last else 0
    state = BookState(listing, today, unit, cursor)
    if not (listing.folder / BOOK_FILE).exists():
        return state.saying("there is no book in this folder yet: n makes one, for a rig of yours")
    if odd := len(listing.unreadable):
        files = "one file" if odd == 1 else f"{odd} files"
        state = state.saying(f"{files} cannot be read: ! tells why; the rest is as it was", True)
    return state


def with_counts(state: BookState, counted: Mapping[str, Counts | str]) -> BookState:
    """Return the state with more pages counted; pages that cannot be are told with the files."""
    state = replace(state, counts={**state.counts, **counted})
    unread = sum(isinstance(counts, str) for counts in state.counts.values())
    if not unread:
        return state
    odd = unread + len(state.listing.unreadable)
    files = "one file" if odd == 1 else f"{odd} files"
    return state.saying(f"{files} cannot be read: Enter on one tells why", True)


def press(state: BookState, key: str, char: str | None, keys: Keys, height: int) -> BookState:
    """Return the state after a key; ``height`` rows are in view."""
    state = replace(state, wanted=None)
    if state.draft is not None:
        return _press_draft(state, state.draft, key, char)
    if state.new_book is not None:
        return _press_new_book(state, state.new_book, key, char)
    action = keys.action("book", key)
    place = moved(action, state.cursor, len(state.rows), height)
    if place is not None:
        return replace(state, cursor=place)
    row = state.rows[state.cursor] if state.rows else None
    match action:
        case "take" if isinstance(row, PageHead):
            return replace(state.saying(""), wanted=Open(row))
        case "take" if row is not None:
            return replace(state, wanted="problems")
        case "begin" if isinstance(row, PageHead):
            return replace(state.saying(""), draft=_draft(row, state.today))
        case "begin" if not state.rows and not (state.listing.folder / BOOK_FILE).exists():
            return replace(state.saying(""), new_book=NewBook())
        case "begin":
            return state.saying("a page is begun from a page: choose one", True)
        case "unit":
            unit = LENGTH_UNITS[(LENGTH_UNITS.index(state.unit) + 1) % len(LENGTH_UNITS)]
            return replace(state, unit=unit).saying(f"lengths in {UNIT_WORDS[unit]}")
        case "help" | "problems" | "beside" | "back" | "look":
            return replace(state, wanted=action)
    return state


def _press_new_book(state: BookState, new: NewBook, key: str, char: str | None) -> BookState:
    answer = new.typed.press(key, char)
    if answer == "leave":
        return replace(state, new_book=None).saying("no book was made")
    if isinstance(answer, Typed):
        return replace(state.saying(""), new_book=NewBook(answer))
    return replace(state, wanted=Make(new.typed.text)) if answer == "take" else state


def _draft(source: PageHead, today: date) -> Draft:
    same_night = source.date == today
    return Draft(
        source,
        day=today.isoformat(),
        moment="after the show" if same_night else "soundcheck",
        venue=source.venue if same_night else "",
        typed=Typed.offer(today.isoformat()),
    )


def _press_draft(state: BookState, draft: Draft, key: str, char: str | None) -> BookState:
    answer = draft.typed.press(key, char)
    if answer == "leave":
        return replace(state, draft=None).saying("no page was begun")
    if isinstance(answer, Typed):
        return replace(state.saying(""), draft=replace(draft, typed=answer))
    if answer != "take":
        return state
    return _step(state, draft, draft.typed.text.strip())


def _step(state: BookState, draft: Draft, text: str) -> BookState:
    match draft.step:
        case "date":
            try:
                date.fromisoformat(text)
            except ValueError:
                return state.saying(
                    f"refused: {text or 'nothing'} is no date; right: {state.today.isoformat()}",
                    True,
                )
            draft = replace(draft, day=text, step="moment", typed=Typed.offer(draft.moment))
        case "moment":
            if not text:
                return state.saying("refused: a page needs a moment; right: soundcheck", True)
            draft = replace(draft, moment=text, step="house", typed=Typed.offer(draft.venue))
        case "house":
            draft = replace(draft, venue=text)
            return replace(state, draft=draft, wanted=Start(draft))
    return replace(state.saying(""), draft=draft)
