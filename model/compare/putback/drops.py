"""What would drop when a clamp is loosened: to be held before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from model.compare.putback.acts import Act, above
from model.compare.putback.answer import Line
from model.compare.putback.fastenings import Fastening
from model.compare.putback.goal import Goal
from model.rig.part import FLOOR, Bar, Piece
from model.space.joint_values import moves_along
from model.space.memo import Unplaced

LEVEL = 0.17
"""What slides within 10° of level, or turns about an axis within 10° of upright, drops nothing."""
NAMED = 3


def what_to_hold(goal: Goal, act: Act, cared: set[str]) -> tuple[str, ...]:
    """Return what to hold or mind before an act's clamps are loosened: a line each.

    A part's own words of care come the first time it is loosened (``cared`` are those that were).
    Then a load that would slide down or swing is named; and where more than one clamp is loosened
    at once, that this is work for two.
    """
    told: dict[str, None] = {}
    loosened = [held for held in act.fastenings if not held.by_hand]
    for held in act.fastenings:
        part = goal.own.by_id[held.part]
        pieces = list(_carried(goal, held))
        says_so = False
        if part.care and part.id not in cared:
            cared.add(part.id)
            told[part.care] = None
            says_so = any(word in part.care.casefold() for word in ("hold", "weight"))
        if held.by_hand:
            if part.on[0] != FLOOR:
                told[f"Ease what grips {part.name}, and tighten it after."] = None
        elif not says_so and pieces and _would_drop(goal, held):
            told[_hold(goal, held, pieces)] = None
    bars = {bar for held in loosened if (bar := _bar_in(goal, held))}
    if len(loosened) > 1:
        told[FOR_TWO if len(bars) < 2 else FOR_MORE] = None
    if bars:
        told[STEADY] = None
    return tuple(told)


STEADY = "Steady the posts: one whose bars are loose can tip."


def what_to_mark(lines: Iterable[Line]) -> Iterator[str]:
    """Yield what has to be marked before anything is loosened, since home does not know it."""
    for line in lines:
        if line.task == "mark":
            yield f"Mark {line.part_name}, {line.name} before you loosen."


def what_stays_tight(lines: Iterable[Line]) -> Iterator[str]:
    """Yield the jaws that tell how far a loose bar is turned: taken off, they tell nothing."""
    for line in lines:
        if line.task == "roll":
            yield f"Leave {line.part_name} tight on its bar: by it the bar is turned."


FOR_TWO = "For two: one holds, one eases the clamps one by one, no more than they need to move."

FOR_MORE = (
    "Several bars are let go: a hand for each, or take off first what hangs on them. Ease the "
    "clamps one by one, no more than they need to move."
)


def _hold(goal: Goal, held: Fastening, pieces: list[str]) -> str:
    part = goal.own.by_id[held.part]
    bar = _bar_in(goal, held)
    if bar:
        return f"Hold {bar} before you loosen: {_named(pieces)} on it."
    if pieces == [part.name]:
        return f"Take the weight of {part.name} before you loosen."
    clamp = goal.basis.fastenings.of_clamp(part.id)
    if clamp is not None and clamp.id == held.id:
        return f"Hold {part.name} before you loosen: {_named(pieces)} on it."
    names = _named(pieces).rsplit(" ", 1)[0]
    return f"Hold {names} before you loosen."


def _carried(goal: Goal, held: Fastening) -> Iterator[str]:
    """Yield the names of the pieces that hang on what a fastening holds."""
    holders = {key.partition(".")[0] for key in held.keys}
    for part in goal.own.parts:
        if isinstance(part, Piece) and holders & above(goal.own, (part.id,)):
            yield part.name


def _bar_in(goal: Goal, held: Fastening) -> str:
    """Return the name of the bar that a clamp holds: it is the bar that drops."""
    for key in held.keys:
        part = goal.own.by_id[key.partition(".")[0]]
        if isinstance(part, Bar):
            return part.name
    return ""


def _named(pieces: list[str]) -> str:
    more = len(pieces) - NAMED
    names = ", ".join(pieces[:NAMED])
    return f"{names} and {more} more are" if more > 0 else f"{names} {_is(pieces)}"


def _is(pieces: list[str]) -> str:
    return "is" if len(pieces) == 1 else "are"


def _would_drop(goal: Goal, held: Fastening) -> bool:
    for key in held.keys:
        if goal.own.declared[key].name.startswith("from_"):
            continue
        try:
            along = moves_along(goal.places, key)[0]
        except Unplaced:
            return True
        turns = goal.own.declared[key].is_turn
        upright = abs(float(along[2]))
        if not (upright > 1.0 - LEVEL * LEVEL / 2.0 if turns else upright < LEVEL):
            return True
    return False
