"""Where each key stands in a TOML text: an index over tokens, shared by edits and messages.

It is lenient: whether a text is TOML is for the parser to say. It only has to be right about
texts that are, and to name good lines in those that are not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from model.book.scan import BLANK, COMMENT, Path, Scan
from model.disk.guard import DEEPEST_KEY


@dataclass(frozen=True, slots=True)
class Place:
    """One key and its value, which goes from a column of ``line`` to one of ``last_line``.

    Lines count from one, columns from nought, so that an edit of one line moves no other place.
    """

    path: Path
    line: int
    value_column: int
    last_line: int
    end_column: int

    @property
    def more_lines(self) -> int:
        """How many lines the value takes beyond its first."""
        return self.last_line - self.line

    def value_in(self, lines: Sequence[str]) -> str:
        """Return the value's text from the lines of the text."""
        if self.line == self.last_line:
            return lines[self.line - 1][self.value_column : self.end_column]
        first, last = lines[self.line - 1], lines[self.last_line - 1]
        between = lines[self.line : self.last_line - 1]
        return "\n".join([first[self.value_column :], *between, last[: self.end_column]])


@dataclass(frozen=True, slots=True)
class Header:
    """One table header: its path and its line."""

    path: Path
    line: int
    is_array: bool = False


@dataclass(frozen=True, slots=True)
class Twice:
    """A key or a table that stands in the text twice."""

    path: Path
    first_line: int
    line: int


@dataclass(frozen=True, slots=True)
class Index:
    """Every key and table header of a text, in its order; ``tables`` their first lines."""

    places: dict[Path, Place]
    headers: tuple[Header, ...]
    tables: dict[Path, int]
    twice: tuple[Twice, ...]
    odd_lines: tuple[int, ...]
    deepest: int
    deepest_line: int

    def line_of(self, path: Path) -> int | None:
        """Return the line of ``path``, or of the nearest thing around it that has one."""
        for length in range(len(path), 0, -1):
            if place := self.places.get(path[:length]):
                return place.line
            if line := self.tables.get(path[:length]):
                return line
        return None


class _Doubles:
    """What stands twice; each element of an array of tables is a table of its own."""

    def __init__(self) -> None:
        self.found: list[Twice] = []
        self.elements: dict[Path, int] = {}
        self.headers: dict[object, int] = {}
        self.entries: dict[object, int] = {}
        self.again = 0  # the line of the table that one is in, where it is there twice

    def _element(self, path: Path) -> object:
        if not self.elements:
            return path
        return path, tuple(self.elements.get(path[:n], 0) for n in range(1, len(path)))

    def header(self, header: Header) -> None:
        self.again = 0
        if header.is_array:
            self.elements[header.path] = self.elements.get(header.path, 0) + 1
            return
        first = self.headers.setdefault(self._element(header.path), header.line)
        if first != header.line:
            self.found.append(Twice(header.path, first, header.line))
            self.again = header.line

    def entry(self, place: Place) -> None:
        first = self.entries.setdefault((self._element(place.path), self.again), place.line)
        if first != place.line:
            self.found.append(Twice(place.path, first, place.line))


def index_text(text: str) -> Index:
    """Return where every key and table header of ``text`` stands.

    Where keys go deeper than a page's may it ends: such a text is refused, and to remember each
    of thousands of long paths would take for ever.
    """
    scan = Scan(text)
    places: dict[Path, Place] = {}
    headers: list[Header] = []
    doubles = _Doubles()
    table: Path = ()
    while scan.at < len(text) and scan.deepest <= DEEPEST_KEY:
        if scan.skip(BLANK) or scan.skip(COMMENT):
            continue
        if scan.peek() == "[":
            header = _header(scan)
            if header is not None:
                table = header.path
                headers.append(header)
                doubles.header(header)
            continue
        place = _entry(scan, table)
        if place is not None:
            doubles.entry(place)
            places.setdefault(place.path, place)
    return Index(
        places=places,
        headers=tuple(headers),
        tables={header.path: header.line for header in reversed(headers)},
        twice=tuple(doubles.found),
        odd_lines=tuple(scan.odd_lines),
        deepest=scan.deepest,
        deepest_line=scan.deepest_line,
    )


def _header(scan: Scan) -> Header | None:
    line = scan.line
    is_array = scan.text.startswith("[[", scan.at)
    scan.at += 2 if is_array else 1
    path = scan.key()
    is_whole = path is not None and scan.text.startswith("]]" if is_array else "]", scan.at)
    scan.to_line_end()
    if path is None or not is_whole:
        scan.odd_lines.append(line)
    if path is None:
        return None
    scan.note_depth(len(path))
    return Header(path, line, is_array)


def _entry(scan: Scan, table: Path) -> Place | None:
    line_at, line = scan.text.rfind("\n", 0, scan.at) + 1, scan.line
    key = scan.key()
    if key is None or scan.peek() != "=":
        scan.odd_lines.append(line)
        scan.to_line_end()
        return None
    scan.at += 1
    scan.spaces()
    value_at = scan.at
    scan.note_depth(len(table) + len(key))
    end = scan.value(len(table) + len(key))
    last = line + scan.text.count("\n", value_at, end)
    last_at = line_at if last == line else scan.text.rfind("\n", 0, end) + 1
    if scan.peek() not in ("#", "\n", ""):
        scan.odd_lines.append(last)
        scan.to_line_end()
    return Place((*table, *key), line, value_at - line_at, last, end - last_at)
