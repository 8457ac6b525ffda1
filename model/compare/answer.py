"""The answer of comparing two pages: what the screen shows and what ``--json`` prints."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from model.compare.piece_answer import TO_REPORT, ComparedPiece
from model.compare.role_answer import ComparedRoles
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

if TYPE_CHECKING:
    from model.compare.joints import JointDifference


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
    """One setting of both pages: what was read, and what of it moved.

    A joint's own values, in mm, degrees or teeth, are beside its readings where they are known: a
    place along a tube is the clamp's centre from end A, an angle the joint's own. Where
    ``converted``, the difference, u and verdict are of these: what was read would not tell. Else
    they are of the readings.
    """

    setting: str
    part: str
    part_name: str
    name: str
    quantity: Quantity
    verdict: Verdict
    before: RecordedValue
    after: RecordedValue
    own_before: float | int | None = None
    own_after: float | int | None = None
    converted: bool = False
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
    """All that differs between two pages; ``settings`` in the second page's walking order.

    ``as_read`` says that readings alone were compared: no joint's own value, no pieces.
    ``home`` says that the first page is a home: what it carries is wanted all the same. Two rigs
    are compared by ``roles``, and then by nothing else.
    """

    answer: Literal["compare"] = "compare"
    version: Literal[1] = 1
    before: ComparedPage
    after: ComparedPage
    same_rig: bool
    as_read: bool
    home: bool = False
    structure: tuple[ComparedPart, ...]
    settings: tuple[ComparedSetting, ...]
    counts: dict[str, int]
    pieces: tuple[ComparedPiece, ...] = ()
    roles: ComparedRoles | None = None

    @property
    def something(self) -> bool:
        """Whether there is something to report: a setting or a piece moved, or the structure
        changed."""
        return (
            bool(self.structure)
            or any(found.verdict in ("moved", "unsure") for found in self.settings)
            or any(piece.verdict in TO_REPORT for piece in self.pieces)
            or (self.roles is not None and self.roles.something)
        )


def compare_pages(
    before: Page,
    after: Page,
    names: tuple[str, str],
    walk: tuple[str, ...] = (),
    *,
    joints: Mapping[str, JointDifference] | None = None,
    pieces: tuple[ComparedPiece, ...] = (),
    wanted: bool = False,
) -> Compared:
    """Compare two pages of one rig; ``names`` are theirs, ``walk`` the book's first roots.

    With ``joints`` a joint is judged by its own values where geometry gives them; without, all is
    compared as it was read. With ``wanted`` the first page is a home.
    """
    order = {key: place for place, key in enumerate(walking_order(after, walk))}
    found = sorted(
        setting_differences(before, after, wanted=wanted),
        key=lambda d: order.get(d.declared.key, len(order)),
    )
    settings = [_setting(d, (joints or {}).get(d.declared.key), after) for d in found]
    counts: dict[str, int] = dict.fromkeys(VERDICTS, 0)
    for setting in settings:
        counts[setting.verdict] += 1
    return Compared(
        before=compared_page(before, names[0]),
        after=compared_page(after, names[1]),
        same_rig=before.head.rig == after.head.rig,
        as_read=joints is None,
        home=wanted,
        structure=tuple(_part(d) for d in structure_differences(before, after)),
        settings=tuple(settings),
        counts=counts,
        pieces=pieces,
    )


def compared_page(page: Page, name: str) -> ComparedPage:
    """Return which page it was, as an answer tells it."""
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


def _setting(read: SettingDifference, joint: JointDifference | None, page: Page) -> ComparedSetting:
    declared = read.declared
    told: SettingDifference | JointDifference = read
    converted, why = False, read.why
    if joint is not None and joint.verdict == "not comparable":
        # Known as it was read, or not at all; a reading of something else is then the second best.
        if read.verdict != "not comparable":
            why = f"as it was read: {joint.why}"
    elif joint is not None and (joint.converted or read.verdict == "not comparable"):
        told, converted, why = joint, True, joint.why
    return ComparedSetting(
        setting=declared.key,
        part=declared.owner,
        part_name=owner_name(page, declared.owner),
        name=declared.label,
        quantity=declared.quantity,
        verdict=told.verdict,
        before=recorded_value(read.before),
        after=recorded_value(read.after),
        own_before=joint.before if joint else None,
        own_after=joint.after if joint else None,
        converted=converted,
        difference=told.difference,
        u=told.u,
        why=why or None,
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
