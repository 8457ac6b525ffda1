"""What every command shares: saying things cleanly, JSON, the reader's choices."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from model.clean import clean, clean_lines
from model.errors import CannotDo, Problem
from model.readings.quantity import LENGTH_UNITS, LengthUnit
from tui.config import Config, config_path, read_config

if TYPE_CHECKING:
    from model.book.page_file import PageFile
    from model.frozen import Frozen
    from model.rig.kind import Kind

NOTHING, SOMETHING, COULD_NOT = 0, 1, 2
"""Exit status: nothing to report; something to report; could not do it."""


Clock = Callable[[], datetime]


class Command(Protocol):
    """What a command's module has. ``answer_type`` only where ``--json`` prints an answer."""

    HELP: str
    answer_type: Callable[[], type[Frozen]]

    def add_options(self, parser: argparse.ArgumentParser) -> None:
        """Declare what the command asks for."""

    def run(self, asked: argparse.Namespace, clock: Clock) -> int:
        """Do it and say it; return the exit status."""


def say(text: str) -> None:
    """Print a text that may hold words from files."""
    print(clean_lines(text))


def say_lines(lines: Iterable[str]) -> None:
    """Print lines, each cleaned by itself: a line break in a name begins none."""
    for line in lines:
        print(clean(line))


def stdin_lines() -> Iterator[str]:
    """Yield the lines of standard input; raises :class:`CannotDo` where there is none."""
    if sys.stdin is None:
        problem = Problem(code="no-input", what="standard input is closed", right="a list: < FILE")
        raise CannotDo("there is nothing to read", (problem,))
    yield from sys.stdin


def is_watched() -> bool:
    """Tell whether someone looks at what goes wrong: a terminal, to which progress may go."""
    return sys.stderr is not None and sys.stderr.isatty()


def tell_waiting(clock: Clock, *files: PageFile) -> None:
    """Say that changes of these pages are in the journal alone: what follows does without them."""
    from tui.places import page_journal

    journal = page_journal(clock)
    for file in files:
        if number := len(journal.read(file.id).waiting):
            changes = "1 change" if number == 1 else f"{number} changes"
            say_error(clean(f"without {changes} of {file.name} that the book has not taken yet: "
                            "open it, or clampbook recover"))  # fmt: skip


def say_error(text: str) -> None:
    """Print what went wrong to standard error."""
    print(clean_lines(text), file=sys.stderr)


def say_json(answer: Frozen) -> None:
    """Print an answer for a program."""
    data = answer.model_dump(mode="json")
    print(json.dumps(data, indent=2, ensure_ascii=True))


def say_schema(answer: type[Frozen]) -> int:
    """Print the JSON Schema of an answer; return the exit status."""
    print(json.dumps(schema_of(answer), indent=2))
    return NOTHING


def schema_of(answer: type[Frozen]) -> dict[str, Any]:
    """Return the JSON Schema of an answer as ``--json`` prints it."""
    return answer.model_json_schema(mode="serialization")


def add_json(parser: argparse.ArgumentParser) -> None:
    """Add the two options of every command that a program may read."""
    parser.add_argument("--json", action="store_true", help="print the answer as JSON")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of the answer")


def add_page(parser: argparse.ArgumentParser) -> None:
    """Add the one page that a command is about."""
    parser.add_argument(
        "page",
        metavar="PAGE",
        nargs="?",
        default=".",
        help="a page: its file, BOOK/NAME, BOOK/DATE (the night's last page), BOOK/HOME, or a book",
    )


def add_unit(parser: argparse.ArgumentParser) -> None:
    """Add the option for the reader's unit of length."""
    parser.add_argument("--unit", choices=LENGTH_UNITS, help="lengths without a unit, and shown")


def page_to_build(argument: str | None) -> tuple[PageFile, tuple[Kind, ...]]:
    """Open the page that parts are to come on; return it with its book's own kinds."""
    from model.book.book import read_book
    from model.book.find import find_meant, find_page
    from model.book.page_file import open_page

    path = find_page(argument or ".", Path.cwd())
    folder = find_meant(str(path), Path.cwd()).folder
    own = () if folder is None else read_book(folder).book.kinds
    return open_page(path), own


def reader_config() -> Config:
    """Return the reader's choices."""
    return read_config(config_path())


def unit_of(asked: argparse.Namespace, config: Config) -> LengthUnit:
    """Return the unit of this call: its option, else the reader's choice."""
    unit: LengthUnit | None = asked.unit
    return unit or config.unit
