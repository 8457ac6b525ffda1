"""Which page is meant: a file, a book, or a name, night or home of a book."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from datetime import date
from pathlib import Path as FilePath

from model.book.heads import BOOK_FILE, Listing, list_book, page_paths, read_head
from model.errors import CannotDo, Problem, UnreadableFile


@dataclass(frozen=True, slots=True)
class Meant:
    """What an argument stands for: a book, and the page where one is named."""

    folder: FilePath | None
    page: FilePath | None


def find_meant(argument: str, here: FilePath) -> Meant:
    """Return the book or page that ``argument`` stands for, seen from the folder ``here``.

    A file is a page; a folder with book.toml is a book; anything else is the name of a page, the
    date of a night (its last page) or the name of a home, in the book named before it
    (``tour/2026-03-14``) or, without one, in ``here``. Raises :class:`CannotDo`.
    """
    path = here / argument
    if path.is_dir():
        if (path / BOOK_FILE).is_file():
            return Meant(path, None)
        raise _no_such(
            argument, "that folder is no book: it has no book.toml", "a folder with book.toml"
        )
    if path.is_file() or path.is_symlink():
        return Meant(path.parent if (path.parent / BOOK_FILE).is_file() else None, path)
    if (path.parent / BOOK_FILE).is_file():
        return Meant(path.parent, _in_book(path.name, list_book(path.parent)))
    raise _no_such(
        argument, "there is no such file or book", "clampbook BOOK, or clampbook BOOK/2026-03-14"
    )


def find_empty(argument: str, here: FilePath) -> FilePath | None:
    """Return the folder that ``argument`` stands for, if there is no page and no book in it."""
    path = here / argument
    if not path.is_dir() or (path / BOOK_FILE).exists():
        return None
    return None if any(map(_is_page, page_paths(path))) else path


def _is_page(path: FilePath) -> bool:
    try:
        read_head(path)
    except UnreadableFile:
        return False
    return True


def find_page(argument: str, here: FilePath) -> FilePath:
    """Return the page that ``argument`` stands for; of a book, its last page."""
    meant = find_meant(argument, here)
    if meant.page is not None:
        return meant.page
    assert meant.folder is not None
    last = list_book(meant.folder).last()
    if last is None:
        raise _no_such(argument, "the book has no page yet", "a book with a page")
    return last.path


def _in_book(name: str, listing: Listing) -> FilePath:
    if page := listing.named(name):
        return page.path
    if home := listing.book.homes.get(name):
        if page := listing.named(home):
            return page.path
        raise _no_such(
            name,
            f"that home names {home}, and the book has no such page",
            "a home in book.toml that names a page of the book",
        )
    try:
        last = listing.last(date.fromisoformat(name))
    except ValueError:
        last = None
    if last is not None:
        return last.path
    known = [page.name for page in listing.pages] + list(listing.book.homes)
    near = difflib.get_close_matches(name, known, n=2, cutoff=0.4) or known[-2:]
    raise _no_such(name, "the book has no page, night or home of that name", " or ".join(near))


def _no_such(argument: str, what: str, right: str) -> CannotDo:
    problem = Problem(code="no-such-page", what=what, right=right, key=argument)
    return CannotDo(f"cannot find {argument}", (problem,))
