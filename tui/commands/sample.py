"""``sample``: the books that come with Clampbook, to try it on without a rack at hand."""

from __future__ import annotations

import argparse
import shutil
from pathlib import Path

from model.clean import clean
from model.errors import CannotDo, Problem
from tui.commands.shared import NOTHING, Clock, add_unit, say

HELP = "list the sample books, or copy one and open it"
SAMPLES = Path(__file__).resolve().parent.parent.parent / "sample_rigs"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument("name", metavar="NAME", nargs="?", help="left out: list them")
    parser.add_argument("folder", metavar="FOLDER", nargs="?", help="where to; ./NAME if left out")
    add_unit(parser)
    parser.add_argument("--copy-only", action="store_true", help="copy it and do not open it")


def sample_names() -> list[str]:
    """Return the names of the sample books."""
    return sorted(path.parent.name for path in SAMPLES.glob("*/book.toml"))


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """List the samples, or copy one into a folder that is not there yet, and open it."""
    from model.book.heads import read_book_head

    if asked.name is None:
        for name in sample_names():
            say(f"{name:<18} {read_book_head(SAMPLES / name).title}")
        return NOTHING
    if asked.name not in sample_names():
        problem = Problem(
            code="no-sample",
            what="there is no sample of that name",
            key=asked.name,
            right=" or ".join(sample_names()),
        )
        raise CannotDo("cannot copy the sample", (problem,))
    target = Path(asked.folder or asked.name)
    if not target.exists():
        shutil.copytree(SAMPLES / asked.name, target)
    elif not (target / "book.toml").is_file():
        problem = Problem(
            code="in-the-way",
            what="something else is there already",
            key=str(target),
            right=f"clampbook sample {asked.name} another-folder",
        )
        raise CannotDo("cannot copy the sample", (problem,))
    else:
        say(clean(f"{target} is there already and is opened as it is"))
    if asked.copy_only:
        say(clean(f"{target}: open it with: clampbook {target}"))
        return NOTHING
    from tui.commands import open as opening

    return opening.run(argparse.Namespace(place=str(target), unit=asked.unit), clock)
