"""``kit``: adds the pieces of a kit list to a page, to be hung piece by piece."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import CannotDo, Problem
from model.readings.quantity import Refusal
from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_unit,
    page_to_build,
    reader_config,
    say_json,
    say_lines,
    stdin_lines,
    unit_of,
)

if TYPE_CHECKING:
    from model.frozen import Frozen

HELP = "add the pieces of a kit list, to be hung one by one"
DESCRIPTION = """\
Add the pieces of a kit list: CSV, or lines of role, type, diameter, depth. Columns may be named on
the first line, in any order; name and weight may be among them.

    role, type, diameter, depth
    tom 1, drum, 10", 7"
    ride, cymbal, 20"
    kick, kick, 22", 16"
    throne, throne

The types are drum, kick, cymbal, pad, percussion, throne, pedal. With one fault in the list nothing
is added. The pieces are not hung yet: h on the building screen, or clampbook part BOOK hang.
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.description = DESCRIPTION
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("page", metavar="PAGE", nargs="?", help="a page, or a book (its last page)")
    parser.add_argument("list", metavar="LIST", nargs="?", help="a file; left out: standard input")
    parser.add_argument("--by", help="your initials")
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.build_answer import Built

    return Built


def run(asked: argparse.Namespace, _clock: Clock) -> int:
    """Add the pieces; with a fault in the list none."""
    from model.book.build import build, known_kinds
    from model.book.build_answer import StepTaken, built_answer
    from model.disk.guard import read_text
    from model.rig.building.kit import kit_added, read_kit

    config = reader_config()
    unit = unit_of(asked, config)
    file, own = page_to_build(asked.page)
    if asked.list in (None, "-"):
        name, text = "standard input", "".join(stdin_lines())
    else:
        name, text = asked.list, read_text(Path.cwd() / asked.list).text
    kit = read_kit(text, name, unit)
    if kit.problems:
        raise CannotDo("the kit list cannot be taken; nothing was added", kit.problems)
    made = build(
        file, lambda page: kit_added(page, kit, known_kinds(page, own), unit), asked.by or config.by
    )
    if isinstance(made, Refusal):
        problem = Problem(code="kit-list", what=made.why, right=made.right, path=name)
        raise CannotDo("the kit list cannot be taken; nothing was added", (problem,))
    after, edit = made
    new = [part for part in after.page.parts if part.id not in file.page.by_id]
    steps = [StepTaken(typed=name, done=True, what=part.name, id=part.id) for part in new]
    answer = built_answer(after, steps)
    before = {getattr(part, "role", None) for part in file.page.parts}
    twice = [piece.role for piece in kit.pieces if piece.role in before]
    if asked.json:
        say_json(answer)
    else:
        flags = [f"flagged: on the page before, and twice now: {', '.join(twice)}"] if twice else []
        say_lines([edit.what, *(f"  {part.name} ({part.id})" for part in new), *flags])
    return SOMETHING if twice else NOTHING
