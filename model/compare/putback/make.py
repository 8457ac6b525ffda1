"""The put-back made: from two pages of one rig to the steps home, and what remains then."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from model.compare.answer import compared_page, owner_name
from model.compare.putback.acts import Act, acts_of
from model.compare.putback.answer import (
    Line,
    Loosened,
    PutBack,
    Side,
    Step,
    Unread,
)
from model.compare.putback.basis import Asked, Basis, basis_of
from model.compare.putback.dials import dial_verdicts, dials_to_set
from model.compare.putback.drops import what_to_hold
from model.compare.putback.fastenings import Fastening
from model.compare.putback.goal import Goal, goal_of
from model.compare.putback.lines import Lines
from model.compare.putback.measured import measured_words
from model.compare.putback.minutes import GUESSED, Kind, Minutes
from model.compare.putback.remains import Tolerances, remains
from model.compare.putback.structure import structure_steps
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.part import Bar
from model.rig.surety import read_from
from model.space.as_read import value_shown
from model.space.memo import Unplaced

NEAR_THE_MIDDLE = 50.0
"""What stands this near to the zero line, mm, is on neither side."""


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
        unread=tuple(_unread(goal)),
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
            also=tuple(_also(goal, act)),
            side=_side(goal, act),
            title=title_of(goal, act),
            loosen=tuple(_loosened(goal, held) for held in act.fastenings if not held.by_hand),
            by_hand=tuple(
                owner_name(goal.own, held.part) for held in act.fastenings if held.by_hand
            ),
            hold=what_to_hold(goal, act, cared),
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


def _side(goal: Goal, act: Act) -> Side:
    sides: set[Side] = set()
    for part in act.parts or (act.root,):
        sides.add(side_of(goal, part))
    return sides.pop() if len(sides) == 1 else "middle"


def _also(goal: Goal, act: Act) -> Iterator[str]:
    """Yield the names of the other feet that an act reaches to, in the order of its parts."""
    told = {act.root}
    for part_id in act.parts:
        part = _foot_of(goal.own, part_id)
        if part.id not in told:
            told.add(part.id)
            yield part.name


def _foot_of(rig: Page, part_id: str) -> AnyPart:
    """Return what a part stands on the floor by; in a ring of parts, the last before it closes."""
    seen, part = {part_id}, rig.by_id[part_id]
    while part.on[0] in rig.by_id and part.on[0] not in seen:
        part = rig.by_id[part.on[0]]
        seen.add(part.id)
    return part


def side_of(goal: Goal, part_id: str) -> Side:
    """Return the side of the zero line on which a part's foot stands."""
    part = _foot_of(goal.own, part_id)
    try:
        at = goal.places.frames(part)
    except Unplaced:
        return "middle"
    x = float(list(at.values())[-1].at[0, 0])
    return "middle" if not abs(x) > NEAR_THE_MIDDLE else "right" if x > 0.0 else "left"


def _unread(goal: Goal) -> Iterator[Unread]:
    basis = goal.basis
    for key in basis.unread:
        if key in goal.keys:
            continue
        declared, setting = goal.own.declared[key], basis.asked.wanted.setting(key)
        wished = goal.own.with_setting(key, basis.own_wanted.setting(key))
        shown = value_shown(type(goal.places)(wished), key, basis.like({key}))
        yield Unread(
            setting=key,
            part_name=owner_name(goal.own, declared.owner),
            name=declared.label,
            quantity=declared.quantity,
            to=round(shown, 6) if isinstance(shown, float) else shown,
            read_from=read_from(setting, declared.quantity, basis.asked.wanted),
            using=setting.using,
            measured=measured_words(basis.asked.wanted, key),
            state=_why_unread(basis, key),
        )


def _why_unread(basis: Basis, key: str) -> Literal["carried", "open", "otherwise"]:
    now = basis.asked.now
    if key not in now.declared or now.setting(key).measured_tonight:
        return "otherwise"
    return "open" if now.setting(key).state == "open" else "carried"


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
