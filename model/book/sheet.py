"""A page's text as lines, for steps of building: blocks, where new ones go, and the edits."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from model.book.layout import Plain, value_text
from model.book.scan import Path
from model.book.tokens import Header, Index
from model.book.write import KINDS, NOTES, RECORD, RIG, added_by
from model.errors import CannotDo, Problem

_OURS = frozenset({RIG, RECORD, KINDS, NOTES})
_ADDED = "# added on this page by"


@dataclass
class Sheet:
    """The lines of a text, and what replaces which of them: (first, end) -> lines."""

    lines: list[str]
    index: Index
    edits: list[tuple[int, int, list[str]]] = field(default_factory=list)

    @property
    def end(self) -> str:
        """What stands before each line break: nothing, or a carriage return."""
        return "\r" if self.lines[0].endswith("\r") else ""

    @cached_property
    def last_lines(self) -> list[tuple[int, int]]:
        """Every entry's first and last line, in order."""
        return sorted((place.line, place.last_line) for place in self.index.places.values())

    def replace(self, first: int, end: int, lines: Iterable[str]) -> None:
        """Put lines in the place of some, or between two; all by their first numbers."""
        self.edits.append((first, end, [line + self.end for line in lines]))

    def text(self) -> str:
        """Return the text with every edit made."""
        lines = list(self.lines)
        if lines and lines[-1] and any(first >= len(lines) for first, _, _ in self.edits):
            lines.append("")  # the last line was not ended
        numbered = sorted(enumerate(self.edits), key=lambda one: (one[1][0], one[0]))
        for _, (first, end, new) in reversed(numbered):
            lines[first:end] = new
        return "\n".join(lines)

    def block(self, path: Path) -> tuple[int, int]:
        """Return the first line and the end of a table: comments above it, a blank line below."""
        headers = [header for header in self.index.headers if header.path[: len(path)] == path]
        if not headers:
            raise inside(path)
        first, end = self._start(headers[0]), self._end(headers[-1])
        if any(first < h.line <= end and h.path[: len(path)] != path for h in self.index.headers):
            raise inside(path)  # its tables stand apart, with others between
        return first, end

    def _start(self, header: Header) -> int:
        at = header.line - 1
        while at > 0 and self._is_comment(self.lines[at - 1].strip()):
            at -= 1
        return at

    def _is_comment(self, line: str) -> bool:
        return line.startswith("#") and line not in _OURS and not line.startswith(_ADDED)

    def _end(self, header: Header) -> int:
        after, lasts = self._next(header), self.last_lines
        own = lasts[bisect_left(lasts, (header.line,)) : bisect_left(lasts, (after,))]
        at = max([header.line, *(last for _, last in own)])
        while at < len(self.lines) and self.lines[at].strip() and not self._is_sentinel(at):
            at += 1
        while at < len(self.lines) and not self.lines[at].strip() and self._blank_goes(at):
            at += 1
        return at

    def _is_sentinel(self, at: int) -> bool:
        line = self.lines[at].strip()
        return line in _OURS or line.startswith((_ADDED, "["))

    def _blank_goes(self, at: int) -> bool:
        return at + 1 < len(self.lines)  # the very last line break stays

    def _next(self, header: Header) -> int:
        later = (other.line for other in self.index.headers if other.line > header.line)
        return min(later, default=len(self.lines) + 1)

    def sections(self) -> tuple[int, int]:
        """Return the lines of ``[record]`` and of the header after it."""
        for header in self.index.headers:
            if header.path == ("record",):
                return header.line, self._next(header)
        raise inside(("record",))


def blocks_at(sheet: Sheet, at: int, blocks: Iterable[list[str]]) -> None:
    """Put blocks before a line, with a blank line after each; at the very end before each."""
    is_end = at >= len(sheet.lines) or not any(line.strip() for line in sheet.lines[at:])
    out: list[str] = []
    for block in blocks:
        out += ["", *block] if is_end else [*block, ""]
    if not is_end and at > 0 and sheet.lines[at - 1].strip():
        out = ["", *out]
    sheet.replace(at, at, out)


def own_line(sheet: Sheet, crew: str | None, first: int, end: int) -> int | None:
    """Return the crew member's own line between two, above which their new blocks go."""
    mark = added_by(crew or "")
    for at in range(first, min(end, len(sheet.lines))):
        if crew and sheet.lines[at].strip() == mark:
            return at
    return None


def rig_end(sheet: Sheet, record: int) -> int:
    """Return the line before which the rig ends: a crew's own, or the record's title."""
    at = record - 1
    while at > 0 and _is_between(sheet.lines[at - 1].strip()):
        at -= 1
    while at < record - 1 and not sheet.lines[at].strip():
        at += 1
    return at


def _is_between(line: str) -> bool:
    """Tell what may stand between the last part and the record: its title, the crew's own lines."""
    return not line or line == RECORD or line.startswith(_ADDED)


def record_end(sheet: Sheet, after: int) -> int:
    """Return the line before which the record ends; ``after`` is the header behind it."""
    last = [p.last_line for path, p in sheet.index.places.items() if path[0] == "record"]
    at = max([sheet.sections()[0], *last])
    while at < min(after - 1, len(sheet.lines)) and not sheet.lines[at].strip():
        at += 1
    return at


def kind_place(sheet: Sheet, kind_id: str) -> int:
    """Return the line before which a kind belongs: by id among the kinds, else at the end."""
    for header in sheet.index.headers:
        if header.path[0] == "kind" and len(header.path) == 2 and header.path[1] > kind_id:
            return sheet.block(header.path)[0]
    at = len(sheet.lines)
    while at > 0 and not sheet.lines[at - 1].strip():
        at -= 1
    return at


def inside(path: Path) -> CannotDo:
    """Return that an entry has no lines of its own to change."""
    problem = Problem(
        code="inside-another",
        what=f"{'.'.join(path)} has no lines of its own in the page",
        why="Clampbook changes only entries that have a line of their own, in a table of their own",
        right=f"[{'.'.join(path[:2])}] with a line for each entry",
        key=".".join(path),
    )
    return CannotDo("the text cannot be changed there", (problem,))


def set_value(sheet: Sheet, path: Path, value: Plain) -> None:
    """Put a value in the place of an entry's, and leave its comment."""
    place = sheet.index.places[path]
    first, last = sheet.lines[place.line - 1], sheet.lines[place.last_line - 1]
    line = first[: place.value_column] + value_text(value) + last[place.end_column :]
    sheet.replace(place.line - 1, place.last_line, [line.removesuffix(sheet.end)])
