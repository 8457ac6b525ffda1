"""Whether a part is the same hardware, hung the same way, on two pages: what its numbers mean."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.rig.declared import AnyPart
from model.rig.floor_point import mark_points
from model.rig.kind import Kind
from model.rig.page import Page

HUNG = ("type", "kind", "on", "at", "rail", "edge", "measured_from", "marks", "marks_side", "side")
"""What a number of the record is measured between."""

SIZES = (
    "tube",
    "inner_tube",
    "rod",
    "length",
    "inner_length",
    "square",
    "curve",
    "shell",
    "disc",
    "slab",
    "offset",
)
"""What else decides where the same numbers put it."""

_NOT_TOLD = {"id", "extra", "offset_u", "dials"}


@dataclass(frozen=True, slots=True)
class Unlike:
    """One field of a part that is not the same on two pages; the values as the pages have them."""

    part: str
    field: str
    one: object
    other: object


def hung_otherwise(one: Page, other: Page, part_id: str) -> Iterator[Unlike]:
    """Yield what makes a part's readings mean something else: what it hangs on, how, its kind."""
    a, b = one.by_id[part_id], other.by_id[part_id]
    yield from _fields(a, b, HUNG)
    dials = [{dial.id: dial.unit for dial in part.dials} for part in (a, b)]
    if dials[0] != dials[1]:
        yield Unlike(part_id, "dials", dials[0], dials[1])
    kinds = [page.by_kind.get(part.kind or "") for page, part in ((one, a), (other, b))]
    if a.kind == b.kind and _meaning(kinds[0]) != _meaning(kinds[1]):
        yield Unlike(
            part_id, "kind", f"{a.kind} as one page has it", f"{b.kind} as the other has it"
        )
    points = mark_points(one), mark_points(other)
    for mark in a.marks or ():
        places = [known.get(mark) for known in points]
        if places[0] != places[1]:
            yield Unlike(part_id, f"mark {mark}", places[0], places[1])


def sized_otherwise(one: Page, other: Page, part_id: str) -> Iterator[Unlike]:
    """Yield the sizes of a part that are not the same."""
    yield from _fields(one.by_id[part_id], other.by_id[part_id], SIZES)


def told_otherwise(one: Page, other: Page, part_id: str) -> Iterator[Unlike]:
    """Yield what else is written about a part and is not the same: name, serial, colour, weight."""
    a, b = one.by_id[part_id], other.by_id[part_id]
    names = [n for n in type(a).model_fields if n not in {*HUNG, *SIZES, *_NOT_TOLD}]
    yield from _fields(a, b, names)


def _fields(a: AnyPart, b: AnyPart, names: tuple[str, ...] | list[str]) -> Iterator[Unlike]:
    for name in names:
        held = getattr(a, name, None), getattr(b, name, None)
        if held[0] != held[1]:
            yield Unlike(a.id, name, held[0], held[1])


def _meaning(kind: Kind | None) -> object:
    """Return a kind without what changes no place: names, limits, how it is loosened."""
    if kind is None:
        return None
    plain = {"limit": None, "limit_guess": False, "loosen": "", "usually": None, "extra": ()}
    joints = tuple(joint.model_copy(update=plain) for joint in kind.joints)
    outlets = tuple(outlet.model_copy(update={"extra": ()}) for outlet in kind.outlets)
    return (joints, outlets, kind.body, kind.inner_after, kind.stem)
