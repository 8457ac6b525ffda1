"""``draw``: the line drawing of a page as SVG, or of two pages over each other."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared import NOTHING, Clock, add_unit, reader_config, say_error, unit_of

if TYPE_CHECKING:
    from model.picture.scene import Arrow, View

HELP = "draw a page in true scale as SVG, alone or over another one"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument(
        "page",
        metavar="PAGE",
        nargs="?",
        default=".",
        help="a page: its file, BOOK/NAME, BOOK/DATE (the night's last page), BOOK/HOME, or a book",
    )
    parser.add_argument("--over", metavar="PAGE", help="a page to lie under it, grey, with arrows")
    parser.add_argument("--out", metavar="FILE", help="the file to write; standard output if not")
    parser.add_argument("--view", choices=("above", "front", "left"), help="one view alone")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="landscape sheet")
    add_unit(parser)


def run(asked: argparse.Namespace, _clock: Clock) -> int:
    """Write the drawing."""
    from model.book.find import find_page
    from model.book.page_file import open_page
    from model.compare.moves import move_arrows, piece_moves
    from model.picture.scene import VIEWS
    from model.picture.sheet import sheet
    from model.space.positions import Positions
    from model.space.scene import page_title, scene_of

    unit = unit_of(asked, reader_config())
    file = open_page(find_page(asked.page, Path.cwd()))
    positions = Positions(file.page)
    views: tuple[View, ...] = (asked.view,) if asked.view else VIEWS
    under = None
    title = page_title(file.page, file.name)
    arrows: tuple[Arrow, ...] = ()
    if asked.over:
        other = open_page(find_page(asked.over, Path.cwd()))
        earlier = Positions(other.page)
        under = scene_of(earlier, page_title(other.page, other.name))
        moves = piece_moves(earlier, positions, (other.name, file.name))
        arrows = tuple(move_arrows(moves, unit))
    if sys.stderr.isatty():
        say_error("laying out the sheet …")
    text = sheet(scene_of(positions, title, arrows), views, asked.paper, under, unit)
    for problem in positions.faults():
        say_error(problem.text())
    if asked.out:
        Path(asked.out).write_text(text, "utf-8")
    else:
        sys.stdout.write(text)
    return NOTHING
