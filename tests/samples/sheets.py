"""Pages while they are written: begun from one another, read, noted, changed, closed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from model.book.begin import Begin, begin_page
from model.book.edits import Edit, edit_text
from model.book.into_toml import part_table
from model.book.layout import entry_line, table_lines
from model.book.page_file import PageFile
from model.book.read import parse_page
from model.book.write import added_by, remarks_lines, setting_line, write_page
from model.readings.instruments import Instrument
from model.rig.declared import AnyPart, part_settings
from model.rig.kind import Kind
from model.rig.page import Page, Remarks
from model.rig.setting import FOLLOWS, OPEN, Setting


def sheet_of(name: str, text: str) -> PageFile:
    """Read a text as the page of that name; it must be one."""
    read = parse_page(text, name)
    assert read.page is not None, [problem.what for problem in read.problems]
    return PageFile(Path(f"{name}.toml"), text, "", read.page, read.index, read.problems)


def first_sheet(name: str, page: Page) -> PageFile:
    """Write the first page of a book."""
    return sheet_of(name, write_page(page))


def begun_sheet(
    name: str, source: PageFile, start: Begin, instruments: Iterable[Instrument], kinds: list[Kind]
) -> PageFile:
    """Begin a page from another one, as the program does."""
    return sheet_of(name, begin_page(source, start, instruments, kinds))


def edited(sheet: PageFile, edit: Edit) -> PageFile:
    """Make an edit in text and value, as the program does before it saves."""
    text, index = edit_text(sheet.text, sheet.index, edit)
    return replace(sheet, text=text, index=index, page=edit.on_page(sheet.page))


def checked(sheet: PageFile) -> PageFile:
    """Return the page as its text reads; the value that the edits made must be the same."""
    read = sheet_of(sheet.name, sheet.text)
    assert read.page == sheet.page, f"{sheet.name}: the text does not say what was recorded"
    return read


def starting_state(
    part: AnyPart, kinds: dict[str, Kind], bars: Iterable[AnyPart]
) -> dict[str, Setting]:
    """Return a part's settings before anything is read: what a bar's two grips fix follows."""
    twice = {clamp for bar in bars if bar.type == "bar" and len(bar.on) == 2 for clamp in bar.on}
    kind = kinds.get(part.kind or "")
    state: dict[str, Setting] = {}
    for declared in part_settings(part, kind):
        joint = kind.by_joint.get(declared.name) if kind else None
        follows = (joint is not None and joint.follows) or (
            declared.name == "spin" and part.id in twice
        )
        state[declared.key] = FOLLOWS if follows else OPEN
    return state


def with_part(sheet: PageFile, part: AnyPart, by: str) -> PageFile:
    """Add a part, above the crew member's own line in the parts and in the record."""
    state = starting_state(part, dict(sheet.page.by_kind), [])
    record: list[str] = []
    for key, setting in state.items():
        record += [setting_line(key, setting), ""]
    for line in remarks_lines(part.id, Remarks()):
        record += [line, ""]
    lines = sheet.text.split("\n")
    first, second = [i for i, line in enumerate(lines) if line == added_by(by)]
    lines[second:second] = record
    lines[first:first] = [*table_lines(("part", part.id), part_table(part)), ""]
    return sheet_of(sheet.name, "\n".join(lines))


def without_part(sheet: PageFile, part_id: str) -> PageFile:
    """Take a part out: its table and its lines of the record."""
    paragraphs = sheet.text.split("\n\n")
    mine = re.compile(rf"\[part\.{part_id}\]\n|{part_id}\.")
    return sheet_of(sheet.name, "\n\n".join(p for p in paragraphs if not mine.match(p)))


def with_part_line(sheet: PageFile, part_id: str, name: str, value: object) -> PageFile:
    """Change one line of a part's table: what it hangs on, its serial."""
    lines = sheet.text.split("\n")
    place = sheet.index.places[("part", part_id, name)]
    lines[place.line - 1] = entry_line((name,), value)
    return sheet_of(sheet.name, "\n".join(lines))
