"""The command line: which command is meant; each is a module of its own, loaded when it is."""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from model.clean import clean
from model.errors import CannotDo, ClampbookError, Problem
from tui.commands.shared import COULD_NOT, NOTHING, Command, say, say_error, say_schema
from tui.crash import crash_words, write_crash_log

COMMANDS = (
    "open",
    "rig",
    "part",
    "kit",
    "begin",
    "read",
    "adopt",
    "compare",
    "putback",
    "positions",
    "draw",
    "recover",
    "sample",
)
_SIGNED = re.compile(r"^(?:-{1,2}|\+{1,2})\s*[0-9.,½¼¾⅛⅜⅝⅞⅓⅔]")
_GUARD = "\0"
EPILOG = "Exit status: 0 nothing to report, 1 something to report, 2 could not do it."


def now() -> datetime:
    """Return the time now, to the second, with its offset from UTC."""
    return datetime.now().astimezone().replace(microsecond=0)


def command_named(name: str) -> Command:
    """Load a command; the others stay unread, so that the first screen waits for none of them."""
    module: Command = import_module(f"tui.commands.{name}")
    return module


def overview() -> str:
    """Return what ``clampbook --help`` says."""
    lines = [
        "usage: clampbook [BOOK or PAGE]",
        "       clampbook COMMAND --help",
        "",
        "The stage-side book of a rack-mounted drum kit. Without a command the screens open.",
        "",
    ]
    lines += [f"  {name:<9} {command_named(name).HELP}" for name in COMMANDS]
    return "\n".join([*lines, "", EPILOG])


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit status."""
    try:
        status = _run(list(sys.argv[1:] if argv is None else argv))
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        return _unheard()
    except OSError as error:
        say_error(f"the system refuses it: {error.strerror or error}: {error.filename or ''}")
        return _unheard()
    return status


def _unheard() -> int:
    """Say nothing more: nobody reads it, or it cannot be written; else the exit says so again."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
    return COULD_NOT


def _run(arguments: list[str]) -> int:
    if arguments[:1] in (["-h"], ["--help"]):
        say(overview())
        return NOTHING
    name = arguments.pop(0) if arguments and arguments[0] in COMMANDS else "open"
    try:
        _check_text(arguments)
        command = command_named(name)
        asked = _parsed(command, name, arguments)
        if getattr(asked, "schema", False):
            return say_schema(command.answer_type())
        return command.run(asked, now)
    except ClampbookError as error:
        say_error(error.text())
        return COULD_NOT
    except UnicodeError as error:
        at = f": byte {error.start + 1}" if isinstance(error, UnicodeDecodeError) else ""
        say_error(f"what came in is not UTF-8 text{at}")
        return COULD_NOT
    except KeyboardInterrupt:
        return 130
    except OSError:
        raise
    except Exception as error:
        say_error(crash_words(error, write_crash_log(error, now())))
        return COULD_NOT


def _check_text(arguments: Sequence[str]) -> None:
    """Refuse what is neither UTF-8 text nor the name of a file; raises :class:`CannotDo`.

    Old disks have such names; the system hands their bytes on as lone surrogates (PEP 383).
    """
    for argument in arguments:
        is_text = not any("\ud800" <= char <= "\udfff" for char in Path(argument).name)
        if not is_text and not os.path.lexists(argument):
            problem = Problem(code="not-utf8", what=f"{argument} is not UTF-8 text", right="UTF-8")
            raise CannotDo("that cannot be read", (problem,))


class _Parser(argparse.ArgumentParser):
    """The library's own, but that what was typed is told cleanly, without the guard of a sign."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the arguments, and end."""
        super().error(clean(message.replace(_GUARD, "")))


def _parsed(command: Command, name: str, arguments: list[str]) -> argparse.Namespace:
    parser = _Parser(
        prog="clampbook" if name == "open" else f"clampbook {name}",
        description=command.HELP,
        epilog=EPILOG,
    )
    command.add_options(parser)
    # A value may begin with its own sign; it must not be taken for an option.
    asked = parser.parse_intermixed_args(
        [_guarded(a, i, arguments) for i, a in enumerate(arguments)]
    )
    for option, value in vars(asked).items():
        if isinstance(value, str):
            setattr(asked, option, value.removeprefix(_GUARD))
        elif isinstance(value, list):
            setattr(asked, option, [item.removeprefix(_GUARD) for item in value])
    return asked


def _guarded(argument: str, index: int, arguments: list[str]) -> str:
    """Guard a signed value, but not the number that belongs to an option before it."""
    follows_option = index > 0 and arguments[index - 1] == "--u"
    return _GUARD + argument if _SIGNED.match(argument) and not follows_option else argument


if __name__ == "__main__":
    sys.exit(main())
