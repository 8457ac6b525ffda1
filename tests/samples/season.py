"""A run of nights: true rigs, readings of them, and the pages' texts by file name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from random import Random

from model.book.begin import Begin, page_name
from model.book.edits import ClosedEdit, CrewNoteEdit, RemarksEdit, SettingEdit
from model.book.page_file import PageFile
from model.readings.instruments import GENERIC_INSTRUMENTS
from model.readings.quantity import Value
from model.rig.declared import FLOOR_SETTINGS, AnyPart
from model.rig.page import Head, Page, Remarks
from model.rig.setting import OPEN, seen_at_mark, taken
from tests.samples.drawing import Drawing
from tests.samples.geometry import up_by_gravity
from tests.samples.placing import Placed
from tests.samples.sheets import begun_sheet, checked, edited, first_sheet, starting_state
from tests.samples.technician import Technician, instrument, shown
from tests.samples.truth import solved, with_joint_leans
from tests.samples.walks import Choose


@dataclass(frozen=True, slots=True)
class Visit:
    """One page: when, where, what is done about each setting, what is noted, what is kept open."""

    day: date
    began: datetime
    moment: str
    venue: str
    choose: Choose
    by: str
    second: str = ""
    said: Mapping[str, str] = field(default_factory=dict)
    notes: Mapping[str, Remarks] = field(default_factory=dict)
    remarks: Mapping[str, str] = field(default_factory=dict)
    changes: Callable[[PageFile], PageFile] | None = None
    closed: bool = True

    @property
    def name(self) -> str:
        """The page's name."""
        return page_name(self.day, self.moment)


class Season:
    """The pages of one book, written one after the other."""

    def __init__(self, drawing: Drawing, seed: int) -> None:
        self.drawing = drawing
        self.seed = seed
        self.sheets: dict[str, PageFile] = {}
        self.last: PageFile | None = None

    def rng(self, *what: str) -> Random:
        """A random source of its own for each purpose, so that one change moves nothing else."""
        return Random("/".join((str(self.seed), *what)))

    def write(self, visit: Visit, true: Mapping[str, Value]) -> PageFile:
        """Write one page: begun from the last one, and read off the true rig."""
        sheet = self._begun(visit)
        if visit.changes is not None:
            sheet = visit.changes(sheet)
        sheet = self._walked(sheet, visit, true)
        for crew, note in visit.said.items():
            sheet = edited(sheet, CrewNoteEdit(crew, note))
        for owner, remarks in visit.notes.items():
            sheet = edited(sheet, RemarksEdit(owner, remarks))
        if visit.closed:
            sheet = edited(sheet, ClosedEdit(True))
        self.last = self.sheets[visit.name] = checked(sheet)
        return self.last

    def parts(self) -> tuple[AnyPart, ...]:
        """The rig's parts as they are now."""
        return self.last.page.parts if self.last else self.drawing.parts

    def _begun(self, visit: Visit) -> PageFile:
        crew = tuple(self.drawing.book["crew"])
        kinds = sorted(self.drawing.kinds.values(), key=lambda kind: kind.id)
        used = {part.kind for part in (*self.drawing.parts, *self.drawing.later)}
        kinds = [kind for kind in kinds if kind.id in used]
        if self.last is not None:
            start = Begin(visit.day, visit.began, visit.moment, visit.venue, crew)
            return begun_sheet(visit.name, self.last, start, GENERIC_INSTRUMENTS, kinds)
        drawing = self.drawing
        record = [(declared.key, OPEN) for declared in FLOOR_SETTINGS]
        for part in drawing.parts:
            record += starting_state(part, dict(drawing.kinds), drawing.parts).items()
        record += [(f"{spot.id}.{spot.setting}", OPEN) for spot in drawing.spots]
        page = Page(
            head=Head(
                rig=drawing.book["rig"],
                date=visit.day,
                began=visit.began,
                moment=visit.moment,
                venue=visit.venue,
            ),
            crew=tuple((name, "") for name in crew),
            instruments=GENERIC_INSTRUMENTS,
            marks=drawing.marks,
            parts=drawing.parts,
            spots=drawing.spots,
            record=tuple(record),
            remarks=tuple((owner.id, Remarks()) for owner in (*drawing.parts, *drawing.spots)),
            kinds=tuple(kinds),
        )
        return first_sheet(visit.name, page)

    def _walked(self, sheet: PageFile, visit: Visit, true: Mapping[str, Value]) -> PageFile:
        by_id = sheet.page.by_id
        values = with_joint_leans(by_id, self.drawing.kinds, true)
        page = sheet.page
        placed = Placed(by_id, self.drawing.kinds, values, page.marks, page.spots)
        slopes = [float(values.get(f"floor.slope_{way}", 0.0)) for way in ("ahead", "right")]
        up = up_by_gravity(slopes[0], slopes[1])
        for key, declared in page.declared.items():
            rng = self.rng(visit.name, key)
            what = visit.choose(key, rng)
            by = (visit.second or visit.by) if rng.random() < 0.25 else visit.by
            who = Technician(by, self.drawing.unit, rng)
            before = page.setting(key)
            if what == "seen":
                seen = seen_at_mark(before, visit.name, by)
                if seen is not None:
                    sheet = edited(sheet, SettingEdit(key, seen))
            if what != "read":
                continue
            using = instrument(placed, declared)
            if before.state == "follows" and using != "level":
                continue  # a spin between two posts is not asked for
            value = who.reads(declared, shown(placed, declared, using, up), using)
            note = visit.remarks.get(key)
            after = taken(before, value, using=using, by=by, note=note)
            sheet = edited(sheet, SettingEdit(key, after))
        return sheet


def changed_truth(
    drawing: Drawing,
    true: Mapping[str, Value],
    moved: Mapping[str, float | str],
    parts: tuple[AnyPart, ...],
) -> dict[str, Value]:
    """Return the true settings with some moved by so much (numbers) or set anew (words)."""
    out = dict(true)
    for key, by in moved.items():
        held = out.get(key, 0.0)
        out[key] = by if isinstance(by, str) or isinstance(held, str) else held + by
    return solved(drawing, out, parts)
