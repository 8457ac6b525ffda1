"""The dials (tuning, wires, locks) that are to be set: they move no surface."""

from __future__ import annotations

from model.compare.putback.basis import Asked, has_value
from model.compare.settings import Verdict, compare_setting


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


def dial_verdicts(asked: Asked) -> dict[str, Verdict]:
    """Return whether each dial that both pages have moved."""
    return {
        key: compare_setting(key, declared, asked.wanted, asked.now, wanted=True).verdict
        for key, declared in asked.now.declared.items()
        if declared.name.startswith("dial.") and key in asked.wanted.declared
    }
