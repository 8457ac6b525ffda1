"""TOML text to plain tables, with every malformed line named, not just the first."""

from __future__ import annotations

import re
from typing import Any

import tomli

from model.book.faults import Faults, shown
from model.book.guard import BYTE_ORDER, DEEPEST_KEY, too_long_lines
from model.book.tokens import Index, index_text

_AT_LINE = re.compile(r" \(at line (\d+), column \d+\)$|\s*\(at end of document\)$")
_MOST_TOLD = 20


def parse_toml(text: str, file: str) -> tuple[dict[str, Any] | None, Index, Faults]:
    """Return the tables of ``text``, or None with the faults that refuse it.

    What would take long to parse is refused before it is parsed: long lines and deep keys.
    """
    # A sign of byte order is no part of the text; lines keep their numbers.
    text = text.removeprefix(BYTE_ORDER)
    long_lines = too_long_lines(text, file)
    index = index_text("" if long_lines else text)
    faults = Faults(file, index)
    faults.found.extend(long_lines)
    if index.deepest > DEEPEST_KEY:
        faults.add(
            "too-deep",
            (),
            f"keys and brackets go {index.deepest} deep",
            why=f"a page needs {DEEPEST_KEY} at most",
            right='ride-boom.reach = { read = 365.125, using = "tape" }',
            line=index.deepest_line,
        )
    if faults.grave:
        return None, index, faults
    try:
        return tomli.loads(text), index, faults
    except (ValueError, RecursionError, MemoryError) as error:
        _name_faults(text, index, faults, error)
        return None, index, faults


def _name_faults(text: str, index: Index, faults: Faults, error: Exception) -> None:
    for twice in index.twice[:_MOST_TOLD]:
        is_table = any(header.path == twice.path for header in index.headers)
        faults.add(
            "duplicate",
            twice.path,
            f"{'the table' if is_table else 'the key'} is there twice",
            why=f"the first stands in line {twice.first_line}",
            right="give one of the two another id",
            line=twice.line,
        )
    for odd in index.odd_lines[:_MOST_TOLD]:
        written = text.split("\n")[odd - 1].strip()
        faults.add(
            "malformed",
            (),
            f"the line is neither a key and its value nor a table: {shown(written)}",
            right='venue = "Old Tram Shed"',
            line=odd,
        )
    lines = text.split("\n")
    for place in index.places.values():
        if len(faults.found) > _MOST_TOLD:
            break
        if reason := _malformed(place.value_in(lines)):
            faults.add(
                "malformed",
                place.path,
                reason,
                right="clamp-l.height = { read = 812.8 }",
                line=place.line,
            )
    if not faults.found:
        words = str(error)
        match = _AT_LINE.search(words)
        line = int(match[1]) if match and match[1] else None
        faults.add(
            "malformed",
            (),
            _AT_LINE.sub("", words).lower() or "it is not TOML",
            right='venue = "Old Tram Shed"',
            line=line,
        )


def _malformed(value: str) -> str | None:
    try:
        tomli.loads(f"k = {value}")
    except (ValueError, RecursionError, MemoryError) as error:
        return f"the value is not TOML: {_AT_LINE.sub('', str(error)).lower()}"
    return None
