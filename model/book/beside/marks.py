"""The marks that a line-wise merge leaves round two versions of a line, for a hand to settle."""

from __future__ import annotations

import re

_MARK = re.compile(r"(<{7}|\|{7}|={7}|>{7})(?: .*)?\r?")
_FOLLOWING = {"both": "<", "<": "|=", "|": "=", "=": ">"}


def is_mark(line: str) -> bool:
    """Tell whether a line is one of the marks."""
    return _MARK.fullmatch(line) is not None


def two_sides(text: str) -> tuple[str, str] | None:
    """Return the two whole texts of one with marks; None where it has none, or not in order.

    What may stand between the first two marks, the version that both were made from, is in neither.
    """
    if "<<<<<<<" not in text:
        return None
    sides: tuple[list[str], list[str]] = ([], [])
    state, found = "both", False
    for line in text.split("\n"):
        mark = line[0] if is_mark(line) else ""
        if mark:
            if mark not in _FOLLOWING[state]:
                return None
            state, found = ("both" if mark == ">" else mark), True
        elif state == "both":
            sides[0].append(line)
            sides[1].append(line)
        elif state in "<=":
            sides[state == "="].append(line)
    return ("\n".join(sides[0]), "\n".join(sides[1])) if found and state == "both" else None
