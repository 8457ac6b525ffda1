"""``draw``: the line drawing of a page as SVG, or of two pages over each other."""

from __future__ import annotations

import argparse
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_page,
    add_unit,
    is_watched,
    reader_config,
    say_error,
    tell_waiting,
    unit_of,
)

if TYPE_CHECKING:
    from model.picture.scene import Arrow, View

HELP = "draw a page in true scale as SVG, alone or over another one"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    add_page(parser)
    parser.add_argument("--over", metavar="PAGE", help="a page to lie under it, grey, with arrows")
    parser.add_argument("--out", metavar="FILE", help="the file to write; standard output if not")
    parser.add_argument("--view", choices=("above", "front", "left"), help="one view alone")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="landscape sheet")
    add_unit(parser)


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """Write the drawing; exit status 1 where something of the page has no place by a fault."""
    from model.book.find import find_page
    from model.book.page_file import open_page
    from model.compare.moves import move_arrows, piece_moves
    from model.picture.scene import VIEWS
    from model.picture.sheet import sheet
    from model.space.positions import Positions
    from model.space.scene import page_title, scene_of

    out = Path(asked.out) if asked.out else None
    if out is not None:
        _refuse_target(out)
    unit = unit_of(asked, reader_config())
    file = open_page(find_page(asked.page, Path.cwd()))
    tell_waiting(clock, file)
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
    if is_watched():
        say_error("laying out the sheet …")
    text = sheet(scene_of(positions, title, arrows), views, asked.paper, under, unit)
    faults = positions.faults()
    for problem in faults:
        say_error(problem.text())
    if out is not None:
        _write(out, text)
    else:
        sys.stdout.flush()
        sys.stdout.buffer.write(text.encode("utf-8"))
        sys.stdout.buffer.flush()
    return SOMETHING if faults else NOTHING


def _refuse_target(out: Path) -> None:
    """Raise :class:`CannotDo` for what cannot be a drawing's file, before anything is drawn."""
    from model.errors import CannotDo, Problem

    what, right = "", "--out rack.svg"
    if out.is_dir():
        what, right = "it is a folder", f"name a file in it: --out {out / 'rack.svg'}"
    elif out.suffix.lower() == ".toml":
        what = "a drawing is not written over a page"
    elif not out.parent.is_dir():
        what, right = f"there is no folder {out.parent}", "a folder that is there"
    if what:
        problem = Problem(code="no-target", what=what, key=str(out), right=right)
        raise CannotDo("cannot write the drawing there", (problem,))


def _write(out: Path, text: str) -> None:
    """Write a drawing: a file is replaced whole, a pipe or a device is written into."""
    if out.exists() and not out.is_file():
        out.write_text(text, "utf-8")
        return
    part = out.with_name(f"{out.name}.part")
    try:
        part.write_text(text, "utf-8")
        part.replace(out)
    except OSError as error:  # told of the file that was asked for, not of the one it is made in
        with suppress(OSError):
            part.unlink()
        raise OSError(error.errno, error.strerror, str(out)) from error
