"""The page: one complete record of the rig at one moment. It means the same for ever."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from operator import itemgetter
from typing import Annotated, Literal, Self

from pydantic import AwareDatetime, Field, model_validator

from model.frozen import Extra, Frozen, Id, Number, Unfit, Words
from model.readings.instruments import Instrument
from model.rig.declared import Declared, declared_settings
from model.rig.kind import Kind
from model.rig.part import Bar, Mount, Part, Piece, Place, Post
from model.rig.setting import OPEN, Setting

FORMAT = 1


class Mark(Frozen):
    """A named point on the rug, in mm to the right of the zero mark and ahead of it."""

    id: Id
    name: Words = ""
    x: Number
    y: Number
    extra: Extra = ()


class Spot(Frozen):
    """A direct check measure: a gap between two pieces, or the height of a piece's edge."""

    id: Id
    name: Words
    gap: tuple[Place, Place] | None = None
    height: tuple[Place, Literal["near", "far", "centre", "bell"]] | None = None
    extra: Extra = ()

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        if (self.gap is None) == (self.height is None):
            raise Unfit(
                "a spot is a gap between two pieces or the height of one",
                'gap = ["ride", "splash"]',
            )
        return self

    @property
    def setting(self) -> str:
        """The name of its one setting."""
        return "gap" if self.gap is not None else "height"


class Remarks(Frozen):
    """What was written down about one part on this page, and the names of its photos."""

    note: Words = ""
    photos: tuple[Words, ...] = ()


class Head(Frozen):
    """What a list of pages shows. ``date`` is the show's date, past midnight too.

    ``reason`` is why a page was made that no night wrote: a new home, made from an old one.
    """

    format: Annotated[int, Field(ge=1, le=FORMAT)] = FORMAT
    rig: Words
    date: date
    began: AwareDatetime
    moment: Words
    venue: Words = ""
    begun_from: Words = ""
    closed: bool = False
    reason: Words = ""
    extra: Extra = ()


class Page(Frozen):
    """The whole record: head, crew's notes, instruments, parts, spots, settings, kinds.

    ``record`` holds (key, setting) in declared order, then by key what nothing declares;
    ``remarks`` (part or spot id, remarks) in their order, then by id what is neither.
    """

    head: Head
    crew: tuple[tuple[str, Words], ...] = ()
    instruments: tuple[Instrument, ...] = ()
    marks: tuple[Mark, ...] = ()
    parts: tuple[Part, ...] = ()
    spots: tuple[Spot, ...] = ()
    record: tuple[tuple[str, Setting], ...] = ()
    remarks: tuple[tuple[str, Remarks], ...] = ()
    kinds: tuple[Kind, ...] = ()

    @cached_property
    def by_id(self) -> dict[str, Post | Bar | Mount | Piece]:
        """The parts by id."""
        return {part.id: part for part in self.parts}

    @cached_property
    def by_spot(self) -> dict[str, Spot]:
        """The spots by id."""
        return {spot.id: spot for spot in self.spots}

    @cached_property
    def by_kind(self) -> dict[str, Kind]:
        """The kinds by id."""
        return {kind.id: kind for kind in self.kinds}

    @cached_property
    def by_instrument(self) -> dict[str, Instrument]:
        """The instruments by id."""
        return {instrument.id: instrument for instrument in self.instruments}

    @cached_property
    def settings(self) -> dict[str, Setting]:
        """The record by key, ``part.setting``."""
        return dict(self.record)

    @cached_property
    def notes_on(self) -> dict[str, Remarks]:
        """The remarks by part or spot id."""
        return dict(self.remarks)

    @cached_property
    def declared(self) -> dict[str, Declared]:
        """Everything that can be recorded, by key, in declared order."""
        spots = tuple((spot.id, spot.name, spot.setting) for spot in self.spots)
        return {d.key: d for d in declared_settings(self.parts, self.by_kind, spots)}

    def setting(self, key: str) -> Setting:
        """Return the setting at ``key``; one that the record lacks is open."""
        return self.settings.get(key, OPEN)

    def with_setting(self, key: str, setting: Setting) -> Page:
        """Return the page with the setting at ``key`` replaced or added.

        The result equals one validated from its own dump: both values are validated already.
        """
        return self.with_settings({key: setting})

    def with_settings(self, settings: Mapping[str, Setting]) -> Page:
        """Return the page with several settings replaced or added."""
        if settings.keys() <= self.settings.keys():
            return self._copied(record=tuple((k, settings.get(k, s)) for k, s in self.record))
        record = {**self.settings, **settings}
        known = {key: record.pop(key) for key in self.declared if key in record}
        return self._copied(record=(*known.items(), *sorted(record.items(), key=itemgetter(0))))

    def with_remarks(self, owner: str, remarks: Remarks) -> Page:
        """Return the page with the remarks on a part or spot replaced or added."""
        if owner not in self.notes_on:
            held = {**self.notes_on, owner: remarks}
            known = {o: held.pop(o) for o in (*self.by_id, *self.by_spot) if o in held}
            return self._copied(remarks=(*known.items(), *sorted(held.items(), key=itemgetter(0))))
        return self._copied(
            remarks=tuple((o, remarks if o == owner else r) for o, r in self.remarks)
        )

    def with_crew_note(self, crew: str, note: str) -> Page:
        """Return the page with one crew member's note about the page replaced or added."""
        if all(name != crew for name, _ in self.crew):
            return self._copied(crew=(*self.crew, (crew, note)))
        return self._copied(crew=tuple((c, note if c == crew else n) for c, n in self.crew))

    def with_closed(self, closed: bool) -> Page:
        """Return the page closed for the show, or opened again."""
        head = Head.model_validate({**dict(self.head), "closed": closed})
        return self._copied(head=head)

    def _copied(self, **changes: object) -> Page:
        """Return a copy with fields replaced that are no part of the structure.

        What was worked out from the structure alone is kept, so that a reading costs no more on a
        large rig than on a small one.
        """
        fields = {name: getattr(self, name) for name in Page.model_fields}
        copy = Page.model_construct(**{**fields, **changes})
        copy.__dict__.update({k: v for k, v in self.__dict__.items() if k in _OF_STRUCTURE})
        return copy


_OF_STRUCTURE = frozenset({"by_id", "by_spot", "by_kind", "by_instrument", "declared"})
