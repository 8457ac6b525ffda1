"""What a list of pages needs, and no more: heads, counts and homes, without the whole validation.

Nothing here loads pydantic, so that the first screen is up before anything heavy is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from itertools import takewhile
from pathlib import Path as FilePath
from typing import Any

import tomli

from model.book.beside.copies import without_copies
from model.disk.guard import DEEPEST_KEY, read_beginning, read_text
from model.errors import Problem, UnreadableFile
from model.rig.counting import count_states

BOOK_FILE = "book.toml"
STATE_WORDS = ("follows", "read", "seen", "carried", "open")


@dataclass(frozen=True, slots=True)
class PageHead:
    """One line of the list: a page's head as its file says it."""

    path: FilePath
    rig: str
    date: date
    began: datetime
    moment: str
    venue: str
    begun_from: str
    closed: bool
    reason: str

    @property
    def name(self) -> str:
        """The file's name without its ending."""
        return self.path.stem

    @property
    def of_a_night(self) -> bool:
        """Whether a night wrote it; a new home was made from others, for its reason."""
        return not self.reason


@dataclass(frozen=True, slots=True)
class BookHead:
    """The book's title and its named homes (home -> page)."""

    title: str
    homes: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Listing:
    """The pages of a book in order of their beginning, and the files that cannot be listed.

    ``copies`` are second versions of a page, each with that page's name: no nights of their own.
    """

    folder: FilePath
    book: BookHead
    pages: tuple[PageHead, ...]
    unreadable: tuple[UnreadableFile, ...]
    copies: tuple[tuple[PageHead, str], ...] = ()

    def nights(self) -> dict[date, tuple[PageHead, ...]]:
        """Return the pages by the show's date."""
        nights: dict[date, tuple[PageHead, ...]] = {}
        for page in self.pages:
            nights[page.date] = (*nights.get(page.date, ()), page)
        return nights

    def last(self, night: date | None = None) -> PageHead | None:
        """Return the last page, of the book or of one night, that a night wrote.

        A new home is younger than the pages it was made from and no night's record: it is meant
        only where there is no other.
        """
        pages = [page for page in self.pages if night is None or page.date == night]
        return next((p for p in reversed(pages) if p.of_a_night), pages[-1] if pages else None)

    def named(self, name: str) -> PageHead | None:
        """Return the page, or the second version of one, of that file name."""
        every = (*self.pages, *(copy for copy, _ in self.copies))
        return next((page for page in every if page.name == name), None)

    def homes_of(self, name: str) -> tuple[str, ...]:
        """Return the homes that the page of that name is."""
        return tuple(home for home, page in self.book.homes.items() if page == name)


def list_book(folder: FilePath) -> Listing:
    """List a book's pages by their heads; what cannot be read is told and blocks nothing.

    Raises :class:`UnreadableFile` where ``folder`` is no book.
    """
    book = read_book_head(folder)
    heads: list[PageHead] = []
    unreadable: list[UnreadableFile] = []
    for path in page_paths(folder):
        try:
            heads.append(read_head(path))
        except UnreadableFile as error:
            unreadable.append(error)
    pages, copies = without_copies(heads)
    pages.sort(key=lambda page: (page.began, page.name))
    return Listing(folder, book, tuple(pages), tuple(unreadable), tuple(copies))


def list_nothing(folder: FilePath) -> Listing:
    """Return the list of a folder in which there is no book yet."""
    return Listing(folder, BookHead(folder.resolve().name, {}), (), ())


def page_paths(folder: FilePath) -> Iterator[FilePath]:
    """Yield the TOML files of a book that may be pages, by name."""
    for path in sorted(folder.glob("*.toml")):
        if path.name != BOOK_FILE and not path.name.startswith("."):
            yield path


def read_book_head(folder: FilePath) -> BookHead:
    """Read a book's title and homes; raises :class:`UnreadableFile`."""
    path = folder / BOOK_FILE
    tables = _parsed(read_text(path).text, path)
    title, homes = tables.get("title", folder.name), tables.get("homes", {})
    is_table = isinstance(homes, dict) and all(isinstance(page, str) for page in homes.values())
    if not isinstance(title, str) or not is_table:
        raise _no_head(
            path,
            "title is a text, and homes a table of pages' names",
            'homes = { main = "2025-03-14-soundcheck" }',
        )
    return BookHead(title, dict(homes))


def read_head(path: FilePath) -> PageHead:
    """Read a page's head; raises :class:`UnreadableFile` where it has none."""
    head = _head(path)
    number = head.get("format")
    if isinstance(number, int) and number > 1:
        raise _no_head(
            path,
            f"it is of format {min(number, 999_999)}, which a newer Clampbook wrote",
            "open it with a Clampbook at least as new",
            "newer-format",
        )
    for key, (sort, right) in _WANTED.items():
        if key not in head and key not in _MAY_LACK:
            raise _no_head(path, f"its head has no {key}", right)
        # Exactly of that sort: a date with a time is no date, though Python takes it for one.
        if type(head.get(key, _MAY_LACK.get(key))) is not sort:
            raise _no_head(path, f"its {key} is written otherwise than it should be", right)
    if head["began"].tzinfo is None:
        raise _no_head(path, "began has no offset from UTC", _WANTED["began"][1])
    return PageHead(
        path=path,
        rig=head["rig"],
        date=head["date"],
        began=head["began"],
        moment=head["moment"],
        **{key: head.get(key, lacking) for key, lacking in _MAY_LACK.items()},
    )


_WANTED: dict[str, tuple[type, str]] = {
    "rig": (str, 'rig = "Two-post side rack"'),
    "date": (date, "date = 2025-03-14"),
    "began": (datetime, "began = 2025-03-14T17:55:00+01:00"),
    "moment": (str, 'moment = "soundcheck"'),
    "venue": (str, 'venue = "Old Tram Shed"'),
    "begun_from": (str, 'begun_from = "2025-03-13-soundcheck"'),
    "closed": (bool, "closed = false"),
    "reason": (str, 'reason = "lower since the injury"'),
}
_MAY_LACK: dict[str, Any] = {
    "venue": "",
    "begun_from": "",
    "closed": False,
    "reason": "",
}


def count_in(path: FilePath) -> dict[str, int]:
    """Count a page's settings by state; raises :class:`UnreadableFile`."""
    text = read_text(path).text
    record = _parsed(text, path).get("record", {})
    return count_states(_states(record)) if isinstance(record, dict) else count_states(())


def _states(record: Mapping[str, Any]) -> Iterator[str]:
    for owner in record.values():
        if not isinstance(owner, dict):
            continue
        dials = owner.get("dial", {})
        for setting in (*owner.values(), *(dials.values() if isinstance(dials, dict) else ())):
            if isinstance(setting, dict):
                state = next((word for word in STATE_WORDS if word in setting), None)
                if state is not None:
                    yield state


def _head(path: FilePath) -> dict[str, Any]:
    """Read a head from the file's beginning, or from the whole where that does not hold it."""
    beginning = read_beginning(path)
    if "\n[" in beginning and "\ufffd" not in beginning:
        try:
            return _parsed(head_text(beginning), path)
        except UnreadableFile:
            pass  # the whole tells better what is the matter
    text = read_text(path).text
    try:
        return _parsed(head_text(text), path)
    except UnreadableFile as error:
        if error.problems[0].code != "malformed":
            raise
        return _parsed(text, path)  # a value over several lines may have been cut


def head_text(text: str) -> str:
    """Return what stands before the first table header: the head of a page."""
    # Only a line feed ends a line of TOML: str.splitlines would cut inside a text.
    lines = text.split("\n")
    return "\n".join(takewhile(lambda line: not line.lstrip().startswith("["), lines)) + "\n"


def _may_be_deep(text: str) -> bool:
    return any(
        max(line.count("."), line.count("[") + line.count("{")) >= DEEPEST_KEY
        for line in text.split("\n")
    )


def _parsed(text: str, path: FilePath) -> dict[str, Any]:
    if _may_be_deep(text):
        from model.book.tokens import index_text

        if index_text(text).deepest > DEEPEST_KEY:
            raise _no_head(path, "its keys go too deep", "part.setting")
    try:
        return tomli.loads(text.removeprefix("\ufeff"))
    except (ValueError, RecursionError, MemoryError) as error:
        from model.book.malformed import parser_words

        what, line = parser_words(error)
        raise _no_head(path, what, _WANTED["venue"][1], "malformed", line) from error


def _no_head(
    path: FilePath, what: str, right: str, code: str = "no-head", line: int | None = None
) -> UnreadableFile:
    problem = Problem(code=code, what=what, right=right, path=str(path), line=line)
    return UnreadableFile(f"{path.name} cannot be listed", (problem,))
