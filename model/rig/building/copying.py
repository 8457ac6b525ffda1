"""Copying parts with all that hangs on them alone: an arm, a post with its bars, a whole side."""

from __future__ import annotations

from collections.abc import Mapping

from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.hanging import free_outlet, missing
from model.rig.building.naming import Pair, free_name, names_of, new_id, random_pair
from model.rig.building.steps import hung_part
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG, Bar, Piece


def copied(
    page: Page,
    part_ids: tuple[str, ...],
    on: tuple[str, ...] | None = None,
    pair: Pair = random_pair,
) -> Changes | Refusal:
    """Copy parts and all that hangs on them alone: a whole side with its posts.

    A bar that is also held by something else is not copied, nor what hangs on it. The copies have
    names with a number and ids of their own, no role, no serial and no readings: those are of the
    hardware that was measured. They hang as the first ones do, or a single one ``on`` another part.
    """
    if refused := missing(page, *part_ids):
        return refused
    part_ids = tuple(dict.fromkeys(part_ids))
    ids = _wholly_on(page, part_ids)
    mapping: dict[str, str] = {}
    called: dict[str, str] = {}
    for id_ in ids:
        called[id_] = free_name(page.by_id[id_].name, {*names_of(page), *called.values()})
        taken = {FLOOR, NOT_HUNG, *page.by_id, *page.by_spot, *mapping.values()}
        mapping[id_] = new_id(called[id_], taken, pair)
    copies = [_copy(page.by_id[id_], mapping, called[id_]) for id_ in ids]
    if on is None and copies[0].on[0] in page.by_id:
        copy = copies[0]
        free = free_outlet(page, copy.on[0], holds_bar=isinstance(copy, Bar))
        copies[0] = copy.model_copy(update={"at": free or copy.at})
    if on is not None:
        if len(part_ids) > 1:
            return Refusal("several parts are copied where they hang", "one part to hang elsewhere")
        first = hung_part(page, copies[0], on, None)
        if isinstance(first, Refusal):
            return first
        copies[0] = first
    firsts = ", ".join(copies[ids.index(id_)].name for id_ in part_ids)
    more = f" and {len(ids) - len(part_ids)} on it" if len(ids) > len(part_ids) else ""
    return Changes(f"copied: {firsts}{more}", copies[0].id, parts=tuple(copies))


def _copy(part: AnyPart, mapping: Mapping[str, str], name: str) -> AnyPart:
    fields: dict[str, object] = {
        "id": mapping[part.id],
        "name": name,
        "serial": None,
        "on": tuple(mapping.get(held, held) for held in part.on),
        "measured_from": mapping.get(part.measured_from or "", part.measured_from),
    }
    if isinstance(part, Piece):
        fields["role"] = None
    return part.model_copy(update=fields)


def _wholly_on(page: Page, part_ids: tuple[str, ...]) -> tuple[str, ...]:
    """Return parts and what hangs on them and on nothing else, carriers before what they carry."""
    found = list(part_ids)
    grown = True
    while grown:
        more = [p.id for p in page.parts if p.id not in found and set(p.on) <= set(found)]
        grown = bool(more)
        found += more
    return tuple(found)
