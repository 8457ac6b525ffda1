"""Gathering all the faults of one file, each with its dotted key and its line where it is known."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from pydantic import ValidationError

from model.book.examples import right_entry
from model.book.layout import key_text, value_text
from model.book.scan import Path
from model.book.tokens import Index
from model.clean import clean
from model.errors import Problem

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

_SHOWN = 60

# pydantic's error type -> our words. The library's own text would print what the file says as it
# stands.
_WORDS: dict[str, str] = {
    "missing": "it is missing",
    "float_type": "a number is needed",
    "float_parsing": "a number is needed",
    "int_type": "a whole number is needed",
    "int_from_float": "a whole number is needed",
    "bool_type": "true or false is needed",
    "string_type": "a text in quotes is needed",
    "finite_number": "infinity and NaN are no measures",
    "tuple_type": "a list in square brackets is needed",
    "date_type": "a date without quotes is needed",
    "date_from_datetime_inexact": "a date without a time of day is needed",
    "datetime_type": "a date and time without quotes is needed",
    "timezone_aware": "its offset from UTC is missing",
    "model_type": "a table is needed",
    "dict_type": "a table is needed",
}
_BY_CONTEXT: dict[str, str] = {
    "greater_than": "it must be over {gt:g}",
    "greater_than_equal": "it must be {ge:g} or more",
    "less_than": "it must be below {lt:g}",
    "less_than_equal": "it must be {le:g} or less",
    "string_too_long": "it is longer than {max_length} characters",
    "too_long": "the list has more than {max_length} entries",
    "too_short": "the list has fewer than {min_length} entries",
    "literal_error": "it must be {expected}",
}
_ID = "an id has small letters, digits, - and _, at most 64"
_NAME = "the name has small letters, digits and _, at most 64, a letter first"
_AXIS = "an axis is x, y, z, -x, -y, -z, rail, chord, leg, or three numbers"


class Faults:
    """The faults of one file, found so far."""

    def __init__(self, file: str, index: Index | None = None) -> None:
        self.file = file
        self.index = index
        self.found: list[Problem] = []

    def add(
        self,
        code: str,
        key: Path,
        what: str,
        *,
        why: str = "",
        right: str = "",
        grave: bool = True,
        line: int | None = None,
    ) -> None:
        """Add one fault; its line is looked up by its key."""
        known = self.index.line_of(key) if self.index is not None and key else None
        self.found.append(
            Problem(
                code=code,
                what=what,
                why=why,
                right=right,
                path=self.file,
                key=key_text(*key) if key else None,
                line=line if line is not None else known,
                grave=grave,
            )
        )

    def add_all(self, error: ValidationError, prefix: Path) -> None:
        """Add each fault that pydantic found, in our words, with the dotted key of the file."""
        told: set[Path] = set()
        for entry in error.errors(include_url=False):
            names = tuple(s for s in entry["loc"] if isinstance(s, str) and not _is_tag(s))
            is_union = any(isinstance(step, str) and _is_tag(step) for step in entry["loc"])
            key = (*prefix, *names)
            if is_union and key in told:  # each branch of a choice tells its own
                continue
            told.add(key)
            if names == ("id",):
                is_id = "_-" in str(entry.get("ctx"))
                right = _as_id(str(entry["input"]), "-" if is_id else "_")
                what = _ID if is_id else _NAME
                self.add("wrong-id", prefix, what, why=_given(entry), right=right)
                continue
            what, right = _in_words(entry)
            if key[-1] in ("slides", "turns") and is_union:
                what = _AXIS
            self.add("wrong-value", key, what, why=_given(entry), right=right or right_entry(key))

    def in_order(self) -> tuple[Problem, ...]:
        """Return what was found by its line; first what has none."""
        return tuple(sorted(self.found, key=lambda problem: problem.line or 0))

    @property
    def grave(self) -> bool:
        """Whether any of them refuses the file."""
        return any(problem.grave for problem in self.found)


def _is_tag(step: str) -> bool:
    """Tell pydantic's union tags from the file's own keys."""
    return step.startswith(("literal[", "function-", "tuple[", "constrained-", "nullable"))


def _in_words(entry: ErrorDetails) -> tuple[str, str]:
    """Say what is wrong, and what would be right where the value itself knows."""
    kind, context = entry["type"], dict(entry.get("ctx") or {})
    if kind == "value_error":
        error = context.get("error")
        return str(error or "it is not right"), getattr(error, "right", "")
    if kind in _BY_CONTEXT:
        what = _BY_CONTEXT[kind].format_map(context)
    else:
        what = _WORDS.get(kind, kind.replace("_", " "))
    if isinstance(entry["input"], str) and kind in ("float_type", "int_type", "bool_type"):
        what += ", without quotes"
    steps = [step for step in entry["loc"] if isinstance(step, int)]
    if not steps:
        return what, ""
    if kind == "missing":
        return f"entry {steps[-1] + 1} of its list is missing", ""
    return f"entry {steps[-1] + 1} of its list: {what}", ""


def _as_id(given: str, gap: str) -> str:
    """Return what was given as an id would be, or any id where nothing of it is left."""
    made = re.sub("[^a-z0-9_]+" if gap == "-" else "[^a-z0-9]+", gap, given.lower())
    return made.strip("-_" if gap == "-" else "_0123456789")[:64] or "ride"


def _given(entry: ErrorDetails) -> str:
    if entry["type"] in ("missing", "value_error"):
        return ""
    return f"the file has {shown(entry['input'])}"


def shown(value: object) -> str:
    """Return a value from a file for a message: as TOML, cleaned and cut to a bearable length."""
    try:
        return as_shown(value_text(value))
    except TypeError:
        return as_shown(repr(value))


def as_shown(text: str) -> str:
    """Return a piece of a file for a message: cleaned and cut to a bearable length."""
    return clean(text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…")
