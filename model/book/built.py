"""A step of building made in the text: blocks and lines come, change and go; all else stays."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from model.book.into_toml import kind_table, mark_table, part_table, setting_table, spot_table
from model.book.layout import Plain, entry_line, table_lines, value_text
from model.book.page_file import PageFile
from model.book.read import parse_page
from model.book.scan import Path
from model.book.sheet import (
    Sheet,
    blocks_at,
    inside,
    kind_place,
    own_line,
    record_end,
    rig_end,
    set_value,
)
from model.book.write import added_by, remarks_lines, setting_line
from model.disk.guard import BYTE_ORDER
from model.errors import NotSaved, Problem
from model.rig.building.changes import Changes, with_changes
from model.rig.page import Page


def built(file: PageFile, changes: Changes, crew: str | None = None) -> PageFile:
    """Return the page with a step made in value and text, not saved yet.

    New parts and their lines go above the crew member's own line, where the page has one, so that
    two people's merge. Raises :class:`CannotDo` where an entry that changes is written inside
    another value, :class:`NotSaved` where text and value would not agree: nothing is written.
    """
    wanted = with_changes(file.page, changes)
    mark = BYTE_ORDER if file.text.startswith(BYTE_ORDER) else ""
    sheet = Sheet(file.text.removeprefix(BYTE_ORDER).split("\n"), file.index)
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


def _take_out(sheet: Sheet, changes: Changes, page: Page, wanted: Page) -> None:
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


def _change(sheet: Sheet, changes: Changes, page: Page, wanted: Page) -> None:
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
                set_value(sheet, ("record", owner, name), getattr(remarks, name))
    for key, setting in wanted.record:
        path = ("record", *key.split("."))
        if key in page.settings and page.settings[key] != setting and path in sheet.index.places:
            set_value(sheet, path, setting_table(setting))


def _entries(sheet: Sheet, table: Path, old: Mapping[str, Plain], new: Mapping[str, Plain]) -> None:
    added: list[str] = []
    for key, value in new.items():
        if key in old and value_text(old[key]) == value_text(value):
            continue
        if (*table, key) in sheet.index.places:
            set_value(sheet, (*table, key), value)
        elif key in old and key != "on":
            raise inside((*table, key))
        else:
            added.append(entry_line((key,), value))
    for key in old.keys() - new.keys():
        place = sheet.index.places.get((*table, key))
        if place is None:
            raise inside((*table, key))
        sheet.replace(place.line - 1, place.last_line, [])
    if added:
        own = [p.last_line for path, p in sheet.index.places.items() if path[: len(table)] == table]
        headers = [h.line for h in sheet.index.headers if h.path == table]
        if not headers:
            raise inside(table)
        at = max([*headers, *own])
        sheet.replace(at, at, added)


def _put_in(sheet: Sheet, changes: Changes, page: Page, wanted: Page, crew: str | None) -> None:
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
        own = own_line(sheet, crew, 0, record - 1)
        at = own or rig_end(sheet, record)
        blocks_at(sheet, at, new if own or not crew else [*new, [added_by(crew)]])
    own = own_line(sheet, crew, record, after_record - 1)
    at = own or record_end(sheet, after_record)
    lines = _new_lines(sheet, page, wanted)
    for owner, owners_lines in lines.items():
        note = sheet.index.places.get(("record", owner, "note"))
        blocks_at(sheet, note.line - 1 if note else at, ([line] for line in owners_lines))
    if crew and not own and any(owner not in page.notes_on for owner in lines):
        blocks_at(sheet, at, [[added_by(crew)]])
    for kind in sorted(changes.kinds, key=lambda kind: kind.id):
        if kind.id not in page.by_kind:
            blocks_at(
                sheet,
                kind_place(sheet, kind.id),
                [table_lines(("kind", kind.id), kind_table(kind))],
            )


def _new_lines(sheet: Sheet, page: Page, wanted: Page) -> dict[str, list[str]]:
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


def _reorder(sheet: Sheet, order: tuple[str, ...]) -> None:
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


def _disagree(file: PageFile, changes: Changes) -> NotSaved:
    problem = Problem(
        code="text-and-value",
        what=f"the changed text would not say: {changes.what}",
        why="this is a fault of Clampbook's; nothing was written",
        right="report it with the page; meanwhile the page can be changed in an editor",
        path=str(file.path),
    )
    return NotSaved("not saved; the old file is whole", (problem,))
