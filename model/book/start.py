"""Starting a page: the file of a new one, from another page and the book's own file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path as FilePath

from model.book.begin import Begin, begin_page, begun_value, page_name
from model.book.book import read_book
from model.book.page_file import PageFile, open_page
from model.book.read import parse_page
from model.book.replay import replay
from model.disk.journal import Journal
from model.disk.save import save
from model.errors import CannotDo, NotSaved, Problem

LONGEST_NAME = 200


def start_page(
    folder: FilePath, source: FilePath, start: Begin, journal: Journal | None = None
) -> PageFile:
    """Begin a page in the book ``folder`` from the page at ``source``; return it, saved.

    What waits for the source in the journal is recorded there first. Without a venue, a page of the
    same date takes the source's. Raises :class:`NotSaved` where a page of that date and moment is
    there already, :class:`CannotDo` for an empty moment, or where something that waits for the
    source cannot go into it: it would not be carried.
    """
    book = read_book(folder).book
    old = _with_all_that_waits(open_page(source), journal)
    for text, name in ((start.moment, "moment"), (start.venue or "", "house")):
        if len(text) > LONGEST_NAME:
            problem = Problem(
                code="too-long",
                what=f"the {name} has {len(text)} characters",
                right=f"{LONGEST_NAME} at most",
            )
            raise CannotDo("cannot begin the page", (problem,))
    if not start.moment.strip():
        problem = Problem(code="no-moment", what="a page needs a moment", right="soundcheck")
        raise CannotDo("cannot begin the page", (problem,))
    if start.venue is None:
        same = old.page.head.date == start.date
        start = replace(start, venue=old.page.head.venue if same else "")
    text = begin_page(old, start, book.instruments, book.kinds)
    path = folder / f"{page_name(start.date, start.moment)}.toml"
    read = parse_page(text, str(path))
    if read.page != begun_value(old, start, book.instruments, book.kinds):
        problem = Problem(
            code="text-and-value",
            what="the new page's text would not say what was carried",
            why="this is a fault of Clampbook's; nothing was written",
            right="begin from another page, and report this one",
            path=str(source),
        )
        raise NotSaved("not saved", (problem, *read.problems))
    save(path, text, None)
    return open_page(path)


def _with_all_that_waits(file: PageFile, journal: Journal | None) -> PageFile:
    if journal is None:
        return file
    replayed = replay(file, journal)
    if left := len(replayed.stay) or (len(replayed.file.held.ids) if replayed.file.held else 0):
        problem = Problem(
            code="waits",
            what=f"{left} of the changes of {file.name} are in the journal alone",
            why="what was read there would not be carried into the new page",
            right="clampbook recover BOOK, or v on the book, takes them or puts them aside",
            path=str(file.path),
        )
        raise CannotDo("cannot begin the page", (problem,))
    return replayed.file
