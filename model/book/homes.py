"""The homes of a book: which one is meant, how a new one may be called, and naming it on disk."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path as FilePath

from model.book.book import Book, parse_book
from model.book.heads import BOOK_FILE
from model.book.home_line import with_home
from model.disk.guard import FileText, read_text
from model.disk.save import CHANGED, save
from model.errors import CannotDo, NotSaved, Problem, UnreadableFile

LONGEST_HOME = 100
MOST_TRIES = 20
_DATED = re.compile(r" \d{4}-\d\d-\d\d( \(\d+\))?$")


@dataclass(frozen=True, slots=True)
class OldHome:
    """The home that a new one is made from: its name in the book, and its page."""

    name: str
    page: str
    path: FilePath


def old_home(folder: FilePath, book: Book, asked: str | None) -> OldHome:
    """Return the home that is meant: the first one, or ``asked``, a home's name or a page's.

    Raises :class:`CannotDo` where the book has no home, or none of that name.
    """
    if asked is None:
        if not book.homes:
            raise _no_home(
                "the book names no home yet",
                "name a page as one: clampbook adopt BOOK/PAGE --all --as main; or say which "
                "page to take for it: --from-home PAGE",
            )
        name, page = book.homes[0]
    else:
        page = dict(book.homes).get(asked, asked)
        own = [home for home, named in book.homes if named == page]
        name = asked if asked in dict(book.homes) else (own or ["main"])[0]
    path = folder / f"{page}.toml"
    if "/" in page or not path.is_file() or path.name == BOOK_FILE:
        known = " or ".join(home for home, _ in book.homes) or "a page of the book"
        what = f"the book has no page {page}"
        if page in dict(book.homes).values():
            what = f"its home {name} is the page {page}, which is not there"
        raise _no_home(what, known, asked)
    return OldHome(name, page, path)


def _no_home(what: str, right: str, key: str | None = None) -> CannotDo:
    problem = Problem(code="no-home", what=what, right=right, key=key)
    return CannotDo("there is no home to make a new one from", (problem,))


def home_name(book: Book, base: str, day: date) -> str:
    """Return a free name for a new home: that of the old one with the date, counted where taken."""
    plain = f"{_DATED.sub('', base)} {day.isoformat()}"
    name, number = plain, 2
    while name in dict(book.homes):
        name, number = f"{plain} ({number})", number + 1
    return name


def check_home_name(book: Book, pages: Sequence[str], name: str) -> None:
    """Raise :class:`CannotDo` where a home cannot be called so, or could not be meant by it."""
    what, right = "", home_name(book, "main", date(2026, 3, 22))
    if not name.strip() or name != name.strip() or not name.isprintable():
        what = "a home's name is a word or a few, without blanks at its ends"
    elif len(name) > LONGEST_HOME:
        what = f"a home's name of {len(name)} characters"
        right = f"{LONGEST_HOME} at most"
    elif "/" in name or "\\" in name:
        what = "a stroke stands between a book and its home"
    elif name in dict(book.homes):
        what = f"the book has a home {name} already: {dict(book.homes)[name]}"
    elif name in pages or name.endswith(".toml"):
        what = "a page is called so, and would always be meant"
    elif _is_date(name):
        what = "a date alone means a night"
    if what:
        problem = Problem(code="home-name", what=what, right=right, key=name)
        raise CannotDo("the home cannot be called so", (problem,))


def _is_date(name: str) -> bool:
    try:
        date.fromisoformat(name)
    except ValueError:
        return False
    return True


def named_home(held: FileText, home: str, page: str, *, first: bool, comment: str = "") -> str:
    """Return book.toml's text with one more home; the text must read as just that.

    Raises :class:`UnreadableFile`, :class:`CannotDo` where the name is taken, or
    :class:`NotSaved` where text and value would not agree.
    """
    book, problems = parse_book(held.text, str(held.path))
    if book is None:
        raise UnreadableFile(f"{held.path} cannot be read", problems)
    check_home_name(book, (), home)
    text = with_home(held.text, home, page, first=first, comment=comment)
    homes = ((home, page), *book.homes) if first else (*book.homes, (home, page))
    again, _ = parse_book(text, str(held.path))
    if again != book.model_copy(update={"homes": homes}):
        problem = Problem(
            code="text-and-value",
            what="book.toml would not name the new home so",
            why="this is a fault of Clampbook's; nothing was written",
            right=f'"{home}" = "{page}" below [homes], in an editor',
            path=str(held.path),
        )
        raise NotSaved("not saved; book.toml is as it was", (problem,))
    return text


def name_home(folder: FilePath, home: str, page: str, *, first: bool, comment: str = "") -> None:
    """Name a page as a home in book.toml; when this returns, it is on the disk.

    Where someone else changed the book meanwhile, it is named in theirs. Raises what
    :func:`named_home` does, :class:`NotSaved` and :class:`NotConfirmed`.
    """
    path = folder / BOOK_FILE
    tries = 0
    while True:
        held = read_text(path)
        text = named_home(held, home, page, first=first, comment=comment)
        try:
            save(path, text, held.sha256)
        except NotSaved as error:
            tries += 1
            if tries == MOST_TRIES or all(p.code != CHANGED for p in error.problems):
                raise
        else:
            return
