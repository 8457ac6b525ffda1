"""One more home in the text of book.toml: its line, where homes stand, and nothing else changed."""

from __future__ import annotations

from collections.abc import Sequence

from model.book.layout import entry_line, key_text
from model.book.tokens import Index, Place, index_text
from model.clean import clean
from model.disk.guard import BYTE_ORDER, LONGEST_LINE
from model.errors import CannotDo, Problem

HOMES = "homes"


def with_home(text: str, home: str, page: str, *, first: bool, comment: str = "") -> str:
    """Return book.toml's text with one more home, before all others or after them.

    Homes stand below ``[homes]``, each on a line; in one line ``homes = { … }``; or as lines
    ``homes.NAME``; a book without any gets a ``[homes]`` at its end. A blank line is put round the
    new line where the others have one. The comment stands behind it, except within braces. Raises
    :class:`CannotDo` where the line would be too long.
    """
    mark = BYTE_ORDER if text.startswith(BYTE_ORDER) else ""
    text = text.removeprefix(BYTE_ORDER)
    index, lines = index_text(text), text.split("\n")
    end = "\r" if lines[0].endswith("\r") else ""
    behind = f"  # {clean(comment)}" if comment else ""
    if place := index.places.get((HOMES,)):
        _within_braces(lines, place, entry_line((home,), page), first)
    elif (HOMES,) in index.tables:
        _below_header(lines, index, f"{entry_line((home,), page)}{behind}", end, first)
    elif own := [p for p in index.places.values() if p.path[0] == HOMES and len(p.path) == 2]:
        line = f"{entry_line((HOMES, home), page)}{behind}"
        _beside(lines, own, line, end, first)
    else:
        if not lines[-1]:
            lines.pop()
        else:
            lines[-1] += end
        added = [f"[{key_text(HOMES)}]", "", f"{entry_line((home,), page)}{behind}"]
        lines += [*([end] if lines else []), *(line + end for line in added), ""]
    _check_length(lines)
    return mark + "\n".join(lines)


def _within_braces(lines: list[str], place: Place, entry: str, first: bool) -> None:
    row, last = place.line - 1, place.last_line - 1
    if first:
        at = place.value_column + 1
        held = lines[row][at:].lstrip()
        rest = f" {held}" if held.startswith("}") else f", {held}"
        lines[row] = f"{lines[row][:at]} {entry}{rest}"
        return
    at = place.end_column - 1
    before = lines[last][:at].rstrip()
    comma = "" if before.endswith("{") else ","
    lines[last] = f"{before}{comma} {entry} {lines[last][at:]}"


def _below_header(lines: list[str], index: Index, line: str, end: str, first: bool) -> None:
    header = index.tables[(HOMES,)]
    own = [p for p in index.places.values() if p.path[0] == HOMES and p.line > header]
    if not first and own:
        _beside(lines, own, line, end, first)
        return
    is_last = header == len(lines)
    spaced = is_last or not lines[header].strip()
    if is_last:  # the header's line was not ended
        lines[header - 1] += end
    lines[header:header] = [*([end] if spaced else []), line + end]
    if is_last:
        lines.append("")


def _beside(lines: list[str], own: Sequence[Place], line: str, end: str, first: bool) -> None:
    """Put a line before the first of some entries, or after the last."""
    spaced = len(own) > 1 and own[1].line - own[0].last_line > 1
    if first:
        at = own[0].line - 1
        while at > 0 and lines[at - 1].lstrip().startswith("#"):
            at -= 1  # what is said above the first one stays with it
        lines[at:at] = [line + end, *([end] if spaced else [])]
        return
    at = own[-1].last_line
    spaced = spaced or (own[0].line > 1 and not lines[own[0].line - 2].strip())
    if at == len(lines):
        lines[-1] += end
        lines.append("")
    lines[at:at] = [*([end] if spaced else []), line + end]


def _check_length(lines: Sequence[str]) -> None:
    longest = max(len(line) for line in lines)
    if longest > LONGEST_LINE:
        problem = Problem(
            code="line-too-long",
            what=f"the home's line would have {longest} characters",
            why=f"a line has {LONGEST_LINE} at most",
            right="a shorter reason",
            key=HOMES,
        )
        raise CannotDo("the home cannot be named so", (problem,))
