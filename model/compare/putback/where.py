"""Where one stands for a step: which foot, which side of the zero line."""

from __future__ import annotations

from collections.abc import Iterator

from model.compare.putback.acts import Act
from model.compare.putback.answer import Side
from model.compare.putback.goal import Goal
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.space.memo import Unplaced

NEAR_THE_MIDDLE = 50.0
"""What stands this near to the zero line, mm, is on neither side."""


def side_of_act(goal: Goal, act: Act) -> Side:
    """Return the side on which all that an act sets stands; the middle where it is on both."""
    sides: set[Side] = set()
    for part in act.parts or (act.root,):
        sides.add(side_of(goal, part))
    return sides.pop() if len(sides) == 1 else "middle"


def other_feet(goal: Goal, act: Act) -> Iterator[str]:
    """Yield the other feet that an act reaches to, by name and mark, in the order of its parts."""
    told = {act.root}
    for part_id in act.parts:
        part = _foot_of(goal.own, part_id)
        if part.id not in told:
            told.add(part.id)
            yield f"{part.name} ({part.mark})" if part.mark else part.name


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
