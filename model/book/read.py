"""The one reader: TOML text to a page, or every reason why not."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from operator import itemgetter
from typing import Any, TypeVar

from model.book.examples import SETTING
from model.book.faults import Faults, shown
from model.book.into_values import (
    build,
    instrument_value,
    kind_value,
    part_value,
    setting_value,
)
from model.book.layout import key_text
from model.book.scan import Path
from model.book.tokens import Index
from model.book.toml import parse_toml
from model.disk.guard import LARGEST_FILE
from model.errors import Problem
from model.frozen import LONGEST_TEXT
from model.rig.declared import AnyPart
from model.rig.flags import page_flags
from model.rig.page import FORMAT, Head, Mark, Page, Remarks, Spot
from model.rig.part import Mount
from model.rig.setting import OPEN, Setting

T = TypeVar("T")
_SECTIONS = ("notes", "instrument", "mark", "part", "spot", "record", "kind")
_HEAD = frozenset(
    {"format", "rig", "date", "began", "moment", "venue", "begun_from", "closed", *_SECTIONS}
)
MOST_SETTINGS = LARGEST_FILE // 20
"""Each setting has a line of its own, and none is shorter than that."""
Maker = Callable[[str, object, Faults], T | None]


@dataclass(frozen=True, slots=True)
class PageRead:
    """What came of reading a page: the page unless it was refused, and all that was found."""

    page: Page | None
    problems: tuple[Problem, ...]
    index: Index


def parse_page(text: str, file: str = "page") -> PageRead:
    """Read a page from its TOML text. ``file`` names it in messages.

    Grave problems refuse it: ``page`` is then None. Flags do not.
    """
    tables, index, faults = parse_toml(text, file)
    if tables is None or not _right_format(tables, faults):
        return PageRead(None, faults.in_order(), index)
    head = build(Head, {k: v for k, v in tables.items() if k not in _SECTIONS}, (), faults)
    crew = _crew(tables, faults)
    instruments = _each(tables, "instrument", instrument_value, faults)
    marks = _each(tables, "mark", lambda i, t, f: build(Mark, t, ("mark", i), f, id=i), faults)
    parts: tuple[AnyPart, ...] = _each(tables, "part", part_value, faults)
    spots = _each(tables, "spot", lambda i, t, f: build(Spot, t, ("spot", i), f, id=i), faults)
    kinds = _each(tables, "kind", kind_value, faults)
    skeleton = Page.model_construct(
        head=head,  # type: ignore[arg-type]  # the skeleton's is never looked at
        crew=crew,
        instruments=instruments,
        marks=marks,
        parts=(*parts, *_refused_parts(tables, parts)),
        spots=spots,
        record=(),
        remarks=(),
        kinds=kinds,
    )
    if _too_many_settings(skeleton, faults):
        return PageRead(None, faults.in_order(), index)
    record, remarks = _record(_section(tables, "record", faults), skeleton, faults)
    if faults.grave or head is None:
        return PageRead(None, faults.in_order(), index)
    page = Page(
        head=head,
        crew=crew,
        instruments=instruments,
        marks=marks,
        parts=parts,
        spots=spots,
        record=record,
        remarks=remarks,
        kinds=kinds,
    )
    for flag in page_flags(page):
        path = _path(flag.key or "")
        told = replace(flag, key=key_text(*path))
        faults.found.append(told.at(path=file, line=index.line_of(path)))
    return PageRead(page, faults.in_order(), index)


def _path(key: str) -> Path:
    """Return a flag's key as a path; a crew member's name may have dots of its own."""
    section, _, rest = key.partition(".")
    return (section, rest) if section == "notes" else tuple(key.split("."))


def _right_format(tables: Mapping[str, Any], faults: Faults) -> bool:
    number = tables.get("format")
    if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
        faults.add(
            "newer-format",
            ("format",),
            f"the page is of format {min(number, 999_999)}; this Clampbook reads up to {FORMAT}",
            why="a newer Clampbook wrote it",
            right="open it with a Clampbook at least as new; the file is left as it is",
        )
        return False
    if number is None:
        faults.add(
            "wrong-value",
            ("format",),
            "it is missing",
            right="format = 1",
            why="without it this is no page of Clampbook's",
        )
    return True


def _too_many_settings(skeleton: Page, faults: Faults) -> bool:
    """Refuse what would take for ever to list: a kind of 10,000 joints on 10,000 parts."""
    joints = {kind.id: len(kind.joints) for kind in skeleton.kinds}
    settings = sum(joints.get(part.kind or "", 0) for part in skeleton.parts)
    if settings <= MOST_SETTINGS:
        return False
    faults.add(
        "too-many-settings",
        ("part",),
        f"its parts and their kinds have {settings} settings",
        why=f"a page has room for {MOST_SETTINGS} at most",
        right="a large rig has about 1000",
    )
    return True


def _section(tables: Mapping[str, Any], name: str, faults: Faults) -> Mapping[str, Any]:
    table = tables.get(name, {})
    if isinstance(table, dict):
        return table
    faults.add(
        "wrong-value",
        (name,),
        "a table is needed",
        why=f"the file has {shown(table)}",
        right=f"[{name}]",
    )
    return {}


def _each(tables: Mapping[str, Any], name: str, make: Maker[T], faults: Faults) -> tuple[T, ...]:
    made = [make(key, table, faults) for key, table in _section(tables, name, faults).items()]
    return tuple(value for value in made if value is not None)


def _refused_parts(tables: Mapping[str, Any], parts: tuple[AnyPart, ...]) -> Iterator[AnyPart]:
    """Stand in for the parts that are refused, so that their record is looked through as well."""
    made = {part.id for part in parts}
    section = tables.get("part")
    for part, table in section.items() if isinstance(section, dict) else ():
        kind = table.get("kind") if isinstance(table, dict) else None
        if part not in made and isinstance(kind, str):
            yield Mount.model_construct(id=part, name=part, kind=kind)


def _crew(tables: Mapping[str, Any], faults: Faults) -> tuple[tuple[str, str], ...]:
    notes = []
    for crew, note in _section(tables, "notes", faults).items():
        if isinstance(note, str) and len(note) <= LONGEST_TEXT:
            notes.append((crew, note))
            continue
        is_text = isinstance(note, str)
        faults.add(
            "wrong-value",
            ("notes", crew),
            f"it is longer than {LONGEST_TEXT} characters"
            if is_text
            else "a text in quotes is needed",
            why=f"the file has {shown(note)}",
            right='AK = "Rug moved."',
        )
    return tuple(notes)


def _record(
    table: Mapping[str, Any], skeleton: Page, faults: Faults
) -> tuple[tuple[tuple[str, Setting], ...], tuple[tuple[str, Remarks], ...]]:
    found: dict[str, Setting] = {}
    remarks: dict[str, Remarks] = {}
    for owner, entries in table.items():
        if not isinstance(entries, dict):
            faults.add(
                "wrong-value",
                ("record", owner),
                "a setting is written part.setting",
                why=f"the file has {shown(entries)}",
                right=f"clamp-l.height = {SETTING}",
            )
            continue
        if "note" in entries or "photos" in entries:
            remarks[owner] = _remarks(owner, entries, faults)
        found.update(_owner_settings(owner, entries, skeleton, faults))
    is_grave = faults.grave
    for key, declared in skeleton.declared.items():
        if key not in found and not is_grave:
            faults.add(
                "no-line",
                ("record", *key.split(".")),
                "the record has no line for it",
                why="it is taken as open",
                right=f"{key} = {{ open = true }}",
                grave=False,
                line=faults.index.line_of(("record", declared.owner)) if faults.index else None,
            )
    record = [(key, found.pop(key, OPEN)) for key in skeleton.declared]
    # A part and a spot may bear one id: that is flagged, and the remarks are both's.
    owners = dict.fromkeys([*(p.id for p in skeleton.parts), *(s.id for s in skeleton.spots)])
    ordered = [(owner, remarks.pop(owner, Remarks())) for owner in owners]
    return (*record, *sorted(found.items(), key=itemgetter(0))), (
        *ordered,
        *sorted(remarks.items(), key=itemgetter(0)),
    )


def _owner_settings(
    owner: str, entries: Mapping[str, Any], skeleton: Page, faults: Faults
) -> dict[str, Setting]:
    flat: dict[tuple[str, ...], object] = {
        (owner, n): v for n, v in entries.items() if n not in ("note", "photos", "dial")
    }
    dials = entries.get("dial", {})
    if isinstance(dials, dict):
        flat.update({(owner, "dial", name): value for name, value in dials.items()})
    else:
        faults.add(
            "wrong-value",
            ("record", owner, "dial"),
            "a dial is written part.dial.name",
            right='kick.dial.beater_angle = { read = "third notch" }',
        )
    made: dict[str, Setting] = {}
    for path, value in flat.items():
        if any("." in name for name in path):
            faults.add(
                "wrong-id",
                ("record", *path),
                "a name in the record has no dot of its own",
                why="a dot stands between a part and its setting",
                right=f"clamp-l.height = {SETTING}",
            )
            continue
        declared = skeleton.declared.get(".".join(path))
        setting = setting_value(
            ("record", *path), value, declared.quantity if declared else None, faults
        )
        if setting is not None:
            made[".".join(path)] = setting
    return made


def _remarks(owner: str, entries: Mapping[str, Any], faults: Faults) -> Remarks:
    table = {k: v for k, v in entries.items() if k in ("note", "photos")}
    return build(Remarks, table, ("record", owner), faults) or Remarks()
