"""Gathering all the faults of one file, each with its dotted key and its line where it is known."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from model.book.tokens import Index, Path
from model.clean import clean
from model.errors import Problem

_SHOWN = 60

# pydantic's error type -> our words and an example that works. The library's own text would print
# what the file says as it stands.
_WORDS: dict[str, tuple[str, str]] = {
    "missing": ("it is missing", ""),
    "float_type": ("a number is needed", "812.8"),
    "float_parsing": ("a number is needed", "812.8"),
    "int_type": ("a whole number is needed", "3"),
    "int_from_float": ("a whole number is needed", "3"),
    "bool_type": ("true or false is needed", "true"),
    "string_type": ("a text in quotes is needed", '"tape"'),
    "finite_number": ("infinity and NaN are no measures", "812.8"),
    "tuple_type": ("a list is needed", "[0.0, 60.0, 0.0]"),
    "date_type": ("a date is needed", "2025-03-14"),
    "datetime_type": ("a date and time is needed", "2025-03-14T17:55:00+01:00"),
    "timezone_aware": ("its offset from UTC is missing", "2025-03-14T17:55:00+01:00"),
    "string_pattern_mismatch": ("an id has small letters, digits, - and _ only", "ride-boom"),
    "model_type": ("a table is needed", "{ kg = 2.2 }"),
    "dict_type": ("a table is needed", "{ read = 812.8 }"),
}
_BY_CONTEXT: dict[str, str] = {
    "greater_than": "it must be over {gt}",
    "greater_than_equal": "it must be {ge} or more",
    "less_than": "it must be below {lt}",
    "less_than_equal": "it must be {le} or less",
    "string_too_long": "it is longer than {max_length} characters",
    "too_long": "it has more than {max_length} entries",
    "too_short": "it has fewer than {min_length} entries",
    "literal_error": "it must be {expected}",
}


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
                key=".".join(key) or None,
                line=line if line is not None else known,
                grave=grave,
            )
        )

    def add_all(self, error: ValidationError, prefix: Path) -> None:
        """Add each fault that pydantic found, in our words, with the dotted key of the file."""
        for entry in error.errors(include_url=False):
            loc = tuple(str(step) for step in entry["loc"] if not _is_tag(step))
            what, right = _in_words(entry["type"], dict(entry.get("ctx") or {}))
            self.add("wrong-value", (*prefix, *loc), what, why=_given(entry), right=right)

    @property
    def grave(self) -> bool:
        """Whether any of them refuses the file."""
        return any(problem.grave for problem in self.found)


def _is_tag(step: int | str) -> bool:
    """Tell pydantic's union tags from the file's own keys."""
    return isinstance(step, str) and (
        step.startswith(("literal[", "function-", "tuple[", "constrained-")) or step == "nullable"
    )


def _in_words(kind: str, context: dict[str, Any]) -> tuple[str, str]:
    if kind == "value_error":
        return str(context.get("error", "it is not right")), ""
    if kind in _BY_CONTEXT:
        return _BY_CONTEXT[kind].format_map(context), ""
    return _WORDS.get(kind, (kind.replace("_", " "), ""))


def _given(entry: Any) -> str:
    if entry["type"] in ("missing", "value_error"):
        return ""
    return f"the file has {shown(entry['input'])}"


def shown(value: object) -> str:
    """Return a value from a file for a message: cleaned and cut to a bearable length."""
    text = "true" if value is True else "false" if value is False else repr(value)
    return clean(text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…")
