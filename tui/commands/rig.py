"""``rig``: makes a book of one's own, with a first page that has no part yet."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import CannotDo, Problem
from tui.commands.shared import NOTHING, Clock, add_json, reader_config, say_json, say_lines

if TYPE_CHECKING:
    from model.frozen import Frozen

HELP = "make a book of your own: a rig with no part yet"
DESCRIPTION = """\
Make a book: a folder with book.toml and a first page, on which the rig is built, part by part:

    clampbook rig my-rig "Two-post side rack"
    clampbook part my-rig add "Left post" --kind foot-post
    clampbook kit my-rig kit.csv
    clampbook my-rig                              and go on in the screens: B on the rack
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.description = DESCRIPTION
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("folder", metavar="FOLDER", nargs="?", help="the book's folder")
    parser.add_argument("name", metavar="NAME", nargs="?", help="what the rig is called")
    parser.add_argument("--title", help="the book's title; the rig's name if left out")
    parser.add_argument("--date", help="of the first page; today if left out")
    parser.add_argument("--moment", default="built", help="of the first page (built)")
    parser.add_argument("--venue", help="where it is built")
    parser.add_argument("--by", help="your initials")
    parser.add_argument("--crew", metavar="AK,JM", help="all who will write in it")
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.build_answer import BookBegun

    return BookBegun


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Make the book; say where it is."""
    from model.book.build_answer import BookBegun
    from model.book.new_rig import NewRig, new_book

    if not asked.folder or not asked.name:
        what = "a book has a folder, and its rig a name"
        problem = Problem(code="no-name", what=what, right='clampbook rig my-rig "Side rack"')
        raise CannotDo("cannot make the book", (problem,))
    by = asked.by or reader_config().by
    named = [name.strip() for name in (asked.crew or "").split(",")]
    crew = tuple(dict.fromkeys(name for name in (by, *named) if name))
    now = clock()
    wish = NewRig(
        rig=asked.name,
        date=_date(asked.date) if asked.date else now.date(),
        began=now,
        moment=asked.moment,
        venue=asked.venue or "",
        title=asked.title or "",
        crew=crew,
    )
    folder = Path.cwd() / asked.folder
    file = new_book(folder, wish)
    answer = BookBegun(book=str(folder), page=file.name, path=str(file.path))
    if asked.json:
        say_json(answer)
    else:
        how = "build it with B on the rack, or with clampbook part"
        say_lines([f"{answer.path}: no part yet; {how}"])
    return NOTHING


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        problem = Problem(code="no-date", what=f"{text} is no date", right="2026-03-14")
        raise CannotDo("cannot make the book", (problem,)) from None
