"""``compare``: what differs between two pages: structure, settings, and where the pieces are."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_unit,
    is_watched,
    reader_config,
    say,
    say_error,
    say_json,
    say_schema,
    tell_waiting,
    unit_of,
)

if TYPE_CHECKING:
    from model.errors import CannotDo
    from model.frozen import Frozen
    from model.readings.quantity import LengthUnit
    from tui.commands.compare_what import How

HELP = "say what differs between two pages: structure, settings, pieces"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument("before", metavar="A", nargs="?", help="a page, or a book (its last page)")
    parser.add_argument(
        "after",
        metavar="B",
        nargs="?",
        help="a page: its file, BOOK/NAME, BOOK/DATE (the night's last page) or BOOK/HOME",
    )
    parser.add_argument("--all", action="store_true", help="every setting and piece")
    how = parser.add_mutually_exclusive_group()
    how.add_argument(
        "--as-read", action="store_true", help="the readings alone: no joint's own value, no pieces"
    )
    how.add_argument(
        "--by-role", action="store_true", help="as two rigs: pieces by what they are to the player"
    )
    how.add_argument(
        "--by-part", action="store_true", help="as one rig, whatever its name: parts by their ids"
    )
    how.add_argument(
        "--three", action="store_true", help="one page A: home, the page before it, and it, at once"
    )
    parser.add_argument("--home", metavar="NAME", help="with --three: which of the book's homes")
    add_unit(parser)
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    # Two answers, two schemas: the command itself says which.
    parser.add_argument(
        "--schema", dest="asks_schema", action="store_true", help="print the answer's JSON Schema"
    )


def answer_type() -> type[Frozen]:
    """Return the type of the answer for two pages."""
    from model.compare.answer import Compared

    return Compared


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Compare the pages; exit status 1 where something differs beyond the readings' uncertainty."""
    if asked.asks_schema:
        return _schema(asked)
    unit = unit_of(asked, reader_config())
    if asked.three:
        return _run_three(asked, unit, clock)
    if asked.home is not None:
        raise _refused("no-three", "--home chooses the home of --three", "--three --home main A")
    if asked.before is None or asked.after is None:
        raise _refused(
            "two-pages",
            "two pages are compared",
            "clampbook compare tour/2026-03-20 tour/2026-03-21",
        )
    from tui.commands.compare_what import compared, opened
    from tui.commands.compare_words import compared_lines

    files = opened(asked.before), opened(asked.after)
    tell_waiting(clock, *files)
    if is_watched():
        say_error("working out what moved …")
    answer = compared(files, _how(asked))
    if asked.json:
        say_json(answer)
    else:
        pages = files[0].page, files[1].page
        say("\n".join(compared_lines(answer, *pages, unit, asked.all)))
    return SOMETHING if answer.something else NOTHING


def _how(asked: argparse.Namespace) -> How:
    ways: tuple[How, ...] = ("as read", "by role", "by part")
    return next((way for way in ways if vars(asked)[way.replace(" ", "_")]), "as they are")


def _schema(asked: argparse.Namespace) -> int:
    if not asked.three:
        return say_schema(answer_type())
    from model.compare.three_answer import ThreeCompared

    return say_schema(ThreeCompared)


def _run_three(asked: argparse.Namespace, unit: LengthUnit, clock: Clock) -> int:
    from tui.commands.compare_three_words import three_lines
    from tui.commands.compare_what import home_last_and, opened

    if asked.after is not None:
        raise _refused(
            "one-page",
            "--three takes one page: its book's home and the page before it stand beside it",
            "clampbook compare --three tour/2026-03-21",
        )
    file = opened(asked.before or ".")
    tell_waiting(clock, file)
    answer = home_last_and(file, asked.home or "")
    if asked.json:
        say_json(answer)
    else:
        say("\n".join(three_lines(answer, file.page, unit, asked.all)))
    return SOMETHING if answer.something else NOTHING


def _refused(code: str, what: str, right: str) -> CannotDo:
    from model.errors import CannotDo, Problem

    return CannotDo("cannot compare", (Problem(code=code, what=what, right=right),))
