"""How a loose straight bar is kept from rolling: by a jaw on it that nobody touches."""

from __future__ import annotations

from model.compare.putback.goal import Goal
from model.rig.part import Bar
from model.rig.tree import rig_tree


def jaw_that_tells(goal: Goal, bar: Bar) -> str | None:
    """Return the spin of a jaw on a loose bar that is left alone: the bar is turned until it shows
    what it is to show, and all that the bar carries is right again. One that was read tonight tells
    before one that was not.

    None where a curved bar's bow says it, where the bar carries nothing, and where every jaw on it
    is set anyway.
    """
    own = goal.own
    kind = own.by_kind.get(bar.kind or "")
    if kind is None or "bow" in kind.by_joint or _is_brace(goal, bar):
        return None
    set_anyway = {key for held in goal.opened for key in held.keys}
    spins = [_spin(goal, part_id, bar.id) for part_id in rig_tree(own).below(bar.id)]
    tight = [key for key in spins if key is not None and key not in set_anyway]
    read = [key for key in tight if _is_compared(goal, key)]
    return next(iter(read or tight), None)


def _is_compared(goal: Goal, key: str) -> bool:
    found = goal.basis.differences.get(key)
    return found is not None and found.difference is not None


def _is_brace(goal: Goal, bar: Bar) -> bool:
    return goal.own.setting(f"{bar.id}.slope").state == "follows"


def _spin(goal: Goal, part_id: str, bar_id: str) -> str | None:
    part = goal.own.by_id[part_id]
    kind = goal.own.by_kind.get(part.kind or "")
    if part.on[0] != bar_id or isinstance(part, Bar) or kind is None:
        return None
    spin = next((joint for joint in kind.joints if joint.turns == "rail"), None)
    if spin is None or goal.own.setting(f"{part_id}.{spin.id}").state in ("open", "follows"):
        return None
    return f"{part_id}.{spin.id}"
