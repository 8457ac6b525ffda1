"""How a page begins: from another page's text, everything carried, nothing of its record copied."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from operator import itemgetter

from model.book.into_toml import instrument_table, kind_table
from model.book.into_values import fits_quantity
from model.book.layout import entry_line, key_text, table_lines
from model.book.page_file import PageFile
from model.book.tokens import Header
from model.book.write import INSTRUMENT, KINDS, NOTES, RECORD, RIG, added_by, record_lines
from model.readings.instruments import GENERIC_INSTRUMENTS, Instrument
from model.rig.building.naming import hyphened
from model.rig.declared import Declared
from model.rig.kind import Kind
from model.rig.page import Page, Remarks
from model.rig.setting import OPEN, Setting, carried_on

_ADDED = re.compile(r"# added on this page by( .*)?")
_GONE = "\n"
_OURS = {NOTES, INSTRUMENT, RIG, RECORD, KINDS}


@dataclass(frozen=True, slots=True)
class Begin:
    """What a new page is begun with. ``began`` knows its offset from UTC, to the second.

    ``reason`` is why it is made, where no night writes it: it never travels into the next page.
    """

    date: date
    began: datetime
    moment: str
    venue: str | None = None
    crew: tuple[str, ...] = ()
    reason: str = ""


def page_name(day: date, moment: str) -> str:
    """Return a page's file name without its ending: date and moment, ASCII."""
    return f"{day.isoformat()}-{slug(moment)}"


def slug(text: str) -> str:
    """Return ``text`` as part of a file name; ``page`` where nothing of it can stand in one."""
    return hyphened(text)[:60] or "page"


def begin_page(
    source: PageFile, start: Begin, instruments: Iterable[Instrument], kinds: Iterable[Kind]
) -> str:
    """Return the text of a new page, begun from another one.

    Every value is carried, with the page where it was read. Parts, spots, marks and kinds travel
    as they are written, comments and unknown keys with them; notes, photos and comments of the
    record stay behind. ``instruments`` and ``kinds`` are the book's: they take the place of the
    page's own of the same id, and those the page lacks are added; generic instruments fill
    the gaps that are left.
    """
    page = begun_value(source, start, instruments, kinds)
    lines = source.text.replace("\r\n", "\n").split("\n")
    blocks = _blocks(lines, source.index.headers)
    crew = [name for name, _ in page.crew]
    out = _head(lines[: _first(source.index.headers, len(lines))], source, page)
    out += ["", NOTES]
    for name in crew:
        out += ["", entry_line((name,), "")]
    out += ["", INSTRUMENT]
    for instrument in page.instruments:
        out += ["", entry_line((instrument.id,), instrument_table(instrument))]
    out += ["", RIG]
    for header, block in blocks:
        if header.path[0] in ("mark", "part", "spot"):
            out += ["", *block]
    for name in crew:
        out += ["", added_by(name)]
    out += ["", RECORD, "", "[record]"]
    for line in record_lines(page):
        out += ["", line]
    for name in crew:
        out += ["", added_by(name)]
    out += ["", KINDS]
    out += _kinds(page, source.page, blocks)
    for header, block in blocks:
        if header.path[0] not in _KNOWN_TABLES:
            out += ["", *block]
    return "\n".join(out).rstrip("\n") + "\n"


_KNOWN_TABLES = frozenset({"notes", "instrument", "mark", "part", "spot", "record", "kind"})


def begun_value(
    source: PageFile, start: Begin, instruments: Iterable[Instrument], kinds: Iterable[Kind]
) -> Page:
    """Return the new page's value: what its text must read as."""
    old = source.page
    head = old.head.model_copy(
        update={
            "date": start.date,
            "began": start.began,
            "moment": start.moment,
            "venue": start.venue or "",
            "begun_from": source.name,
            "closed": False,
            "reason": start.reason,
        }
    )
    carried = {key: carried_on(setting, source.name) for key, setting in old.record}
    generic = {i.id: i for i in GENERIC_INSTRUMENTS}
    held = {**generic, **old.by_instrument, **{i.id: i for i in instruments}}
    by_kind = {**old.by_kind, **{kind.id: kind for kind in kinds}}
    crew = dict.fromkeys([*(name for name, _ in old.crew), *start.crew])
    page = Page(
        head=head,
        crew=tuple((name, "") for name in crew),
        instruments=tuple(held[name] for name in sorted(held)),
        marks=old.marks,
        parts=old.parts,
        spots=old.spots,
        remarks=tuple(
            (owner, Remarks())
            for owner, _ in old.remarks
            if owner in old.by_id or owner in old.by_spot
        ),
        kinds=tuple(by_kind[name] for name in sorted(by_kind)),
    )
    record = [
        (key, _as_measured_now(carried.pop(key, OPEN), old.declared.get(key), declared))
        for key, declared in page.declared.items()
    ]
    stray = sorted(carried.items(), key=itemgetter(0))
    return page.model_copy(update={"record": (*record, *stray)})


def _as_measured_now(carried: Setting, before: Declared | None, now: Declared) -> Setting:
    """Return the setting, open with a note where the book's kind measures it otherwise now.

    Nobody has read an angle as a tooth; its old value is told, not turned into one.
    """
    value = carried.value
    if value is None or (before is None and fits_quantity(value, now.quantity)):
        return carried
    same_tooth = before is not None and before.tooth_deg == now.tooth_deg
    if before is not None and before.quantity == now.quantity and same_tooth:
        return carried
    unit = {"length": " mm", "angle": " degrees", "teeth": " teeth"}
    was = value if isinstance(value, str) else f"{value:.10g}"
    was += unit.get(before.quantity, "") if before else ""
    return Setting(
        state="open",
        note=f"was {was[:200]}, read on {carried.page}; the kind measures it otherwise now",
        extra=carried.extra,
    )


def _first(headers: tuple[Header, ...], otherwise: int) -> int:
    return headers[0].line - 1 if headers else otherwise


def _head(lines: list[str], source: PageFile, page: Page) -> list[str]:
    """Return the head's lines: its comments and unknown keys as they were, the new values."""
    head, out = page.head, list(lines)
    names = ("rig", "date", "began", "moment", "venue", "begun_from", "closed", "reason")
    for name in names:
        line = entry_line((name,), getattr(head, name))
        place = source.index.places.get((name,))
        if name == "reason" and not head.reason:
            if place is not None:
                out[place.line - 1 : place.last_line] = [_GONE] * (place.more_lines + 1)
            continue
        if place is None:
            out.append(line)
            continue
        comment = lines[place.last_line - 1][place.end_column :] if name == "rig" else ""
        out[place.line - 1 : place.last_line] = [line + comment, *[_GONE] * place.more_lines]
    out = [line for line in out if line is not _GONE]
    while out and (not out[-1].strip() or out[-1].strip() in _OURS):
        out.pop()
    return out


def _blocks(lines: list[str], headers: tuple[Header, ...]) -> list[tuple[Header, list[str]]]:
    """Cut the text at its headers; comments right above a header belong to it."""
    starts = []
    for header in headers:
        at = header.line - 1
        while at > 0 and lines[at - 1].lstrip().startswith("#") and lines[at - 1] not in _OURS:
            if _ADDED.fullmatch(lines[at - 1].strip()):
                break
            at -= 1
        starts.append(at)
    ends = [*starts[1:], len(lines)]
    return [
        (header, _tidy(lines[start:end]))
        for header, start, end in zip(headers, starts, ends, strict=True)
    ]


def _tidy(block: list[str]) -> list[str]:
    kept = [line for line in block if not _ADDED.fullmatch(line.strip()) and line not in _OURS]
    while kept and not kept[-1].strip():
        kept.pop()
    return kept


def _kinds(page: Page, old: Page, blocks: list[tuple[Header, list[str]]]) -> list[str]:
    written: dict[str, list[str]] = {}
    for header, block in blocks:
        if header.path[0] == "kind" and len(header.path) > 1:
            written.setdefault(header.path[1], []).extend(["", *block])
    out: list[str] = []
    for kind in page.kinds:
        if old.by_kind.get(kind.id) == kind and kind.id in written:
            out += written[kind.id]
        else:
            out += ["", *table_lines(("kind", kind.id), kind_table(kind))]
    return out


__all__ = ["Begin", "begin_page", "begun_value", "key_text", "page_name", "slug"]
