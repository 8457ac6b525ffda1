"""``begin``: tonight's page from another one, everything carried."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import CannotDo, Problem
from tui.commands.shared import NOTHING, Clock, add_json, reader_config, say, say_json, say_lines
from tui.places import page_journal

if TYPE_CHECKING:
    from model.frozen import Frozen

HELP = "begin a page from another one, everything carried"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument("book", metavar="BOOK", nargs="?", default=".", help="the book's folder")
    parser.add_argument(
        "--from",
        dest="source",
        metavar="PAGE",
        help="the page to begin from; "
        "a page's name, a night's date or a home; the last page if left out",
    )
    parser.add_argument(
        "--date",
        type=date.fromisoformat,
        metavar="YYYY-MM-DD",
        help="the show's date; today if left out",
    )
    parser.add_argument("--moment", default="soundcheck", help="soundcheck, after the show, …")
    parser.add_argument("--venue", help="the house; that of the page begun from on the same date")
    parser.add_argument("--by", help="your initials, for the page's notes")
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.answer import Begun

    return Begun


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Begin the page and say where it is."""
    from model.book.answer import Begun
    from model.book.begin import Begin
    from model.book.find import find_meant, find_page
    from model.book.start import start_page
    from model.rig.counting import count_settings

    meant = find_meant(asked.book, Path.cwd())
    if meant.folder is None or meant.page is not None:
        problem = Problem(
            code="no-book",
            what="a page is begun in a book",
            key=asked.book,
            right="clampbook begin BOOK",
        )
        raise CannotDo("cannot begin a page there", (problem,))
    source = (
        find_page(asked.source, meant.folder) if asked.source else find_page(asked.book, Path.cwd())
    )
    began = clock()
    by = asked.by or reader_config().by
    start = Begin(
        date=asked.date or began.date(),
        began=began,
        moment=asked.moment,
        venue=asked.venue,
        crew=(by,) if by else (),
    )
    file = start_page(meant.folder, source, start, page_journal(clock))
    counts = count_settings(file.page)
    answer = Begun(
        page=file.name, path=str(file.path), begun_from=file.page.head.begun_from, counts=counts
    )
    if asked.json:
        say_json(answer)
    else:
        say_lines([f"{answer.path}: begun from {answer.begun_from}"])
        say(f"{counts['carried']} carried, {counts['open']} open, {counts['follows']} follow")
    return NOTHING
