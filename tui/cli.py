"""The command line: one small function a command, and the screens when no command is named."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from model.errors import ClampbookError
from tui.commands import begin, compare, read, sample
from tui.commands.shared import COULD_NOT, NOTHING, add_unit, say_error, say_schema

ANSWERING = {module.NAME: module for module in (begin, read, compare)}
COMMANDS = {**ANSWERING, sample.NAME: sample}
_SIGNED = re.compile(r"^(?:-{1,2}|\+{1,2})\s*[0-9.,½¼¾⅛⅜⅝⅞⅓⅔]")
_GUARD = "\0"
EPILOG = "Exit status: 0 nothing to report, 1 something to report, 2 could not do it."


def now() -> datetime:
    """Return the time now, to the second, with its offset from UTC."""
    return datetime.now().astimezone().replace(microsecond=0)


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the commands."""
    parser = argparse.ArgumentParser(
        prog="clampbook",
        description="The stage-side book of a rack-mounted drum kit. Without a command, "
        "clampbook [BOOK or PAGE] opens the screens.",
        epilog=EPILOG,
    )
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, module in COMMANDS.items():
        sub = commands.add_parser(name, help=module.HELP, description=module.HELP, epilog=EPILOG)
        module.add_options(sub)
    opening = commands.add_parser("open", help="open a book or a page in the screens (the default)")
    opening.add_argument("place", metavar="BOOK or PAGE", nargs="?", default=".")
    add_unit(opening)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit status."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if not arguments or arguments[0] not in (*COMMANDS, "open", "-h", "--help"):
        arguments.insert(0, "open")
    # A value may begin with its own sign; it must not be taken for an option.
    guarded = [_GUARD + a if _SIGNED.match(a) else a for a in arguments]
    asked = build_parser().parse_args(guarded)
    _unguard(asked)
    try:
        return _run(asked)
    except ClampbookError as error:
        say_error(error.text())
        return COULD_NOT
    except BrokenPipeError:
        sys.stderr.close()
        return COULD_NOT
    except KeyboardInterrupt:
        return 130


def _unguard(asked: argparse.Namespace) -> None:
    for name, value in vars(asked).items():
        if isinstance(value, str):
            setattr(asked, name, value.removeprefix(_GUARD))
        elif isinstance(value, list):
            setattr(asked, name, [item.removeprefix(_GUARD) for item in value])


def _run(asked: argparse.Namespace) -> int:
    if getattr(asked, "schema", False):
        return say_schema(ANSWERING[asked.command].answer_type())
    match asked.command:
        case "open":
            return open_screens(asked.place, asked)
        case "begin":
            return begin.run(asked, now)
        case "read":
            return read.run(asked)
        case "compare":
            return compare.run(asked)
        case _:
            return sample.run(asked)


def open_screens(place: str, asked: argparse.Namespace) -> int:
    """Open a book or a page in the terminal screens."""
    from dataclasses import replace

    from model.book.find import find_meant
    from tui.config import config_path, read_config

    meant = find_meant(place, Path.cwd())
    config = read_config(config_path())
    if getattr(asked, "unit", None):
        config = replace(config, unit=asked.unit)
    from tui.app import run_app

    run_app(meant, config, now)
    return NOTHING


if __name__ == "__main__":
    sys.exit(main())
