"""Changes of a page, each applied to its value and to its text; the two must agree."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Protocol

import tomli

from model.book.into_toml import setting_table
from model.book.layout import Plain, key_text, value_text
from model.book.scan import Path
from model.book.tokens import Index, Place, index_text
from model.disk.guard import BYTE_ORDER, LONGEST_LINE
from model.errors import CannotDo, Problem
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.page import Page, Remarks
from model.rig.setting import Setting


@dataclass(frozen=True, slots=True)
class SettingEdit:
    """One setting's line becomes another."""

    key: str
    setting: Setting

    def on_page(self, page: Page) -> Page:
        """Return the page with the setting."""
        return page.with_setting(self.key, self.setting)

    @property
    def settings(self) -> tuple[tuple[str, Setting], ...]:
        """The one setting, as :class:`SettingsEdit` has several."""
        return ((self.key, self.setting),)

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return the entries of the text that change."""
        return _setting_lines(self.settings)

    def undone_on(self, page: Page) -> SettingEdit:
        """Return the edit that brings back what ``page`` says now."""
        return SettingEdit(self.key, page.setting(self.key))


@dataclass(frozen=True, slots=True)
class SettingsEdit:
    """Several settings change at once: a whole rail seen at its marks. One save, one undo."""

    settings: tuple[tuple[str, Setting], ...]

    def on_page(self, page: Page) -> Page:
        """Return the page with the settings."""
        return page.with_settings(dict(self.settings))

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return the entries of the text that change."""
        return _setting_lines(self.settings)

    def undone_on(self, page: Page) -> SettingsEdit:
        """Return the edit that brings back what ``page`` says now."""
        return SettingsEdit(tuple((key, page.setting(key)) for key, _ in self.settings))


def _setting_lines(settings: tuple[tuple[str, Setting], ...]) -> tuple[tuple[Path, Plain], ...]:
    return tuple((("record", *key.split(".")), setting_table(setting)) for key, setting in settings)


@dataclass(frozen=True, slots=True)
class RemarksEdit:
    """The note and the photo names of one part or spot."""

    owner: str
    remarks: Remarks

    def on_page(self, page: Page) -> Page:
        """Return the page with the remarks."""
        return page.with_remarks(self.owner, self.remarks)

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return the entries of the text that change."""
        return (
            (("record", self.owner, "note"), self.remarks.note),
            (("record", self.owner, "photos"), self.remarks.photos),
        )

    def undone_on(self, page: Page) -> RemarksEdit:
        """Return the edit that brings back what ``page`` says now."""
        return RemarksEdit(self.owner, page.notes_on.get(self.owner, Remarks()))


@dataclass(frozen=True, slots=True)
class CrewNoteEdit:
    """One crew member's note about the page."""

    crew: str
    note: str

    def on_page(self, page: Page) -> Page:
        """Return the page with the note."""
        return page.with_crew_note(self.crew, self.note)

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return the entry of the text that changes."""
        return ((("notes", self.crew), self.note),)

    def undone_on(self, page: Page) -> CrewNoteEdit:
        """Return the edit that brings back what ``page`` says now."""
        return CrewNoteEdit(self.crew, dict(page.crew).get(self.crew, ""))


@dataclass(frozen=True, slots=True)
class ClosedEdit:
    """The page is closed for the show, or opened again."""

    closed: bool

    def on_page(self, page: Page) -> Page:
        """Return the page, closed or open."""
        return page.with_closed(self.closed)

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return the entry of the text that changes."""
        return ((("closed",), self.closed),)

    def undone_on(self, page: Page) -> ClosedEdit:
        """Return the edit that brings back what ``page`` says now."""
        return ClosedEdit(page.head.closed)


@dataclass(frozen=True, slots=True)
class StructureEdit:
    """A step of building: the whole text becomes another. Undone only where nobody wrote since.

    ``step`` works it out again on another page; None for its own undoing.
    """

    what: str
    at: str
    before: str
    after: str
    page_before: Page
    page_after: Page
    step: Callable[[Page], Changes | Refusal] | None = None
    crew: str | None = None

    def on_page(self, _page: Page) -> Page:
        """Return the page after the step."""
        return self.page_after

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return no entry: whole tables come and go."""
        return ()

    def undone_on(self, _page: Page) -> StructureEdit:
        """Return the edit that brings the text back as it was."""
        return StructureEdit(
            what=self.what, at=self.at, before=self.after, after=self.before,
            page_before=self.page_after, page_after=self.page_before,
        )  # fmt: skip


Edit = SettingEdit | SettingsEdit | RemarksEdit | CrewNoteEdit | ClosedEdit | StructureEdit


class Entries(Protocol):
    """What the text has to know of a change: each entry's key, and its new value."""

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        """Return the entries of the text that change."""


def edit_text(text: str, index: Index, edit: Entries) -> tuple[str, Index]:
    """Return the text with the edit's entries changed, and not another character; and its index.

    An entry that stands in the text has its value replaced where it stands; its comment stays. One
    that does not gets a line of its own after its owner's last one, with a blank line before it.
    Raises :class:`CannotDo` where the entry is written inside another value, or where its line
    would be longer than a page's line may be.
    """
    mark = BYTE_ORDER if text.startswith(BYTE_ORDER) else ""
    text = text.removeprefix(BYTE_ORDER)
    for path, value in edit.lines():
        text, index = _with_entry(text, index, path, value_text(value))
    return mark + text, index


def _with_entry(text: str, index: Index, path: Path, value: str) -> tuple[str, Index]:
    lines = text.split("\n")
    place = index.places.get(path)
    if place is None:
        _add_line(lines, index, path, value)
    elif _says(place.value_in(lines), value):
        return text, index
    else:
        first, last = lines[place.line - 1], lines[place.last_line - 1]
        line = first[: place.value_column] + value + last[place.end_column :]
        _check_length(line, path)
        lines[place.line - 1 : place.last_line] = [line]
        if place.line == place.last_line and not _may_be_deepest(index, place, value):
            moved = replace(place, end_column=place.value_column + len(value))
            return "\n".join(lines), replace(index, places={**index.places, path: moved})
    text = "\n".join(lines)
    return text, index_text(text)


def _says(written: str, value: str) -> bool:
    """Tell whether an entry says a value already, however a hand wrote it: then it stays."""
    if written == value:
        return True
    try:
        return tomli.loads(f"k = {written}") == tomli.loads(f"k = {value}")
    except ValueError:
        return False


def _may_be_deepest(index: Index, place: Place, value: str) -> bool:
    """Tell whether the change of one line may change where the text's keys go deepest."""
    if place.line == index.deepest_line:
        return True
    depth = index_text(f"{key_text(*place.path)} = {value}").deepest
    return depth > index.deepest or (depth == index.deepest and place.line < index.deepest_line)


def _add_line(lines: list[str], index: Index, path: Path, value: str) -> None:
    for length in range(1, len(path)):
        if inside := index.places.get(path[:length]):
            key = ".".join(path)
            problem = Problem(
                code="inside-another",
                what=f"{key} is written inside another value",
                why="Clampbook changes only entries that have a line of their own",
                right=f"{key_text(*path[1:])} = {value} below [{path[0]}]",
                key=key,
                line=inside.line,
            )
            raise CannotDo("the text cannot be changed there", (problem,))
    end = "\r" if lines[0].endswith("\r") else ""
    after, table = _nearest(index, path)
    if len(path) == 1:
        added = [f"{key_text(*path)} = {value}{end}"]
    elif table is None:
        after = len(lines) - (lines[-1] == "")
        added = [end, f"[{key_text(path[0])}]{end}", end, f"{key_text(*path[1:])} = {value}{end}"]
    else:
        added = [end, f"{key_text(*path[len(table) :])} = {value}{end}"]
    _check_length(added[-1], path)
    if after == len(lines):  # the last line was not ended
        lines[-1] += end
        added.append("")
    lines[after:after] = added


def _nearest(index: Index, path: Path) -> tuple[int, Path | None]:
    """Return the line after which ``path`` is added, and the table that it is then in.

    That is below the last of its nearest kin: its owner's entries, or else its section's. The
    table is None where the section has nowhere to put it.
    """
    table: Path = ()
    best, found = (0, 0), None if len(path) > 1 else table
    by_line: list[tuple[int, Path, Path]] = [(h.line, h.path, h.path) for h in index.headers]
    headers = iter([*index.headers, None])
    header = next(headers)
    for place in index.places.values():
        while header is not None and header.line < place.line:
            table, header = header.path, next(headers)
        by_line.append((place.last_line, table, place.path))
    for line, inside, kin in by_line:
        if path[: len(inside)] != inside or len(inside) == len(path):
            continue
        shared = sum(
            1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(kin, path, strict=False))
        )
        if (shared or len(path) == 1) and (shared, line) > best:
            best, found = (shared, line), inside
    return best[1], found


def _check_length(line: str, path: Path) -> None:
    if len(line) > LONGEST_LINE:
        problem = Problem(
            code="line-too-long",
            what=f"the line would have {len(line)} characters",
            why=f"a line of a page has {LONGEST_LINE} at most",
            right="a shorter text; a long story fits several notes",
            key=".".join(path),
        )
        raise CannotDo("the text cannot be changed so", (problem,))
