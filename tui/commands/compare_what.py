"""What ``compare`` compares: which pages, in which way, with what their books say."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from model.errors import CannotDo, ClampbookError, Problem, UnreadableFile
from tui.commands.shared import say_error

if TYPE_CHECKING:
    from model.book.book import Book
    from model.book.page_file import PageFile
    from model.compare.answer import Compared
    from model.compare.three_answer import ThreeCompared

How = Literal["as they are", "as read", "by role", "by part"]
"""By role where they are of two rigs, else by part; or one way by force."""


def opened(name: str) -> PageFile:
    """Open the page that is meant; raises :class:`ClampbookError`."""
    from model.book.find import find_page
    from model.book.page_file import open_page

    return open_page(find_page(name, Path.cwd()))


def compared(files: tuple[PageFile, PageFile], how: How) -> Compared:
    """Compare two pages; the walk is of the second's book, else of the first's. So are tolerances,
    role by role: a hired rack's book has none.

    A first page that is a home of its own book is a wanted one.
    """
    pages, names = (files[0].page, files[1].page), (files[0].name, files[1].name)
    books = _books(files)
    book = books[1] or books[0]
    wanted = books[0] is not None and files[0].name in dict(books[0].homes).values()
    walk = book.walk if book else ()
    tolerances = tuple(held for of in dict.fromkeys(books) if of for held in of.tolerances)
    if how == "as read":
        from model.compare.answer import compare_pages

        return compare_pages(*pages, names, walk, wanted=wanted)
    from model.compare.rigs import why_two_rigs

    two = why_two_rigs(*pages)
    if how == "by role" or (two and how != "by part"):
        from model.compare.roles import compare_by_role

        why = two or "compared by role, as was asked"
        return compare_by_role(pages, names, why, tolerances, wanted=wanted)
    from model.compare.whole import whole_comparison

    return whole_comparison(pages, names, walk=walk, tolerances=tolerances, wanted=wanted)


def _books(files: tuple[PageFile, PageFile]) -> tuple[Book | None, Book | None]:
    first = _book(files[0].path)
    if files[0].path.parent.resolve() == files[1].path.parent.resolve():
        return first, first
    return first, _book(files[1].path)


def _book(page: Path) -> Book | None:
    """Return the book that a page is in; one that cannot be read blocks no comparison."""
    from model.book.book import read_book
    from model.book.find import find_meant

    folder = find_meant(str(page), Path.cwd()).folder
    if folder is None:
        return None
    try:
        return read_book(folder).book
    except UnreadableFile as error:
        say_error(error.text())
        return None


def home_last_and(file: PageFile, home_name: str) -> ThreeCompared:
    """Compare a page with its book's home and with the page before it.

    Raises :class:`ClampbookError` where there is no book or no such home. A last page that cannot
    be read is said, and left out.
    """
    from model.book.book import read_book
    from model.book.find import find_meant
    from model.book.heads import list_book
    from model.book.page_file import open_page
    from model.compare.three import compare_three
    from model.compare.which_three import three_pages

    folder = find_meant(str(file.path), Path.cwd()).folder
    if folder is None:
        problem = Problem(
            code="no-book",
            what=f"{file.name} is in no book, and a home is a book's",
            right="a page in a folder with book.toml that names a home",
        )
        raise CannotDo("cannot compare with the home", (problem,))
    three = three_pages(list_book(folder), file.name, home_name)
    last = None
    if three.last is not None:
        try:
            last = open_page(three.last.path).page
        except ClampbookError as error:
            say_error(error.text())
    home = open_page(three.home.path).page
    return compare_three(three, home, last, file.page, read_book(folder).book)
