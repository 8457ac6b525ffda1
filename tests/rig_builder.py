"""A page put together part by part, for tests of places: parts, values, and the kinds they use."""

from __future__ import annotations

from datetime import UTC, date, datetime

from model.book.generic import generic_kinds
from model.readings.instruments import GENERIC_INSTRUMENTS, Instrument
from model.rig.declared import AnyPart, declared_settings
from model.rig.kind import Kind
from model.rig.page import Head, Mark, Page
from model.rig.setting import OPEN, Setting

HEAD = Head(
    rig="Rig of a test",
    date=date(2025, 3, 14),
    began=datetime(2025, 3, 14, 17, 0, tzinfo=UTC),
    moment="soundcheck",
)


class RigBuilder:
    """A rig that grows; ``page`` gives it as it is by now."""

    def __init__(self, kinds: tuple[Kind, ...] = (), marks: tuple[Mark, ...] = ()) -> None:
        self.kinds = {**generic_kinds(), **{kind.id: kind for kind in kinds}}
        self.marks = marks
        self.instruments: tuple[Instrument, ...] = GENERIC_INSTRUMENTS
        self.parts: dict[str, AnyPart] = {}
        self.settings: dict[str, Setting] = {}

    def put(self, part: AnyPart, **values: float | Setting) -> str:
        """Add a part with its settings: a number is a reading from the joint. Return its id."""
        self.parts[part.id] = part
        for name, value in values.items():
            setting = value if isinstance(value, Setting) else read(value)
            self.settings[f"{part.id}.{name}"] = setting
        return part.id

    def kind(self, part_id: str) -> Kind:
        """Return the kind of a part that has one."""
        kind = self.parts[part_id].kind
        assert kind is not None
        return self.kinds[kind]

    def page(self, *, unfinished: bool = False) -> Page:
        """Return the page, its record in declared order, what was not given open.

        One that is ``unfinished`` has only what was given, in the order in which it came.
        """
        parts = tuple(self.parts.values())
        used = {part.kind for part in parts}
        kinds = {name: kind for name, kind in self.kinds.items() if name in used}
        if unfinished:
            return Page(
                head=HEAD,
                instruments=self.instruments,
                marks=self.marks,
                parts=parts,
                record=tuple(self.settings.items()),
                kinds=tuple(kinds.values()),
            )
        keys = [declared.key for declared in declared_settings(parts, kinds)]
        assert set(self.settings) <= set(keys), set(self.settings) - set(keys)
        return Page(
            head=HEAD,
            instruments=self.instruments,
            marks=self.marks,
            parts=parts,
            record=tuple((key, self.settings.get(key, OPEN)) for key in keys),
            kinds=tuple(kinds.values()),
        )


def read(value: float) -> Setting:
    """Return a setting read tonight; what it was read from is the joint itself."""
    return Setting(state="read", value=value)
