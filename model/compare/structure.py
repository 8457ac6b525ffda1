"""Differences of structure: parts and spots that came, went, were hung elsewhere or changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from model.frozen import Frozen
from model.rig.kind import Kind
from model.rig.page import Page

Change = Literal["added", "removed", "hung elsewhere", "renamed", "changed"]
_HANGING = ("on", "at", "rail")
_NOT_TOLD = frozenset({"id", "type", "extra"})


@dataclass(frozen=True, slots=True)
class StructureDifference:
    """One difference of structure; ``before`` and ``after`` are words for a person."""

    change: Change
    sort: str
    id: str
    name: str
    field: str = ""
    before: str = ""
    after: str = ""


def structure_differences(before: Page, after: Page) -> Iterator[StructureDifference]:
    """Yield the differences of parts, then spots, marks and kinds, by id.

    A part is the same one if its id is: the name is free. Removed ones come last of their sort.
    """
    yield from _of_sort("part", before.by_id, after.by_id, before, after)
    yield from _of_sort("spot", before.by_spot, after.by_spot, before, after)
    marks = [{mark.id: mark for mark in page.marks} for page in (before, after)]
    yield from _of_sort("mark", marks[0], marks[1], before, after)
    yield from _kinds(before, after)


def _of_sort(
    sort: str,
    old: Mapping[str, Frozen],
    new: Mapping[str, Frozen],
    before: Page,
    after: Page,
) -> Iterator[StructureDifference]:
    for id_, value in new.items():
        if id_ not in old:
            yield StructureDifference("added", sort, id_, _name(value), after=_hung(value, after))
        elif old[id_] != value:
            yield from _changed(sort, id_, old[id_], value, before, after)
    for id_, value in old.items():
        if id_ not in new:
            yield StructureDifference(
                "removed", sort, id_, _name(value), before=_hung(value, before)
            )


def _changed(
    sort: str, id_: str, old: Frozen, new: Frozen, before: Page, after: Page
) -> Iterator[StructureDifference]:
    if type(old) is not type(new):
        words = [type(value).__name__.lower() for value in (old, new)]
        yield StructureDifference("changed", sort, id_, _name(new), "type", words[0], words[1])
        return
    hung = [tuple(getattr(value, name, None) for name in _HANGING) for value in (old, new)]
    if hung[0] != hung[1]:
        yield StructureDifference(
            "hung elsewhere", sort, id_, _name(new), "on", _hung(old, before), _hung(new, after)
        )
    for name in type(new).model_fields:
        a, b = getattr(old, name), getattr(new, name)
        if a == b or name in _NOT_TOLD or name in _HANGING:
            continue
        change: Change = "renamed" if name == "name" else "changed"
        yield StructureDifference(change, sort, id_, _name(new), name, words_for(a), words_for(b))
    extras = [dict(getattr(value, "extra", ())) for value in (old, new)]
    for key in dict.fromkeys([*extras[0], *extras[1]]):
        if extras[0].get(key) != extras[1].get(key):
            yield StructureDifference(
                "changed",
                sort,
                id_,
                _name(new),
                key,
                extras[0].get(key, ""),
                extras[1].get(key, ""),
            )


def _kinds(before: Page, after: Page) -> Iterator[StructureDifference]:
    """Yield kinds that changed while in use; a kind that came unused changes nothing."""
    used = {part.kind for page in (before, after) for part in page.parts}
    for id_, kind in after.by_kind.items():
        old = before.by_kind.get(id_)
        if old is not None and old != kind and id_ in used:
            yield StructureDifference(
                "changed",
                "kind",
                id_,
                kind.name,
                _first_change(old, kind),
            )


def _first_change(old: Kind, new: Kind) -> str:
    names = [name for name in Kind.model_fields if getattr(old, name) != getattr(new, name)]
    return ", ".join(names)


def _name(value: Frozen) -> str:
    return str(getattr(value, "name", "")) or str(getattr(value, "id", ""))


def _hung(value: Frozen, page: Page) -> str:
    on = getattr(value, "on", ())
    names = [page.by_id[part].name if part in page.by_id else part for part in on]
    at = getattr(value, "at", None)
    rail = getattr(value, "rail", None)
    words = " and ".join(names)
    return f"{words}, {at or rail}" if at or rail else words


def words_for(value: object) -> str:
    """Return a field's value in a few plain words: for a list of changes."""
    if value is None or value == ():
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Frozen):
        told = {
            name: held
            for name in type(value).model_fields
            if (held := getattr(value, name)) not in (None, (), "") and name != "extra"
        }
        return ", ".join(f"{name} {words_for(held)}" for name, held in told.items())
    if isinstance(value, tuple):
        return ", ".join(words_for(item) for item in value)
    return f"{value:g}" if isinstance(value, float) else str(value)
