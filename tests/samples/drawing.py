"""A rig's drawing: its TOML file read into parts, kinds, and where everything belongs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import tomli

from model.book.faults import Faults
from model.book.generic import generic_kinds
from model.book.into_values import build, kind_value, part_value
from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal, Value
from model.rig.declared import AnyPart, Declared, declared_settings
from model.rig.kind import Kind
from model.rig.page import Mark, Spot

HERE = Path(__file__).parent
Span = tuple[str, str, str, float]


@dataclass(frozen=True, slots=True)
class Drawing:
    """What is drawn before the first night: ``true`` is in mm, degrees, teeth and words.

    ``spans`` say which post a bar leads to, and its bearing; ``loops`` are bars whose second grip
    follows from their posts.
    """

    book: Mapping[str, Any]
    tolerances: Mapping[str, Any]
    own_kinds: Mapping[str, Kind]
    kinds: Mapping[str, Kind]
    marks: tuple[Mark, ...]
    parts: tuple[AnyPart, ...]
    later: tuple[AnyPart, ...]
    spots: tuple[Spot, ...]
    true: Mapping[str, Value]
    spans: tuple[Span, ...]
    loops: tuple[str, ...]

    @property
    def unit(self) -> LengthUnit:
        """What the technician's tape is read in."""
        return "in" if self.book["unit"] == "in" else "mm"

    def declared(self, parts: tuple[AnyPart, ...]) -> dict[str, Declared]:
        """Everything that can be recorded of these parts."""
        spots = [(spot.id, spot.name, spot.setting) for spot in self.spots]
        return {d.key: d for d in declared_settings(parts, self.kinds, spots)}


@cache
def read_drawing(name: str) -> Drawing:
    """Read a drawing beside this file; parts under ``later`` come to the rig on a later night."""
    tables = tomli.loads((HERE / f"{name}.toml").read_text("utf-8"))
    faults = Faults(name)
    own = {k: kind_value(k, t, faults) for k, t in tables.get("kind", {}).items()}
    parts = [part_value(k, t, faults) for k, t in tables["part"].items()]
    later = [part_value(k, t, faults) for k, t in tables.get("later", {}).items()]
    marks = [build(Mark, t, ("mark", k), faults, id=k) for k, t in tables.get("mark", {}).items()]
    spots = [build(Spot, t, ("spot", k), faults, id=k) for k, t in tables.get("spot", {}).items()]
    assert not faults.found, faults.found
    own_kinds = {k: kind for k, kind in own.items() if kind is not None}
    book = tables["book"]
    drawing = Drawing(
        book=book,
        tolerances=tables.get("tolerance", {}),
        own_kinds=own_kinds,
        kinds={**generic_kinds(), **own_kinds},
        marks=tuple(m for m in marks if m is not None),
        parts=tuple(p for p in parts if p is not None),
        later=tuple(p for p in later if p is not None),
        spots=tuple(s for s in spots if s is not None),
        true=_true(tables["true"], "in" if book["unit"] == "in" else "mm"),
        spans=tuple((a, bar, b, float(bearing)) for a, bar, b, bearing in book.get("spans", [])),
        loops=tuple(book.get("loops", [])),
    )
    _all_drawn(drawing)
    return drawing


def _true(table: Mapping[str, Any], unit: LengthUnit) -> dict[str, Value]:
    """Flatten the settings; a length is text in the technician's unit, words are words."""
    flat: dict[str, Value] = {}
    for owner, settings in table.items():
        for name, value in settings.items():
            if name == "dial":
                flat.update({f"{owner}.dial.{dial}": _value(v, unit) for dial, v in value.items()})
            else:
                flat[f"{owner}.{name}"] = _value(value, unit)
    return flat


def _value(value: Value, unit: LengthUnit) -> Value:
    if not isinstance(value, str):
        return value
    length = parse_length(value, unit)
    return value if isinstance(length, Refusal) else length


def _all_drawn(drawing: Drawing) -> None:
    """Hold the drawing against what its parts declare, so that no setting is mistyped."""
    declared = drawing.declared((*drawing.parts, *drawing.later))
    for key, value in drawing.true.items():
        owner, _, name = key.partition(".")
        if name in ("x", "y") and f"{owner}.from_1" in declared:
            continue
        assert key in declared, f"{key} is drawn, and nothing declares it"
        quantity = declared[key].quantity
        assert (quantity == "word") == isinstance(value, str), f"{key} = {value}"
        assert quantity != "teeth" or isinstance(value, int), f"{key} = {value}"
