"""A new normal: chosen pieces of a page become home, or a whole page does; the old home stays."""

from __future__ import annotations

from pathlib import Path as FilePath

from model.book.adopt_answer import Adopted
from model.book.book import read_book
from model.book.heads import BOOK_FILE, page_paths
from model.book.homes import (
    OldHome,
    check_home_name,
    home_name,
    name_home,
    named_home,
    old_home,
)
from model.book.layout import entry_line
from model.book.new_home_page import NewHome, Wish, new_home
from model.book.page_file import PageFile, open_page
from model.disk.guard import read_text
from model.disk.save import save
from model.errors import CannotDo, ClampbookError, NotConfirmed, NotSaved, Problem
from model.frozen import LONGEST_TEXT


def adopt_pieces(folder: FilePath, source: FilePath, wish: Wish) -> Adopted:
    """Make a new home with chosen pieces of the page at ``source``; when this returns, it is there.

    The page is saved first, then book.toml names it, before all other homes. The old home keeps
    its name and its page. Raises :class:`CannotDo` with every reason, :class:`UnreadableFile`, or
    :class:`NotSaved` and :class:`NotConfirmed`, which say what is on the disk.
    """
    book = read_book(folder).book
    here = open_page(source)
    old = old_home(folder, book, wish.from_home)
    _check_wish(here, old, wish)
    name = wish.name or home_name(book, old.name, here.page.head.date)
    taken = tuple(path.stem for path in page_paths(folder))
    check_home_name(book, taken, name)
    made = new_home(here, open_page(old.path), wish, taken)
    named_home(read_text(folder / BOOK_FILE), name, made.file.name, first=True)  # it can be done
    _save_both(folder, made, name)
    return Adopted(
        home=name,
        page=made.file.name,
        path=str(made.file.path),
        first=True,
        made=True,
        closed=True,
        reason=wish.reason,
        from_page=here.name,
        old_home=old.name,
        old_page=old.page,
        pieces=tuple(here.page.by_id[piece].name for piece in wish.pieces),
        adopted=made.chosen.adopted,
        left=made.chosen.left,
        moved=made.chosen.moved,
        kept=made.chosen.kept,
    )


def adopt_page(
    folder: FilePath, source: FilePath, name: str, *, first: bool = False, reason: str = ""
) -> Adopted:
    """Name a whole page as a home, as it is; its reason stands as a comment in book.toml.

    ``first`` puts it before all others, so that it is meant where no home is named. Raises as
    :func:`adopt_pieces` does.
    """
    book = read_book(folder).book
    here = open_page(source)
    check_home_name(book, tuple(path.stem for path in page_paths(folder)), name)
    _check_length(reason)
    name_home(folder, name, here.name, first=first, comment=reason)
    return Adopted(
        home=name,
        page=here.name,
        path=str(here.path),
        first=first or not book.homes,
        made=False,
        closed=here.page.head.closed,
        reason=reason,
        from_page=here.name,
    )


def _check_wish(here: PageFile, old: OldHome, wish: Wish) -> None:
    _check_length(wish.reason)
    if not wish.reason.strip():
        problem = Problem(
            code="no-reason",
            what="a new normal has a reason",
            why="whoever puts the rack back to it will ask for one",
            right='--reason "lower since the injury"',
        )
        raise CannotDo("the pieces cannot be adopted", (problem,))
    if here.path.resolve() == old.path.resolve():
        problem = Problem(
            code="is-home",
            what=f"{here.name} is the home {old.name} itself",
            right="the page on which the pieces were read as they are to be",
            key=here.name,
        )
        raise CannotDo("there is nothing to adopt", (problem,))


def _check_length(reason: str) -> None:
    if len(reason) > LONGEST_TEXT:
        what = f"a reason of {len(reason)} characters"
        problem = Problem(code="too-long", what=what, right=f"{LONGEST_TEXT} at most")
        raise CannotDo("the home cannot be named", (problem,))


def _save_both(folder: FilePath, made: NewHome, name: str) -> None:
    """Save the page, then the book; where the second fails, say what is on the disk by then."""
    page = made.file
    try:
        save(page.path, page.text, None)
    except NotConfirmed as error:
        title = f"{page.path.name} is written, but not confirmed; book.toml does not name it yet"
        raise NotConfirmed(title, (_by_hand(folder, page, name), *error.problems)) from error
    try:
        name_home(folder, name, page.name, first=True)
    except NotConfirmed as error:
        title = f"{page.path.name} is saved; book.toml names it, but that is not confirmed"
        raise NotConfirmed(title, error.problems) from error
    except (ClampbookError, OSError) as error:
        title = f"{page.path.name} is saved; book.toml is as it was and does not name it as home"
        found = error.problems if isinstance(error, ClampbookError) else ()
        raise NotSaved(title, (_by_hand(folder, page, name), *found)) from error


def _by_hand(folder: FilePath, page: PageFile, name: str) -> Problem:
    return Problem(
        code="not-named",
        what=f"the page of the new home is whole, and no home of the book: {page.path}",
        why="the page is saved first, then the book",
        right=f"this line first below [homes]: {entry_line((name,), page.name)}",
        path=str(folder / BOOK_FILE),
    )


__all__ = ["Adopted", "Wish", "adopt_page", "adopt_pieces", "new_home"]
