"""Which two pages a put-back is between: read, and refused where they are of different rigs."""

from __future__ import annotations

from pathlib import Path as FilePath

from model.book.book import Book, read_book
from model.book.find import find_meant, find_page
from model.book.page_file import PageFile, open_page
from model.compare.putback.asked import Asked
from model.compare.putback.make import Choices
from model.compare.putback.minutes import minutes_of
from model.errors import CannotDo, Problem, UnreadableFile
from model.rig.page import Page


def find_wanted(now: FilePath, wanted: str | None, here: FilePath) -> FilePath:
    """Return the page that pieces are put back to: the named one, else the book's first home.

    A name without a book before it is looked for in ``here``, then in the book of ``now``. Raises
    :class:`CannotDo` where there is none.
    """
    folder = find_meant(str(now), here).folder
    if wanted is not None:
        try:
            return find_page(wanted, here)
        except CannotDo:
            if folder is None or "/" in wanted:
                raise
            return find_page(str(folder / wanted), here)
    if folder is None:
        raise _no_home(now, "it is in no book, so that it has no home")
    home = read_book(folder).book.home()
    if home is None:
        raise _no_home(now, f"{folder.name} names no home")
    return find_page(str(folder / home), here)


def _no_home(now: FilePath, what: str) -> CannotDo:
    problem = Problem(
        code="no-home",
        what=what,
        why="a put-back needs to know what it goes back to",
        right=f"clampbook putback {now.stem} PAGE, or [homes] in book.toml: main = "
        '"2025-03-14-soundcheck"',
        key=str(now),
    )
    return CannotDo("cannot put back", (problem,))


def asked_of(now: PageFile, wanted: PageFile, *, everything: bool = False) -> Asked:
    """Return the put-back between two pages; raises :class:`CannotDo` for one page, or two rigs."""
    if now.path.resolve() == wanted.path.resolve():
        problem = Problem(
            code="one-page",
            what=f"{now.name} is both the page as it is and the one that is wanted",
            right="clampbook putback tour/2025-03-15-after-fill-in tour/main",
        )
        raise CannotDo("cannot put back", (problem,))
    if not same_rig(now.page, wanted.page):
        problem = Problem(
            code="other-rig",
            what=f"{now.name} is a page of {now.page.head.rig or 'a rig without a name'}, "
            f"{wanted.name} of {wanted.page.head.rig or 'a rig without a name'}",
            why="they have hardly a part in common: there is no clamp to put back",
            right="two pages of one rig; clampbook compare holds two rigs against each other by "
            "what each piece is to the player",
        )
        raise CannotDo("cannot put back", (problem,))
    return Asked(now.page, wanted.page, (now.name, wanted.name), everything)


def same_rig(one: Page, other: Page) -> bool:
    """Tell whether two pages have at least half of the smaller one's parts in common."""
    shared = one.by_id.keys() & other.by_id.keys()
    return 2 * len(shared) >= max(1, min(len(one.by_id), len(other.by_id)))


def book_choices(folder: FilePath | None) -> tuple[Choices, UnreadableFile | None]:
    """Return what the book says of a put-back, and why it cannot be read where it cannot."""
    if folder is None:
        return Choices(), None
    try:
        return choices_of(read_book(folder).book), None
    except UnreadableFile as error:
        return Choices(), error


def choices_of(book: Book) -> Choices:
    """Return the book's walk, tolerances and minutes."""
    return Choices(book.walk, book.tolerances, minutes_of(book.minutes))


def open_two(now: FilePath, wanted: FilePath) -> tuple[PageFile, PageFile]:
    """Open both pages; raises :class:`UnreadableFile` with every reason."""
    return open_page(now), open_page(wanted)
