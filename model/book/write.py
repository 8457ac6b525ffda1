"""A whole page as text, from its value: for a new rig, and for what has no text yet."""

from __future__ import annotations

from collections.abc import Iterator

from model.book.into_toml import (
    head_table,
    instrument_table,
    kind_table,
    mark_table,
    part_table,
    setting_table,
    spot_table,
)
from model.book.layout import entry_line, key_text, paragraphs, spaced_table_lines, table_lines
from model.clean import clean
from model.rig.page import Page, Remarks
from model.rig.part import FLOOR
from model.rig.setting import Setting

TITLE = "# Clampbook page. Millimetres, degrees, teeth. Head: one-line values only, no counts."
RIG = "# ---- the rig: what hangs on what (file order is not walking order) ----"
RECORD = (
    "# ---- the record: each setting is read, seen at its mark, carried (from the page where it "
    "was read), open, or following a loop ----"
)
KINDS = "# ---- the kinds of this book, as they were on this page, by id ----"
NOTES = "[notes]  # about the page: one line for each of the crew"
INSTRUMENT = (
    "[instrument]  # standard uncertainty (u), as it was held on this night; "
    "same = same instrument on the same mark again"
)


def added_by(crew: str) -> str:
    """Return the line above which a crew member's new parts go, so that two people's merge."""
    return f"# added on this page by {clean(crew)}"


def write_page(page: Page) -> str:
    """Return the page as TOML text, in the layout; reading it gives the same page again."""
    return paragraphs(_blocks(page))


def _blocks(page: Page) -> Iterator[list[str]]:
    yield [TITLE, *(entry_line((key,), value) for key, value in head_table(page.head).items())]
    notes = spaced_table_lines(("notes",), dict(page.crew))
    yield [NOTES, *notes[1:]]
    instruments = {i.id: instrument_table(i) for i in page.instruments}
    yield [INSTRUMENT, *spaced_table_lines(("instrument",), instruments)[1:]]
    yield [RIG]
    for mark in page.marks:
        yield table_lines(("mark", mark.id), mark_table(mark))
    for part in page.parts:
        yield table_lines(("part", part.id), part_table(part))
    for spot in page.spots:
        yield table_lines(("spot", spot.id), spot_table(spot))
    for crew, _ in page.crew:
        yield [added_by(crew)]
    yield [RECORD, "", "[record]"]
    for line in record_lines(page):
        yield [line]
    for crew, _ in page.crew:
        yield [added_by(crew)]
    yield [KINDS]
    for kind in sorted(page.kinds, key=lambda kind: kind.id):
        yield table_lines(("kind", kind.id), kind_table(kind))


def record_lines(page: Page) -> Iterator[str]:
    """Yield the record's lines: the floor's, each part's and spot's, then what nothing declares."""
    by_owner: dict[str, list[str]] = {}
    for key, setting in page.record:
        owner = key.split(".", 1)[0]
        by_owner.setdefault(owner, []).append(setting_line(key, setting))
    owners = [FLOOR, *(part.id for part in page.parts), *(spot.id for spot in page.spots)]
    stray = [o for o in (*by_owner, *page.notes_on) if o not in owners]
    for owner in dict.fromkeys([*owners, *stray]):
        yield from by_owner.get(owner, ())
        if owner in page.notes_on:
            yield from remarks_lines(owner, page.notes_on[owner])


def setting_line(key: str, setting: Setting) -> str:
    """Return one setting's line of the record."""
    return entry_line(key.split("."), setting_table(setting))


def remarks_lines(owner: str, remarks: Remarks) -> list[str]:
    """Return the two lines of an owner's note and photos."""
    return [
        f"{key_text(owner, 'note')} = {entry_value(remarks.note)}",
        f"{key_text(owner, 'photos')} = {entry_value(remarks.photos)}",
    ]


def entry_value(value: object) -> str:
    """Return a value on one line."""
    return entry_line(("k",), value)[4:]
