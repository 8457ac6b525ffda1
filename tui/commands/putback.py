"""``putback``: from the rig as it is to the one that is wanted, move by move."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import CannotDo, ClampbookError, Problem
from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_unit,
    is_watched,
    reader_config,
    say,
    say_error,
    say_json,
    tell_waiting,
    unit_of,
)

if TYPE_CHECKING:
    from model.compare.putback.answer import PutBack
    from model.compare.putback.asked import Asked
    from model.compare.putback.make import Choices
    from model.frozen import Frozen

HELP = "list the moves from a page to its home, in order"
SIDES = ("left", "right")


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument(
        "now",
        metavar="NOW",
        nargs="?",
        default=".",
        help="the rig as it is: a page's file, BOOK/NAME, BOOK/DATE, or a book (its last page)",
    )
    parser.add_argument(
        "wanted",
        metavar="WANTED",
        nargs="?",
        help="where it is to go: a page, or the name of a home; else the book's first home",
    )
    parser.add_argument(
        "--minutes", metavar="N", help="what brings the pieces nearest to home in N min"
    )
    parser.add_argument(
        "--enough",
        action="store_true",
        help="only what brings each piece within its tolerance, and no more clamps",
    )
    parser.add_argument(
        "--everything",
        action="store_true",
        help="move what differs by less than its readings can tell, too",
    )
    parser.add_argument(
        "--side", choices=SIDES, help="the steps of one side of the player, for one of two"
    )
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.compare.putback.answer import PutBack

    return PutBack


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """List the moves; exit status 1 where there is something to do."""
    from model.book.find import find_meant, find_page
    from model.compare.putback.desk import MOMENT, list_behind
    from model.compare.putback.pages import asked_of, book_choices, find_wanted, open_two
    from model.compare.putback.text import put_back_lines
    from model.compare.putback.wanted_rig import wanted_rig

    here = Path.cwd()
    unit = unit_of(asked, reader_config())
    now, named = find_page(asked.now, here), asked.wanted
    behind = list_behind(now)
    if behind is not None:  # what was read again belongs to a list that is half done
        say_error(f"{now.stem} holds the re-readings of {behind[0].stem}: its list follows")
        now = behind[0]
    wanted_path = behind[1] if behind and named is None else find_wanted(now, named, here)
    files = open_two(now, wanted_path)
    tell_waiting(clock, *files)
    head = files[0].page.head
    if behind is None and head.moment.startswith(MOMENT) and head.begun_from:
        say_error(
            f"{now.stem} was begun for re-readings, and no list names it: most on it is carried; "
            f"the list of what was found is that of {head.begun_from}"
        )
    choices, unreadable = book_choices(find_meant(str(now), here).folder)
    if unreadable is not None:  # it only weighs and orders the steps: two good pages will do
        say_error(unreadable.text())
    wanted = asked_of(*files, everything=asked.everything)
    answer = _made(wanted, choices, _minutes(asked.minutes), enough=asked.enough)
    if asked.side is not None:
        answer = one_side(answer, asked.side)
    if asked.json:
        say_json(answer)
    else:
        done = _ticked(now.parent, answer)
        rig = wanted_rig(wanted.now, wanted.wanted)  # it declares what is missing tonight too
        say("\n".join(put_back_lines(answer, rig, unit, done)))
    return SOMETHING if answer.something else NOTHING


def _minutes(typed: str | None) -> float | None:
    """Return the minutes that were typed; raises :class:`CannotDo` for what is no number."""
    if typed is None:
        return None
    try:
        return float(typed.strip().removesuffix("min").replace(",", "."))
    except ValueError:
        problem = Problem(
            code="no-minutes", what=f"{typed} is no number of minutes", right="--minutes 10"
        )
        raise CannotDo("cannot put back", (problem,)) from None


def _made(wanted: Asked, choices: Choices, minutes: float | None, *, enough: bool) -> PutBack:
    if minutes is not None and enough:
        raise CannotDo(
            "cannot put back",
            (
                Problem(
                    code="options",
                    what="--minutes picks what there is time for, --enough what is needed",
                    right="one of the two",
                ),
            ),
        )
    if minutes is None and not enough:
        from model.compare.putback.make import put_back

        return put_back(wanted, choices)
    if is_watched():  # it may take seconds: nobody is left to wonder
        say_error("choosing among the moves…")
    if minutes is None:
        from model.compare.putback.enough import enough_put_back

        return enough_put_back(wanted, choices)
    from model.compare.putback.short import short_put_back

    return short_put_back(wanted, choices, minutes)


def one_side(answer: PutBack, side: str) -> PutBack:
    """Return the steps of one side of the player, and those that need both; numbers as they are."""
    kept = tuple(step for step in answer.steps if step.side in (side, "middle"))
    gone = [step for step in answer.steps if step not in kept]
    return answer.model_copy(
        update={
            "steps": kept,
            "loosenings": sum(len(step.loosen) for step in kept),
            "minutes": round(answer.minutes - sum(step.minutes for step in gone), 2),
            "notes": (*answer.notes, f"the player's {side} side; what remains is for both done"),
        }
    )


def _ticked(folder: Path, answer: PutBack) -> frozenset[str]:
    """Return what is ticked already in the file beside the pages."""
    from model.book.ticks import read_ticks, ticks_path
    from model.compare.putback.work import ticks_for

    try:
        path = ticks_path(folder, answer.now.page, answer.wanted.page)
        if not path.exists():
            return frozenset()
        ticks, wished = read_ticks(path).ticks, ticks_for(answer)
        done = ticks.done_of(wished)
        if gone := len(ticks.done & wished.by_key.keys() - done):
            say_error(f"{gone} ticked before, and elsewhere now: not shown as done")
        return done
    except ClampbookError as error:  # the moves do not hang on them
        say_error(f"the ticks are not shown: {error.text()}")
        return frozenset()
