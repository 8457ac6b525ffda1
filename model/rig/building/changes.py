"""What a step of building changes on a page; the text is made to agree elsewhere."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from operator import itemgetter
from typing import TypeVar

from model.rig.declared import AnyPart, Declared
from model.rig.kind import Kind
from model.rig.page import Mark, Page, Remarks, Spot
from model.rig.part import Bar
from model.rig.setting import FOLLOWS, OPEN, Setting

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Changes:
    """Parts, spots, marks and kinds that are new or take another's place, what goes, settings set.

    ``order`` is the parts' new hand order, where a step changes it. ``what`` tells the step, and
    ``at`` is the part to look at after it.
    """

    what: str
    at: str = ""
    parts: tuple[AnyPart, ...] = ()
    gone: frozenset[str] = frozenset()
    spots: tuple[Spot, ...] = ()
    gone_spots: frozenset[str] = frozenset()
    marks: tuple[Mark, ...] = ()
    kinds: tuple[Kind, ...] = ()
    settings: Mapping[str, Setting] = field(default_factory=dict)
    remarks: Mapping[str, Remarks] = field(default_factory=dict)
    order: tuple[str, ...] = ()


def with_changes(page: Page, changes: Changes) -> Page:
    """Return the page after a step: what its text must read as.

    Every setting that is declared has a line: one that is new is open, or follows where its joint
    does or where both grips of a bar fix it. Lines and remarks of what is gone go with it.
    """
    parts = _replaced(page.by_id, {part.id: part for part in changes.parts}, changes.gone)
    if changes.order:
        parts = {id_: parts[id_] for id_ in changes.order}
    spots = _replaced(page.by_spot, {s.id: s for s in changes.spots}, changes.gone_spots)
    kinds = {**page.by_kind, **{kind.id: kind for kind in changes.kinds}}
    gone = {*changes.gone, *changes.gone_spots}
    after = Page(
        head=page.head,
        crew=page.crew,
        instruments=page.instruments,
        marks=tuple({**{m.id: m for m in page.marks}, **{m.id: m for m in changes.marks}}.values()),
        parts=tuple(parts.values()),
        spots=tuple(spots.values()),
        remarks=_remarks(page, (*parts, *spots), gone, changes.remarks),
        kinds=tuple(kinds[id_] for id_ in sorted(kinds)),
    )
    return page_with(after, record=tuple(_record(page, after, changes, gone)))


def page_with(page: Page, **fields: object) -> Page:
    """Return the page with some fields changed, and nothing of what the other one has cached."""
    held = {name: getattr(page, name) for name in Page.model_fields}
    return Page.model_construct(**{**held, **fields})


def _remarks(
    page: Page, owners: Iterable[str], gone: set[str], changed: Mapping[str, Remarks]
) -> tuple[tuple[str, Remarks], ...]:
    """Return the remarks: an empty one for each part and spot, so that it has a line to merge."""
    held = {owner: remarks for owner, remarks in page.remarks if owner not in gone}
    held |= changed
    known = {owner: held.pop(owner, Remarks()) for owner in owners}
    return (*known.items(), *sorted(held.items(), key=itemgetter(0)))


def _record(page: Page, after: Page, changes: Changes, gone: set[str]) -> list[tuple[str, Setting]]:
    held = {**page.settings, **changes.settings}
    before, now = gripped_spins(page), gripped_spins(after)
    record = []
    for key, declared in after.declared.items():
        known = held.pop(key, None)
        if key not in changes.settings and not _same_measure(page.declared.get(key), declared):
            known = None  # nobody has read an angle as a tooth
        setting = known if known is not None else _first(after, declared)
        if key in now - before:
            setting = _following(setting)
        elif key in before - now:
            setting = _its_own(setting)
        record.append((key, setting))
    # What nothing declared before stays a stray line; what was declared, and is not, goes.
    stray = {key: s for key, s in held.items() if key.split(".", 1)[0] not in gone}
    stray = {key: s for key, s in stray.items() if key not in page.declared}
    return [*record, *sorted(stray.items())]


def _same_measure(before: Declared | None, now: Declared) -> bool:
    if before is None:
        return True
    return (before.quantity, before.tooth_deg, before.unit_name) == (
        now.quantity,
        now.tooth_deg,
        now.unit_name,
    )


def readings_lost(page: Page, changes: Changes) -> tuple[str, ...]:
    """Return the settings with a value that a step leaves without one, but for what it takes off.

    Another kind has other joints, or measures one otherwise; a bar fixes its clamps' spins.
    """
    after = with_changes(page, changes)
    return tuple(
        f"{page.by_id[declared.owner].name} {declared.label}"
        for key, declared in page.declared.items()
        if declared.owner in after.by_id
        and page.setting(key).value is not None
        and (key not in after.declared or after.setting(key).value is None)
    )


def telling_losses(page: Page, changes: Changes) -> Changes:
    """Return the step with what it says of the readings that go with it."""
    lost = readings_lost(page, changes)
    if not lost:
        return changes
    more = f" and {len(lost) - 4} more" if len(lost) > 4 else ""
    return replace(changes, what=f"{changes.what}; gone: {', '.join(lost[:4])}{more}")


def _first(page: Page, declared: Declared) -> Setting:
    part = page.by_id.get(declared.owner)
    kind = page.by_kind.get(part.kind or "") if part else None
    joint = kind.by_joint.get(declared.name) if kind else None
    return FOLLOWS if joint is not None and joint.follows else OPEN


def gripped_spins(page: Page) -> set[str]:
    """Return the spins of clamps that two grips of a bar fix: they follow, and are not asked."""
    return {
        f"{on}.spin"
        for part in page.parts
        if isinstance(part, Bar) and len(part.on) == 2
        for on in part.on
        if f"{on}.spin" in page.declared
    }


def _following(setting: Setting) -> Setting:
    """Return a clamp's spin that a bar fixes from now on; a reading of it stays as a check."""
    if setting.state in ("read", "follows"):
        return setting.model_copy(update={"state": "follows"})
    return FOLLOWS.model_copy(update={"limit": setting.limit, "extra": setting.extra})


def _its_own(setting: Setting) -> Setting:
    """Return a clamp's spin that nothing fixes any more: as it was read, else open."""
    if setting.state != "follows":
        return setting
    if setting.value is not None:
        return setting.model_copy(update={"state": "read"})
    return OPEN.model_copy(update={"limit": setting.limit, "extra": setting.extra})


def _replaced(
    held: Mapping[str, T], changed: Mapping[str, T], gone: frozenset[str]
) -> dict[str, T]:
    return {id_: value for id_, value in {**held, **changed}.items() if id_ not in gone}
