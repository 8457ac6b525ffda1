"""A step taken back, or made again, on a page that someone else changed elsewhere since."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.page import Page


def between(page: Page, now: Page, then: Page, what: str) -> Changes | Refusal:
    """Return the changes that lead from ``now`` to ``then``, to be made on ``page``.

    ``page`` is ``now`` as someone else left it: where they changed the same part, spot, mark, kind
    or setting, it is refused.
    """
    touched = Changes(
        what,
        parts=_new(now.by_id, then.by_id),
        gone=frozenset(now.by_id.keys() - then.by_id.keys()),
        spots=_new(now.by_spot, then.by_spot),
        gone_spots=frozenset(now.by_spot.keys() - then.by_spot.keys()),
        marks=_new({m.id: m for m in now.marks}, {m.id: m for m in then.marks}),
        kinds=_new(now.by_kind, then.by_kind),
        settings={key: held for key, held in then.record if now.settings.get(key) != held},
        remarks={owner: held for owner, held in then.remarks if now.notes_on.get(owner) != held},
        order=tuple(then.by_id) if _is_reordered(page, now, then) else (),
    )
    theirs = changed_by_another(page, now, touched)
    if theirs:
        return Refusal(f"someone else changed {theirs} since", "take it back by hand")
    return touched


def changed_by_another(page: Page, before: Page, changes: Changes) -> str:
    """Return what someone else changed of all that a step changes; nothing where they did not."""
    for part_id in (*(part.id for part in changes.parts), *changes.gone):
        if page.by_id.get(part_id) != before.by_id.get(part_id):
            return _name(page, before, part_id)
    for spot_id in (*(spot.id for spot in changes.spots), *changes.gone_spots):
        if page.by_spot.get(spot_id) != before.by_spot.get(spot_id):
            return spot_id
    for kind in changes.kinds:
        if kind.id in before.by_kind and page.by_kind.get(kind.id) != before.by_kind[kind.id]:
            return f"the kind {kind.name}"
    owners = {*changes.gone, *changes.gone_spots}
    keys = [key for key, _ in before.record if key.split(".")[0] in owners]
    for key in (*changes.settings, *keys):
        if key in before.settings and page.settings.get(key) != before.settings[key]:
            return key
    for owner in (*changes.remarks, *owners):
        if page.notes_on.get(owner) != before.notes_on.get(owner):
            return f"the note on {_name(page, before, owner)}"
    return ""


def _new(now: Mapping[str, Any], then: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(value for id_, value in then.items() if now.get(id_) != value)


def _name(page: Page, before: Page, part_id: str) -> str:
    part = page.by_id.get(part_id) or before.by_id.get(part_id)
    return part.name if part else part_id


def _is_reordered(page: Page, now: Page, then: Page) -> bool:
    same = page.by_id.keys() == now.by_id.keys() == then.by_id.keys()
    return same and tuple(now.by_id) != tuple(then.by_id)
