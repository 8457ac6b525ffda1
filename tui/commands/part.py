"""``part``: builds a rig from the command line or a list: adds, hangs, sets, copies, takes off."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Iterator
from typing import TYPE_CHECKING

from model.errors import CannotDo, ClampbookError, Problem
from model.readings.quantity import Refusal
from tui.commands.shared import (
    COULD_NOT,
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
    from model.book.build_answer import StepTaken
    from model.book.page_file import PageFile
    from model.frozen import Frozen
    from model.readings.quantity import LengthUnit
    from model.rig.kind import Kind

HELP = "build a rig: add, hang, set, copy and take off parts"
DESCRIPTION = """\
Build a rig, a step at a time, or many from standard input, a line each:

    clampbook part BOOK add "Left post" --kind foot-post --set tube=38.1 --set colour=green
    clampbook part BOOK bar "Front bar" --on "Left post" --on "Right post" --grip right --curved
    clampbook part BOOK add "Ride boom" --kind boom-on-clamp --on "Front bar"
    clampbook part BOOK add "Ride" --type piece --on "Ride boom" --set role=ride
    clampbook part BOOK set Ride 'size=disc 20"'
    clampbook part BOOK hang "Ride boom" --on "Left post"
    clampbook part BOOK set Ride weight=2.2? dial.sleeve=word
    clampbook part BOOK kind "Ride boom" --kind rod-clamp
    clampbook part BOOK limit ride-boom.reach 0 400
    clampbook part BOOK copy "Left post" "Right post"     with all that hangs on them
    clampbook part BOOK order Ride --before Splash        in the file, by hand
    clampbook part BOOK remove "Ride boom"                what hung on it is not hung then
    clampbook part BOOK gap Ride Splash                   a spot: a direct check measure
    clampbook part BOOK height Snare near
    clampbook part BOOK mark ahead 0 1200                 a mark on the rug, to tape from
    clampbook part BOOK make "Swivel arm" --kind ball-arm tilt.teeth=24 slide.limit=0..200
    clampbook part BOOK kinds --on "Front bar"            the kinds that can hang there

A part is meant by its id or its name; both may be shortened while they stay clear. Nothing is
asked; a step that cannot be is told and changes nothing, and every other one is on the disk before
the next.
"""
VERBS = ("add", "bar", "hang", "set", "kind", "limit", "copy", "order", "remove", "gap", "height",
         "unspot", "mark", "make", "kinds")  # fmt: skip


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.description = DESCRIPTION
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("page", metavar="PAGE", nargs="?", help="a page, or a book (its last page)")
    add_step_options(parser)
    parser.add_argument("--by", help="your initials: new parts go above your own line of the page")
    add_unit(parser)
    add_json(parser)


def add_step_options(parser: argparse.ArgumentParser) -> None:
    """Declare what one step asks for."""
    parser.add_argument("verb", metavar="STEP", nargs="?", help=", ".join(VERBS))
    parser.add_argument("words", metavar="PART or WORD", nargs="*")
    parser.add_argument("--kind", help="the kind of hardware")
    parser.add_argument("--type", choices=("post", "bar", "mount", "piece"), help="without a kind")
    parser.add_argument("--on", action="append", help="what it hangs on; floor, or not-hung")
    parser.add_argument("--at", help="which outlet of it; the first free one if left out")
    parser.add_argument(
        "--set", dest="fields", action="append", default=[], metavar="WORD=VALUE",
        help="a size, a mark, a dial …; may be given again",
    )  # fmt: skip
    parser.add_argument("--grip", choices=("left", "right", "through", "end"), default="right")
    parser.add_argument("--curved", action="store_true", help="the bar is curved")
    parser.add_argument("--before", metavar="PART", help="stands before it in hand order")
    parser.add_argument("--id", help="an id of your own; one is made if left out")
    parser.add_argument("--name", help="a spot's own name")


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.build_answer import Built

    return Built


def run(asked: argparse.Namespace, _clock: Clock) -> int:
    """Make the steps; say each; exit status 1 where one was refused among others."""
    from model.book.build_answer import built_answer

    config = reader_config()
    unit, by = unit_of(asked, config), asked.by or config.by
    file, own = page_to_build(asked.page)
    if asked.verb == "kinds":
        return _tell_kinds(file, asked, own)
    steps: list[StepTaken] = []
    for number, typed, step in _steps_asked(asked):
        taken, file = _take(number, typed, step, file, unit, by, own)
        steps.append(taken)
        if not asked.json:
            say_lines([_in_words(taken)])
    answer = built_answer(file, steps)
    if asked.json:
        say_json(answer)
    done = sum(step.done for step in steps)
    return COULD_NOT if not done else NOTHING if done == len(steps) else SOMETHING


def _steps_asked(
    asked: argparse.Namespace,
) -> Iterator[tuple[int | None, str, argparse.Namespace | Refusal]]:
    if asked.verb is not None and asked.verb != "-":
        yield None, " ".join([asked.verb, *asked.words]), asked
        return
    parser = _LineParser(add_help=False)
    add_step_options(parser)
    for number, text in enumerate(stdin_lines(), 1):
        written = text.strip()
        if not written or written.startswith("#"):
            continue
        try:
            step = parser.parse_intermixed_args(shlex.split(written))
        except (ValueError, argparse.ArgumentError) as error:
            yield number, written, Refusal(str(error), 'add "Left post" --kind foot-post')
        else:
            yield number, written, step


class _LineParser(argparse.ArgumentParser):
    """Parses a line of a list; what is wrong with it is told with its number."""

    def error(self, message: str) -> None:  # type: ignore[override]
        """Raise what is wrong, in place of leaving the program."""
        raise ValueError(message)


def _take(
    number: int | None,
    typed: str,
    asked: argparse.Namespace | Refusal,
    file: PageFile,
    unit: LengthUnit,
    by: str | None,
    own: tuple[Kind, ...],
) -> tuple[StepTaken, PageFile]:
    from model.book.build import build, known_kinds
    from model.book.build_answer import StepTaken
    from tui.commands.part_steps import step_of

    def refused(refusal: Refusal) -> tuple[StepTaken, PageFile]:
        return StepTaken(
            line=number, typed=typed, done=False, refused=refusal.why, right=refusal.right
        ), file

    if isinstance(asked, Refusal):
        return refused(asked)
    step = step_of(asked, unit, known_kinds(file.page, own))
    if isinstance(step, Refusal):
        return refused(step)
    try:
        made = build(file, step, by)
    except ClampbookError as error:
        first = error.first
        why = first.what if first else error.title
        return refused(Refusal(why, first.right if first else "try again"))
    if isinstance(made, Refusal):
        return refused(made)
    after, edit = made
    is_new = edit.at not in file.page.by_id and edit.at not in file.page.by_spot
    made_id = edit.at if edit.at and is_new else None
    return StepTaken(line=number, typed=typed, done=True, what=edit.what, id=made_id), after


def _in_words(taken: StepTaken) -> str:
    where = f"line {taken.line}: " if taken.line is not None else ""
    if not taken.done:
        return f"{where}refused: {taken.typed}: {taken.refused}; right: {taken.right}"
    return f"{where}{taken.what}{f' ({taken.id})' if taken.id else ''}"


def _tell_kinds(file: PageFile, asked: argparse.Namespace, own: tuple[Kind, ...]) -> int:
    from model.book.build import known_kinds
    from model.book.build_answer import KindTold, built_answer
    from model.rig.building.hanging import kinds_for
    from tui.commands.part_steps import meant

    kinds = known_kinds(file.page, own)
    found = sorted(kinds.values(), key=lambda kind: kind.name)
    if asked.on:
        on = meant(file.page, asked.on[0])
        if isinstance(on, Refusal):
            problem = Problem(code="no-such-part", what=on.why, right=on.right)
            raise CannotDo("cannot tell the kinds", (problem,))
        found = list(kinds_for(file.page, on, kinds))
    wide = max((len(kind.id) for kind in found), default=0)
    if asked.json:
        kinds_told = tuple(
            KindTold(
                id=kind.id,
                name=kind.name,
                joints=tuple(joint.id for joint in kind.joints),
                outlets=tuple(outlet.id for outlet in kind.outlets),
            )
            for kind in found
        )
        say_json(built_answer(file, []).model_copy(update={"kinds": kinds_told}))
        return NOTHING
    say_lines(f"{kind.id:<{wide}}  {kind.name}: {_joints(kind)}" for kind in found)
    return NOTHING


def _joints(kind: Kind) -> str:
    joints = ", ".join(joint.id.replace("_", " ") for joint in kind.joints) or "no joint"
    ends = ", ".join(outlet.id for outlet in kind.outlets)
    return f"{joints}{f' -> {ends}' if ends else ''}"
