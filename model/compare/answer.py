"""The answer of comparing two pages: what the screen shows and what ``--json`` prints."""

from __future__ import annotations

from typing import Literal

from model.compare.settings import (
    VERDICTS,
    SettingDifference,
    Verdict,
    setting_differences,
)
from model.compare.structure import Change, StructureDifference, structure_differences
from model.frozen import Frozen
from model.readings.angles import ReadFrom
from model.readings.quantity import Quantity
from model.rig.page import Page
from model.rig.setting import Setting, State
from model.rig.tree import walking_order


class RecordedValue(Frozen):
    """A setting on one page: its state, and its value in mm, degrees, teeth, or as a dial's.

    A carried value names the ``page`` of its reading: it is not that night's.
    """

    state: State
    value: float | int | str | None = None
    page: str | None = None
    using: str | None = None
    by: str | None = None
    u: float | None = None
    read_from: ReadFrom | None = None


class ComparedSetting(Frozen):
    """One setting of both pages."""

    setting: str
    part: str
    part_name: str
    name: str
    quantity: Quantity
    verdict: Verdict
    before: RecordedValue
    after: RecordedValue
    difference: float | int | None = None
    u: float | None = None
    why: str | None = None


class ComparedPart(Frozen):
    """One difference of structure."""

    change: Change
    sort: str
    id: str
    name: str
    field: str | None = None
    before: str | None = None
    after: str | None = None


class ComparedPage(Frozen):
    """Which page it was."""

    page: str
    rig: str
    date: str
    moment: str
    venue: str


class Compared(Frozen):
    """All that differs between two pages; ``settings`` in the second page's walking order."""

    answer: Literal["compare"] = "compare"
    version: Literal[1] = 1
    before: ComparedPage
    after: ComparedPage
    same_rig: bool
    structure: tuple[ComparedPart, ...]
    settings: tuple[ComparedSetting, ...]
    counts: dict[str, int]

    @property
    def something(self) -> bool:
        """Whether there is something to report: a setting moved or the structure changed."""
        return bool(self.structure) or any(
            found.verdict in ("moved", "unsure") for found in self.settings
        )


def compare_pages(
    before: Page, after: Page, names: tuple[str, str], walk: tuple[str, ...] = ()
) -> Compared:
    """Compare two pages of one rig; ``names`` are theirs, ``walk`` the book's first roots."""
    order = {key: place for place, key in enumerate(walking_order(after, walk))}
    found = sorted(
        setting_differences(before, after), key=lambda d: order.get(d.declared.key, len(order))
    )
    counts: dict[str, int] = dict.fromkeys(VERDICTS, 0)
    for difference in found:
        counts[difference.verdict] += 1
    return Compared(
        before=_page(before, names[0]),
        after=_page(after, names[1]),
        same_rig=before.head.rig == after.head.rig,
        structure=tuple(_part(d) for d in structure_differences(before, after)),
        settings=tuple(_setting(d, after) for d in found),
        counts=counts,
    )


def _page(page: Page, name: str) -> ComparedPage:
    head = page.head
    return ComparedPage(
        page=name,
        rig=head.rig,
        date=head.date.isoformat(),
        moment=head.moment,
        venue=head.venue,
    )


def _part(difference: StructureDifference) -> ComparedPart:
    return ComparedPart(
        change=difference.change,
        sort=difference.sort,
        id=difference.id,
        name=difference.name,
        field=difference.field or None,
        before=difference.before or None,
        after=difference.after or None,
    )


def owner_name(page: Page, owner: str) -> str:
    """Return the name of a part or a spot, or of the floor."""
    part = page.by_id.get(owner)
    spot = page.by_spot.get(owner)
    return part.name if part else spot.name if spot else "Floor"


def _setting(difference: SettingDifference, page: Page) -> ComparedSetting:
    declared = difference.declared
    return ComparedSetting(
        setting=declared.key,
        part=declared.owner,
        part_name=owner_name(page, declared.owner),
        name=declared.label,
        quantity=declared.quantity,
        verdict=difference.verdict,
        before=recorded_value(difference.before),
        after=recorded_value(difference.after),
        difference=difference.difference,
        u=difference.u,
        why=difference.why or None,
    )


def recorded_value(setting: Setting) -> RecordedValue:
    """Return a setting as an answer shows it, its state first."""
    return RecordedValue(
        state=setting.state,
        value=setting.value,
        page=setting.page,
        using=setting.using,
        by=setting.by,
        u=setting.u,
        read_from=setting.read_from,
    )
