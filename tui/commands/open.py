"""``open``: a book or a page in the terminal screens; what happens when no command is named."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from tui.commands.shared import Clock, add_unit, reader_config, unit_of

HELP = "open a book or a page in the screens; what happens without a command"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument("place", metavar="BOOK or PAGE", nargs="?", default=".")
    add_unit(parser)


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Open the screens; return when they are left."""
    from model.book.find import Meant, find_empty, find_meant

    empty = find_empty(asked.place, Path.cwd())
    meant = find_meant(asked.place, Path.cwd()) if empty is None else Meant(empty, None)
    config = reader_config()
    config = replace(config, unit=unit_of(asked, config))
    from tui.app import run_app

    return run_app(meant, config, clock)
