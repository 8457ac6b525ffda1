"""The put-back made: from two pages of one rig to the steps home, and what remains then."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from model.compare.answer import compared_page, owner_name
from model.compare.putback.acts import Act, acts_of
from model.compare.putback.answer import (
    Line,
    Loosened,
    PutBack,
    Step,
)
from model.compare.putback.asked import Asked
from model.compare.putback.basis import Basis, basis_of
from model.compare.putback.dials import dial_verdicts, dials_to_set
from model.compare.putback.drops import what_stays_tight, what_to_hold, what_to_mark
from model.compare.putback.fastenings import Fastening
from model.compare.putback.goal import Goal, goal_of
from model.compare.putback.lines import Lines
from model.compare.putback.minutes import GUESSED, Kind, Minutes
from model.compare.putback.remains import Tolerances, remains
from model.compare.putback.structure import structure_steps
from model.compare.putback.unread import unread_of
from model.compare.putback.where import other_feet, side_of_act
from model.rig.part import Bar


@dataclass(frozen=True, slots=True)
class Choices:
    """What the book says: its walk, its tolerances by role, its minutes."""

    walk: tuple[str, ...] = ()
    tolerances: Tolerances = ()
    minutes: Minutes = GUESSED


def put_back(asked: Asked, choices: Choices | None = None) -> PutBack:
    """Return the way from one page to the other, all of it."""
    choices = choices or Choices()
    basis = basis_of(asked)
    goal = goal_of(basis)
    acts = acts_of(goal, dials_to_set(asked), choices.walk)
    return put_back_by(goal, acts, choices)


def put_back_by(goal: Goal, acts: Sequence[Act], choices: Choices) -> PutBack:
    """Return the put-back that does these acts in this order to reach a goal."""
    basis = goal.basis
    steps = tuple(_steps(goal, acts, choices.minutes))
    structure = tuple(structure_steps(basis))
    hanging = choices.minutes.of("hang" for step in structure if step.task == "put back")
    return PutBack(
        now=compared_page(basis.asked.now, basis.asked.names[0]),
        wanted=compared_page(basis.asked.wanted, basis.asked.names[1]),
        structure=structure,
        steps=steps,
        unread=tuple(unread_of(goal)),
        remains=tuple(remains(goal, choices.tolerances)),
        loosenings=sum(act.loosenings for act in acts),
        minutes=round(sum(step.minutes for step in steps) + hanging, 2),
        left_within=_left_within(basis, goal.keys),
        notes=tuple(_notes(basis)),
    )


def _steps(goal: Goal, acts: Sequence[Act], minutes: Minutes) -> Iterator[Step]:
    made, cared = Lines(goal), set[str]()
    number = 0
    for act in acts:
        lines = tuple(made.of_act(act))
        if not lines:
            continue
        number += 1
        root = goal.own.by_id[act.root]
        yield Step(
            number=number,
            where=root.id,
            where_name=root.name,
            where_mark=root.mark,
            also=tuple(other_feet(goal, act)),
            side=side_of_act(goal, act),
            title=title_of(goal, act),
            loosen=tuple(_loosened(goal, held) for held in act.fastenings if not held.by_hand),
            by_hand=tuple(
                owner_name(goal.own, held.part) for held in act.fastenings if held.by_hand
            ),
            hold=(*what_to_mark(lines), *what_to_hold(goal, act, cared), *what_stays_tight(lines)),
            lines=lines,
            minutes=round(minutes.of(kinds_of_move(act, lines)), 2),
        )


def kinds_of_move(act: Act, lines: Iterable[Line]) -> Iterator[Kind]:
    """Yield each move of a step by its kind, for its minutes; what is only freed counts too."""
    for held in act.fastenings:
        yield "place" if held.by_hand else "loosen"
    by_hand = {key for held in act.fastenings if held.by_hand for key in held.keys}
    for line in lines:
        if line.task == "dial":
            yield "dial"
        elif line.tick not in by_hand and line.task in ("set", "keep", "roll"):
            kinds: Mapping[str, Kind] = {"length": "slide", "teeth": "tooth"}
            yield kinds.get(line.quantity, "turn")


def _loosened(goal: Goal, held: Fastening) -> Loosened:
    part = goal.own.by_id[held.part]
    clamp = goal.basis.fastenings.of_clamp(held.part)
    on = owner_name(goal.own, part.on[0]) if clamp is not None and clamp.id == held.id else ""
    labels = [goal.own.declared[key].label for key in held.keys if _owner(key) == held.part]
    what = f"its clamp on {on}" if on else f"what holds its {' and '.join(labels)}"
    return Loosened(
        part=part.id, part_name=part.name, what=what, tool=held.tool, mark=part.mark or None
    )


def _owner(key: str) -> str:
    return key.partition(".")[0]


def title_of(goal: Goal, act: Act) -> str:
    """Name a step by what is moved: the bars of a loop, else its first part."""
    bars = [
        goal.own.by_id[part].name
        for part in act.parts
        if isinstance(goal.own.by_id[part], Bar) and len(goal.own.by_id[part].on) > 1
    ]
    return " and ".join(bars) if bars else owner_name(goal.own, act.parts[0])


def _left_within(basis: Basis, keys: Collection[str]) -> int:
    joints = (key not in keys and found.verdict for key, found in basis.differences.items())
    asked = basis.asked
    dials = () if asked.everything else dial_verdicts(asked).values()
    return [*joints, *dials].count("within")


def _notes(basis: Basis) -> Iterator[str]:
    now, wanted = basis.asked.now, basis.asked.wanted
    if now.head.rig != wanted.head.rig:
        yield f"the rigs differ in name: {now.head.rig} and {wanted.head.rig}"
    slopes = [
        tuple(page.setting(f"floor.slope_{way}").value or 0.0 for way in ("ahead", "right"))
        for page in (wanted, now)
    ]
    if slopes[0] != slopes[1]:
        yield "the riser slopes otherwise than at home: what a level is to show is told for tonight"
