"""TOML text to plain tables, with every malformed line named, not just the first."""

from __future__ import annotations

from typing import Any

import tomli

from model.book.beside.marks import is_mark
from model.book.examples import right_entry
from model.book.faults import Faults, as_shown
from model.book.malformed import parser_words, why_no_value
from model.book.tokens import Index, index_text
from model.disk.guard import BYTE_ORDER, DEEPEST_KEY, too_long_lines

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
    lines = text.split("\n")
    marks = [number for number in index.odd_lines if is_mark(lines[number - 1])]
    if marks:
        written = as_shown(lines[marks[0] - 1].strip())
        by_hand = "keep one of the lines, and none of the marks"
        is_page = faults.file.endswith(".toml") and not faults.file.endswith("book.toml")
        faults.add(
            "two-versions",
            (),
            f"two versions of a line stand in it, between marks that a merge left: {written}",
            why="both changed the same line, and which of the two is right only you can tell",
            right=f"clampbook recover parts them; or {by_hand}" if is_page else by_hand,
            line=marks[0],
        )
        return
    for twice in index.twice[:_MOST_TOLD]:
        is_table = twice.path in index.tables
        faults.add(
            "duplicate",
            twice.path,
            f"the {'table' if is_table else 'key'} is there twice",
            why=f"the first stands in line {twice.first_line}",
            right="another id for one of the two" if is_table else "one of the two lines alone",
            line=twice.line,
        )
    for odd in index.odd_lines[:_MOST_TOLD]:
        written = as_shown(lines[odd - 1].strip())
        what = f"the line is neither a key and its value nor a table: {written}"
        right = f"{right_entry(())}, or [part.ride-boom]"
        faults.add("malformed", (), what, right=right, line=odd)
    for place in index.places.values():
        if len(faults.found) > _MOST_TOLD:
            break
        if why := why_no_value(place.value_in(lines)):
            right = right_entry(place.path)
            faults.add("malformed", place.path, why, right=right, line=place.line)
    if not faults.found:
        what, line = parser_words(error)
        faults.add("malformed", (), what, right=right_entry(()), line=line)
