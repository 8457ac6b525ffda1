"""The short changeover: within a time, the moves that bring the pieces nearest home; and what is
left for later."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from model.compare.answer import owner_name
from model.compare.putback.acts import Act, acts_of
from model.compare.putback.answer import LeftOut, PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.basis import basis_of
from model.compare.putback.dials import dials_to_set
from model.compare.putback.goal import Goal, goal_of
from model.compare.putback.make import Choices, put_back_by, title_of
from model.compare.putback.riding import is_rolled
from model.compare.putback.short_choose import Chosen, choose
from model.compare.putback.short_moves import Moves
from model.compare.putback.short_off import Away
from model.compare.putback.short_sum import Came, Sum
from model.compare.putback.structure import structure_steps
from model.errors import CannotDo, Problem

NAMED = 6


def short_put_back(asked: Asked, choices: Choices, minutes: float) -> PutBack:
    """Return the way home that there is time for, in an order in which none undoes an earlier one.

    What is off is added up in tolerances, as much as each role counts. What is missing or hangs
    elsewhere comes first, whatever the time. Raises :class:`CannotDo` for minutes that are none.
    """
    _refuse(minutes)
    question = Question(asked, choices)
    chosen = choose(question.total, question.acts, minutes - question.hanging)
    answer = question.answer(chosen.came)
    notes = _notes(question.total, chosen, answer, minutes)
    return answer.model_copy(update={"within": float(minutes), "notes": (*answer.notes, *notes)})


class Question:
    """What a part of a put-back is chosen from: its moves, and how far off all is without them."""

    def __init__(self, asked: Asked, choices: Choices) -> None:
        self.choices = choices
        basis = basis_of(asked)
        self.whole, self.dials = goal_of(basis), dials_to_set(asked)
        moves = Moves(self.whole, self.dials, choices.minutes)
        self.total = Sum(moves, Away(basis, self.whole, choices.tolerances))
        self.acts = acts_of(self.whole, self.dials, choices.walk)
        missing = (step for step in structure_steps(basis) if step.task == "put back")
        self.hanging = choices.minutes.of("hang" for _ in missing)

    def answer(self, came: Came) -> PutBack:
        """Return the put-back that makes some of the moves, with what that leaves for later."""
        picked = (self.total.moves.settings[number] for number in sorted(came.moves))
        wished = frozenset().union(*picked)
        goal = goal_of(self.whole.basis, wished.difference(self.dials))
        taken = [dial for dial in self.dials if dial in wished]
        acts = acts_of(goal, taken, self.choices.walk)
        answer = put_back_by(goal, acts, self.choices)
        return answer.model_copy(
            update={
                "left_out": tuple(_left_out(self.whole, self.acts, goal.keys.union(taken))),
                "off_before": round(self.total.tonight(), 6),
                "off_after": round(came.off, 6),
            }
        )


def _refuse(minutes: float) -> None:
    if math.isfinite(minutes) and minutes > 0.0:
        return
    raise CannotDo(
        "no short changeover",
        (
            Problem(
                code="no-minutes",
                what=f"{minutes:g} is no number of minutes that there could be",
                why="it says how long the crew has",
                right="--minutes 10",
            ),
        ),
    )


def _left_out(whole: Goal, acts: Sequence[Act], done: frozenset[str]) -> Iterator[LeftOut]:
    """Yield what of the whole way's steps is not done: what moved, and dials."""
    moved = whole.basis.moved
    for act in acts:
        keys = [key for key in act.keys if key in moved and key not in done]
        keys += [key for key in _rolled_in(whole, act) if key in moved and key not in done]
        keys += [key for key in act.dials if key not in done]
        if not keys:
            continue
        title = title_of(whole, act)
        yield LeftOut(
            title=title,
            where=act.root,
            where_name=whole.own.by_id[act.root].name,
            settings=tuple(keys),
            names=tuple(_named(whole, key, title) for key in keys),
        )


def _rolled_in(whole: Goal, act: Act) -> Iterator[str]:
    """Yield the spins that an act brings home by rolling their bars, their clamps staying tight."""
    for key, bar in whole.basis.spins.items():
        if bar in act.parts and is_rolled(whole.basis, key, whole.rolls):
            yield key


def _named(whole: Goal, key: str, title: str) -> str:
    """Name a setting below a step's title; of another part with the part's name."""
    declared = whole.own.declared[key]
    owner = owner_name(whole.own, declared.owner)
    return declared.label if owner == title else f"{owner} {declared.label}"


def _notes(total: Sum, chosen: Chosen, answer: PutBack, minutes: float) -> Iterator[str]:
    """Yield what has to be known about the choice."""
    is_left_out = bool(answer.left_out)
    if answer.minutes > minutes + 0.005:
        yield (
            f"what is missing comes first: it takes about {answer.minutes:.1f} min of the "
            f"{minutes:g}, and nothing else is done"
        )
    elif is_left_out and not answer.steps:
        yield _too_short(total, minutes)
    elif is_left_out and total.of(range(len(total.moves.settings))).minutes <= minutes:
        yield "there is time for all: what is left for later would bring no piece nearer home"
    if not chosen.is_best:
        yield "there are too many moves to try all: this is a good choice, not surely the best"
    yield "the minutes are one pair of hands'"
    if total.moves.minutes.guess:
        yield "the minutes are from memory, unverified: [minutes] in book.toml says your own"
    yield from scale_notes(total)


def scale_notes(total: Sum) -> Iterator[str]:
    """Yield which pieces count by their sort, and which do not count."""
    away, basis = total.away, total.moves.basis
    by_sort = [basis.rig.by_id[key].name for key in away.counted if not away.scales[key].own]
    if by_sort:
        yield f"where the book sets no tolerance, a piece counts by its sort: {_some(by_sort)}"
    unknown = [piece.name for key, piece in away.pieces.items() if key not in away.counted]
    if unknown:
        yield f"not counted, their place is not known: {_some(unknown)}"


def _too_short(total: Sum, minutes: float) -> str:
    alone = [(total.of({number}).minutes, number) for number in range(len(total.moves.settings))]
    shortest, number = min(alone)
    owner = min(total.moves.settings[number]).partition(".")[0]
    name = total.moves.basis.rig.by_id[owner].name
    if shortest > minutes:
        return (
            f"no move fits into {minutes:g} min: the shortest, at {name}, takes about "
            f"{shortest:.1f} min"
        )
    return f"no move that fits into {minutes:g} min brings a piece nearer home"


def _some(names: Sequence[str]) -> str:
    more = len(names) - NAMED
    return ", ".join(names[:NAMED]) + (f" and {more} more" if more > 0 else "")
