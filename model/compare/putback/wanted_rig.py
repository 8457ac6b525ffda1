"""Tonight's rig with home's structure: what a put-back leads to."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from model.readings.instruments import Instrument
from model.rig.declared import AnyPart
from model.rig.kind import Kind
from model.rig.page import Mark, Page

T = TypeVar("T", Kind, Mark, Instrument)


def hangs_alike(one: AnyPart, other: AnyPart) -> bool:
    """Tell whether a part hangs in the same place by the same kind of hardware."""
    return (one.type, one.on, one.at, one.rail, one.kind) == (
        other.type,
        other.on,
        other.at,
        other.rail,
        other.kind,
    )


def wanted_rig(now: Page, wanted: Page) -> Page:
    """Return tonight's page with home's structure and what was added tonight."""
    parts = [_named_tonight(part, now.by_id.get(part.id)) for part in wanted.parts]
    parts += [part for part in now.parts if part.id not in wanted.by_id]
    fields = {name: getattr(now, name) for name in Page.model_fields}
    return Page.model_construct(
        **{
            **fields,
            "parts": tuple(parts),
            "kinds": _both(now.kinds, wanted.kinds),
            "marks": _both(wanted.marks, now.marks),
            "instruments": _both(wanted.instruments, now.instruments),
            "spots": (),
        }
    )


def _both(first: Iterable[T], then: Iterable[T]) -> tuple[T, ...]:
    """Return the values of both by id; the later ones count where an id is there twice."""
    held = {value.id: value for value in first}
    held |= {value.id: value for value in then}
    return tuple(held.values())


def _named_tonight(part: AnyPart, here: AnyPart | None) -> AnyPart:
    """Return home's part with what is written on tonight's: its name, marks and care."""
    if here is None:
        return part
    words = {name: getattr(here, name) for name in ("name", "mark", "colour", "care", "serial")}
    return type(part).model_construct(**{**dict(part), **words})
