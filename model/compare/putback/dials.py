"""The dials (tuning, wires, locks) that are to be set: they move no surface."""

from __future__ import annotations

from model.compare.answer import owner_name
from model.compare.putback.answer import Line
from model.compare.putback.asked import Asked
from model.compare.putback.goal import Goal
from model.compare.putback.home_settings import has_value
from model.compare.settings import Verdict, compare_setting, difference_of


def dials_to_set(asked: Asked) -> tuple[str, ...]:
    """Return the dials that moved beyond what can be told, and those of parts that are missing.

    In the order in which home declares them.
    """
    verdicts = dial_verdicts(asked)
    return tuple(
        key
        for key, declared in asked.wanted.declared.items()
        if declared.name.startswith("dial.")
        and has_value(asked.wanted.setting(key))
        and (key not in asked.now.declared or verdicts[key] in asked.to_be_moved)
    )


def unread_dials(asked: Asked) -> tuple[str, ...]:
    """Return the dials that home knows and nobody read tonight."""
    return tuple(
        key
        for key, declared in asked.wanted.declared.items()
        if declared.name.startswith("dial.")
        and has_value(asked.wanted.setting(key))
        and key in asked.now.declared
        and not asked.now.setting(key).measured_tonight
    )


def dial_verdicts(asked: Asked) -> dict[str, Verdict]:
    """Return whether each dial that both pages have moved."""
    return {
        key: compare_setting(key, declared, asked.wanted, asked.now, wanted=True).verdict
        for key, declared in asked.now.declared.items()
        if declared.name.startswith("dial.") and key in asked.wanted.declared
    }


def dial_line(goal: Goal, key: str) -> Line:
    """Return the line of a dial that is to be set."""
    now, wanted = goal.basis.asked.now, goal.basis.asked.wanted
    declared = wanted.declared[key]
    start, to = now.setting(key).value, wanted.setting(key).value
    by = None
    if not isinstance(start, str) and not isinstance(to, str) and start is not None:
        assert to is not None
        by = difference_of(start, to, declared)
    return Line(
        tick=key,
        part=declared.owner,
        part_name=owner_name(goal.own, declared.owner),
        name=declared.label,
        task="dial",
        quantity=declared.quantity,
        start=start,
        to=to,
        by=by,
        using=wanted.setting(key).using,
    )
