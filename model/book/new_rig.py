"""A book of one's own, from nothing: its folder, book.toml, and a first page with no part yet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path as FilePath

from model.book.begin import page_name
from model.book.book import parse_book
from model.book.heads import BOOK_FILE
from model.book.into_toml import instrument_table
from model.book.layout import entry_line, paragraphs, spaced_table_lines
from model.book.page_file import PageFile, open_page
from model.book.write import write_page
from model.disk.save import save
from model.errors import CannotDo, Problem
from model.readings.instruments import GENERIC_INSTRUMENTS
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes, with_changes
from model.rig.building.naming import checked_name
from model.rig.page import Head, Page

TITLE = "# Clampbook book. Millimetres, degrees, teeth."


@dataclass(frozen=True, slots=True)
class NewRig:
    """What a book is begun with. ``began`` knows its offset from UTC, to the second."""

    rig: str
    date: date
    began: datetime
    moment: str = "built"
    venue: str = ""
    title: str = ""
    crew: tuple[str, ...] = ()


def new_book(folder: FilePath, wish: NewRig) -> PageFile:
    """Make a book with its first page; return the page, saved.

    The folder may be there already, without a book in it; what else is in it stays. Raises
    :class:`CannotDo` for a name that is none or a book that is there, and as saving does.
    """
    rig = _checked(wish.rig, "the rig's name")
    title = _checked(wish.title or wish.rig, "the book's title")
    moment = _checked(wish.moment, "a moment")
    venue = _checked(wish.venue, "a house") if wish.venue else ""
    if (folder / BOOK_FILE).exists():
        problem = Problem(
            code="is-book",
            what=f"{folder.name} is a book already",
            right="another folder, or a page begun in this one",
            path=str(folder),
        )
        raise CannotDo("the book cannot be begun", (problem,))
    crew = tuple(_checked(name, "a crew member's name") for name in wish.crew)
    wish = replace(wish, crew=crew)
    text = _book_text(title, rig, crew)
    book, problems = parse_book(text, str(folder / BOOK_FILE))
    if book is None:
        raise CannotDo("the book cannot be begun", problems)
    page = with_changes(_first_page(wish, rig, moment, venue), Changes(""))
    path = folder / f"{page_name(wish.date, moment)}.toml"
    folder.mkdir(parents=True, exist_ok=True)
    if not path.exists():  # else a book that was cut off before it had its own file
        save(path, write_page(page), None)
    save(folder / BOOK_FILE, text, None)
    return open_page(path)


def _first_page(wish: NewRig, rig: str, moment: str, venue: str) -> Page:
    head = Head(rig=rig, date=wish.date, began=wish.began, moment=moment, venue=venue)
    instruments = tuple(sorted(GENERIC_INSTRUMENTS, key=lambda held: held.id))
    crew = tuple((name, "") for name in wish.crew)
    return Page(head=head, crew=crew, instruments=instruments)


def _book_text(title: str, rig: str, crew: tuple[str, ...]) -> str:
    head = [TITLE, entry_line(("title",), title), entry_line(("rig",), rig)]
    if crew:
        head.append(entry_line(("crew",), crew))
    held = {one.id: instrument_table(one) for one in GENERIC_INSTRUMENTS}
    ordered = {name: held[name] for name in sorted(held)}
    return paragraphs([head, ["[homes]"], spaced_table_lines(("instrument",), ordered)])


def _checked(typed: str, what: str) -> str:
    name = checked_name(typed, what)
    if isinstance(name, Refusal):
        problem = Problem(code="no-name", what=name.why, right=name.right)
        raise CannotDo("the book cannot be begun", (problem,))
    return name
