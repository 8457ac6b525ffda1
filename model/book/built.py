"""A step of building made in the text: blocks and lines come, change and go; all else stays."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from model.book.into_toml import kind_table, mark_table, part_table, setting_table, spot_table
from model.book.layout import Plain, entry_line, table_lines, value_text
from model.book.page_file import PageFile
from model.book.read import parse_page
from model.book.scan import Path
from model.book.tokens import Header, Index
from model.book.write import KINDS, NOTES, RECORD, RIG, added_by, remarks_lines, setting_line
from model.disk.guard import BYTE_ORDER
from model.errors import CannotDo, NotSaved, Problem
from model.rig.building.changes import Changes, with_changes
from model.rig.page import Page

_OURS = frozenset({RIG, RECORD, KINDS, NOTES})
_ADDED = "# added on this page by"


def built(file: PageFile, changes: Changes, crew: str | None = None) -> PageFile:
    """Return the page with a step made in value and text, not saved yet.

    New parts and their lines go above the crew member's own line, where the page has one, so that
    two people's merge. Raises :class:`CannotDo` where an entry that changes is written inside
    another value, :class:`NotSaved` where text and value would not agree: nothing is written.
    """
    wanted = with_changes(file.page, changes)
    mark = BYTE_ORDER if file.text.startswith(BYTE_ORDER) else ""
    sheet = _Sheet(file.text.removeprefix(BYTE_ORDER).split("\n"), file.index)
    _take_out(sheet, changes, file.page, wanted)
    _change(sheet, changes, file.page, wanted)
    _put_in(sheet, changes, file.page, wanted, crew)
    if changes.order:
        _reorder(sheet, changes.order)
    text = mark + sheet.text()
    read = parse_page(text, str(file.path))
    in_order = not changes.order or (
        read.page is not None and tuple(read.page.by_id) == tuple(wanted.by_id)
    )
    if read.page is None or not in_order or not _same(read.page, wanted):
        raise _disagree(file, changes)
    return replace(file, text=text, page=read.page, index=read.index, problems=read.problems)


@dataclass
class _Sheet:
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
            raise _inside(path)
        first, end = self._start(headers[0]), self._end(headers[-1])
        if any(first < h.line <= end and h.path[: len(path)] != path for h in self.index.headers):
            raise _inside(path)  # its tables stand apart, with others between
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
        raise _inside(("record",))


def _take_out(sheet: _Sheet, changes: Changes, page: Page, wanted: Page) -> None:
    for sort, gone in (("part", changes.gone), ("spot", changes.gone_spots)):
        for id_ in gone:
            first, end = sheet.block((sort, id_))
            sheet.replace(first, end, [])
    owners = {*changes.gone, *changes.gone_spots}
    for path, place in sheet.index.places.items():
        if path[0] != "record":
            continue
        key = ".".join(path[1:])
        if path[1] in owners or (key in page.settings and key not in wanted.settings):
            end = place.last_line
            if end < len(sheet.lines) and not sheet.lines[end].strip():
                end += 1
            sheet.replace(place.line - 1, end, [])


def _change(sheet: _Sheet, changes: Changes, page: Page, wanted: Page) -> None:
    for part in changes.parts:
        if part.id in page.by_id:
            old, new = part_table(page.by_id[part.id]), part_table(part)
            _entries(sheet, ("part", part.id), old, new)
    for spot in changes.spots:
        if spot.id in page.by_spot:
            old, new = spot_table(page.by_spot[spot.id]), spot_table(spot)
            _entries(sheet, ("spot", spot.id), old, new)
    for kind in changes.kinds:
        if kind.id in page.by_kind:
            old, new = kind_table(page.by_kind[kind.id]), kind_table(kind)
            _entries(sheet, ("kind", kind.id), old, new)
    for mark in changes.marks:
        for held in page.marks:
            if held.id == mark.id:
                _entries(sheet, ("mark", mark.id), mark_table(held), mark_table(mark))
    for owner, remarks in changes.remarks.items():
        known = page.notes_on.get(owner)
        for name in ("note", "photos") if known is not None and known != remarks else ():
            if ("record", owner, name) in sheet.index.places:
                _value(sheet, ("record", owner, name), getattr(remarks, name))
    for key, setting in wanted.record:
        path = ("record", *key.split("."))
        if key in page.settings and page.settings[key] != setting and path in sheet.index.places:
            _value(sheet, path, setting_table(setting))


def _entries(
    sheet: _Sheet, table: Path, old: Mapping[str, Plain], new: Mapping[str, Plain]
) -> None:
    added: list[str] = []
    for key, value in new.items():
        if key in old and value_text(old[key]) == value_text(value):
            continue
        if (*table, key) in sheet.index.places:
            _value(sheet, (*table, key), value)
        elif key in old and key != "on":
            raise _inside((*table, key))
        else:
            added.append(entry_line((key,), value))
    for key in old.keys() - new.keys():
        place = sheet.index.places.get((*table, key))
        if place is None:
            raise _inside((*table, key))
        sheet.replace(place.line - 1, place.last_line, [])
    if added:
        own = [p.last_line for path, p in sheet.index.places.items() if path[: len(table)] == table]
        headers = [h.line for h in sheet.index.headers if h.path == table]
        if not headers:
            raise _inside(table)
        at = max([*headers, *own])
        sheet.replace(at, at, added)


def _value(sheet: _Sheet, path: Path, value: Plain) -> None:
    place = sheet.index.places[path]
    first, last = sheet.lines[place.line - 1], sheet.lines[place.last_line - 1]
    line = first[: place.value_column] + value_text(value) + last[place.end_column :]
    sheet.replace(place.line - 1, place.last_line, [line.removesuffix(sheet.end)])


def _put_in(sheet: _Sheet, changes: Changes, page: Page, wanted: Page, crew: str | None) -> None:
    known_marks = {mark.id for mark in page.marks}
    new = [
        table_lines(("mark", mark.id), mark_table(mark))
        for mark in changes.marks
        if mark.id not in known_marks
    ]
    new += [
        table_lines(("part", part.id), part_table(part))
        for part in changes.parts
        if part.id not in page.by_id
    ]
    new += [
        table_lines(("spot", spot.id), spot_table(spot))
        for spot in changes.spots
        if spot.id not in page.by_spot
    ]
    record, after_record = sheet.sections()
    if new:
        own = _own_line(sheet, crew, 0, record - 1)
        at = own or _rig_end(sheet, record)
        _blocks_at(sheet, at, new if own or not crew else [*new, [added_by(crew)]])
    own = _own_line(sheet, crew, record, after_record - 1)
    at = own or _record_end(sheet, after_record)
    lines = _new_lines(sheet, page, wanted)
    for owner, owners_lines in lines.items():
        note = sheet.index.places.get(("record", owner, "note"))
        _blocks_at(sheet, note.line - 1 if note else at, ([line] for line in owners_lines))
    if crew and not own and any(owner not in page.notes_on for owner in lines):
        _blocks_at(sheet, at, [[added_by(crew)]])
    for kind in sorted(changes.kinds, key=lambda kind: kind.id):
        if kind.id not in page.by_kind:
            _blocks_at(
                sheet,
                _kind_place(sheet, kind.id),
                [table_lines(("kind", kind.id), kind_table(kind))],
            )


def _new_lines(sheet: _Sheet, page: Page, wanted: Page) -> dict[str, list[str]]:
    """Return the record's new lines by owner: its settings, its note and photos."""
    by_owner: dict[str, list[str]] = {}
    for key, setting in wanted.record:
        is_new = key not in page.settings or page.settings[key] != setting
        if is_new and ("record", *key.split(".")) not in sheet.index.places:
            by_owner.setdefault(key.split(".", 1)[0], []).append(setting_line(key, setting))
    for owner, remarks in wanted.notes_on.items():
        if owner not in page.notes_on:
            by_owner.setdefault(owner, []).extend(remarks_lines(owner, remarks))
    return by_owner


def _blocks_at(sheet: _Sheet, at: int, blocks: Iterable[list[str]]) -> None:
    """Put blocks before a line, with a blank line after each; at the very end before each."""
    is_end = at >= len(sheet.lines) or not any(line.strip() for line in sheet.lines[at:])
    out: list[str] = []
    for block in blocks:
        out += ["", *block] if is_end else [*block, ""]
    if not is_end and at > 0 and sheet.lines[at - 1].strip():
        out = ["", *out]
    sheet.replace(at, at, out)


def _own_line(sheet: _Sheet, crew: str | None, first: int, end: int) -> int | None:
    mark = added_by(crew or "")
    for at in range(first, min(end, len(sheet.lines))):
        if crew and sheet.lines[at].strip() == mark:
            return at
    return None


def _rig_end(sheet: _Sheet, record: int) -> int:
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


def _record_end(sheet: _Sheet, after: int) -> int:
    last = [p.last_line for path, p in sheet.index.places.items() if path[0] == "record"]
    at = max([sheet.sections()[0], *last])
    while at < min(after - 1, len(sheet.lines)) and not sheet.lines[at].strip():
        at += 1
    return at


def _kind_place(sheet: _Sheet, kind_id: str) -> int:
    """Return the line before which a kind belongs: by id among the kinds, else at the end."""
    for header in sheet.index.headers:
        if header.path[0] == "kind" and len(header.path) == 2 and header.path[1] > kind_id:
            return sheet.block(header.path)[0]
    at = len(sheet.lines)
    while at > 0 and not sheet.lines[at - 1].strip():
        at -= 1
    return at


def _reorder(sheet: _Sheet, order: tuple[str, ...]) -> None:
    """Put the parts' blocks into another order, each in the place of one."""
    ids = [h.path[1] for h in sheet.index.headers if h.path[0] == "part" and len(h.path) == 2]
    blocks = {id_: sheet.block(("part", id_)) for id_ in ids}
    for old, new in zip(ids, (id_ for id_ in order if id_ in blocks), strict=True):
        if old != new:
            first, end = blocks[new]
            lines = [line.removesuffix(sheet.end) for line in sheet.lines[first:end]]
            sheet.replace(*blocks[old], [*_stripped(lines), ""])


def _stripped(lines: list[str]) -> Iterator[str]:
    while lines and not lines[-1].strip():
        lines = lines[:-1]
    yield from lines


def _same(read: Page, wanted: Page) -> bool:
    """Tell whether two pages say the same, whatever the order of what was put in."""
    return (
        read.head == wanted.head
        and read.crew == wanted.crew
        and read.instruments == wanted.instruments
        and set(read.marks) == set(wanted.marks)
        and read.by_id == wanted.by_id
        and read.by_spot == wanted.by_spot
        and read.settings == wanted.settings
        and read.notes_on == wanted.notes_on
        and read.by_kind == wanted.by_kind
    )


def _inside(path: Path) -> CannotDo:
    problem = Problem(
        code="inside-another",
        what=f"{'.'.join(path)} has no lines of its own in the page",
        why="Clampbook changes only entries that have a line of their own, in a table of their own",
        right=f"[{'.'.join(path[:2])}] with a line for each entry",
        key=".".join(path),
    )
    return CannotDo("the text cannot be changed there", (problem,))


def _disagree(file: PageFile, changes: Changes) -> NotSaved:
    problem = Problem(
        code="text-and-value",
        what=f"the changed text would not say: {changes.what}",
        why="this is a fault of Clampbook's; nothing was written",
        right="report it with the page; meanwhile the page can be changed in an editor",
        path=str(file.path),
    )
    return NotSaved("not saved; the old file is whole", (problem,))
