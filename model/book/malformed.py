"""Why a value is not TOML, in words that help whoever wrote it: the usual slips by name."""

from __future__ import annotations

import re

import tomli

from model.book.scan import mask_strings
from model.disk.guard import LONGEST_LINE

_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_VALUE = r"(?:^|=)\s*"
_NUMBER = _VALUE + r"[+-]?[0-9.]+\s*"

_CONTROL = "a control character stands in it as it is"
_NO_CLOSE = "the text has no closing quote on its line"

# What is looked for once the whole texts are masked, and what it means; the first that fits tells.
_SLIPS: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), what)
    for pattern, what in (
        (r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]|\r(?!\n)", _CONTROL),
        (_VALUE + "[‘’‚“”„«»]", "a text stands in straight quotes"),
        (_VALUE + r"[+-]?[0-9]+,[0-9]", "a number has a point for its decimals, and no comma"),
        (
            _NUMBER + r"(?:[0-9]*/|(?:mm|cm|in|ft|deg|t)\b|[\"'°½¼¾⅛⅜⅝⅞])",
            "a number stands alone, in millimetres, degrees or teeth, with no unit or fraction",
        ),
        (_VALUE + r"[+-]?0[0-9]", "a number does not begin with 0"),
        (_VALUE + r"[+-]?(?:\.[0-9]|[0-9]+\.(?![0-9]))", "a digit stands on each side of a point"),
        (_VALUE + r"[0-9]{4}-[0-9]{2}", "there is no such date or time"),
        (_VALUE + r"(?:True|TRUE|False|FALSE|yes|no)\b", "it is true or false, in small letters"),
        (_VALUE + r"(?!(?:true|false|inf|nan)\b)[^\W\d_]", "a text stands in quotes"),
        ("^[^\"']*[\"']", _NO_CLOSE),
        (r"^\{[^}]*$", "the closing } is missing"),
        (r"^\[[^\]]*$", "the closing ] is missing"),
        (r"^\{.*[\w\]}]\s+[\w-]+\s*=", "a comma is missing between two entries of { }"),
    )
)


def why_no_value(value: str) -> str | None:
    """Return why the text after a key is no TOML value, or None where it is one."""
    if not value.strip():
        return "there is no value after ="
    try:
        tomli.loads(f"k = {value}")
    except (ValueError, RecursionError, MemoryError) as error:
        return _slip(value) or parser_words(error)[0]
    return None


def _slip(value: str) -> str | None:
    if len(value) > LONGEST_LINE:  # over many lines: the parser's words tell it as well
        return None
    masked = mask_strings(value)
    return next((what for pattern, what in _SLIPS if pattern.search(masked)), None)


def parser_words(error: Exception) -> tuple[str, int | None]:
    """Return what the parser says, and its line where it names one."""
    words = str(error)
    if words.startswith("Expected newline or end of document"):
        words = words.replace(words.partition(" (")[0], "something stands after the value")
    if words.startswith("Illegal character"):
        is_line_end = words.startswith(r"Illegal character '\n'")
        words = words.replace(words.partition(" (at ")[0], _NO_CLOSE if is_line_end else _CONTROL)
    match = _AT.search(words)
    said = _AT.sub("", words)
    if not said[:2].isupper():
        said = said[:1].lower() + said[1:]
    return said or "it is not TOML", int(match[1]) if match and match[1] else None
