"""What one hand loosens: the settings that a screw holds together, and with which tool.

A clamp is loosened once for everything it holds: its place and spin on its tube, and the bar in its
jaw. What slides and turns in one jaw is held by one screw. What stands on the floor is put by hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind
from model.rig.page import Page
from model.rig.part import Bar

BY_HAND = "by hand"
FLOOR_JOINTS = ("x", "y", "turn", "from_1", "from_2")


@dataclass(frozen=True, slots=True)
class Fastening:
    """One thing that is loosened, or put by hand: ``keys`` are the settings that it frees.

    ``part`` is the part it belongs to, ``joint`` the first joint it holds; the id is both.
    """

    id: str
    part: str
    joint: str
    keys: tuple[str, ...]
    tool: str

    @property
    def by_hand(self) -> bool:
        """Whether nothing is loosened for it."""
        return self.tool == BY_HAND


@dataclass(frozen=True, slots=True)
class Loop:
    """A bar in two clamps: both are loosened together, and each other's spins follow."""

    bar: str
    clamps: tuple[str, str]


@dataclass(frozen=True)
class Fastenings:
    """All of a rig's, by the setting that they free."""

    page: Page
    all: tuple[Fastening, ...]
    loops: tuple[Loop, ...]

    @cached_property
    def by_key(self) -> dict[str, Fastening]:
        """The fastening that frees a setting, by its key."""
        return {key: held for held in self.all for key in held.keys}

    @cached_property
    def by_id(self) -> dict[str, Fastening]:
        """The fastenings by id."""
        return {held.id: held for held in self.all}

    def of_clamp(self, part_id: str) -> Fastening | None:
        """Return what holds a clamped part on its tube; None where it is not clamped to one."""
        part = self.page.by_id[part_id]
        kind = self.page.by_kind.get(part.kind or "")
        on_rail = next((j for j in kind.joints if _is_of_rail(j)), None) if kind else None
        if on_rail is None or isinstance(part, Bar):
            return None
        return self.by_key.get(f"{part_id}.{on_rail.id}")


def fastenings_of(page: Page) -> Fastenings:
    """Return what is loosened on a rig, in the page's order; settings that follow are freed too."""
    keys: dict[str, list[str]] = {}
    first: dict[str, tuple[str, str, str]] = {}
    for part in page.parts:
        kind = page.by_kind.get(part.kind or "")
        if kind is None:
            continue
        for joint, group in _groups(page, part, kind):
            for name in _names(part, joint):
                keys.setdefault(group, []).append(f"{part.id}.{name}")
            if not isinstance(part, Bar):
                first.setdefault(group, (part.id, joint.id, joint.loosen))
            elif group not in first:
                owner, _, name = group.partition(".")
                first[group] = (owner, name or joint.id, joint.loosen)
    return Fastenings(
        page,
        tuple(
            Fastening(group, *first[group][:2], tuple(held), first[group][2])
            for group, held in keys.items()
        ),
        tuple(
            Loop(part.id, (part.on[0], part.on[1]))
            for part in page.parts
            if isinstance(part, Bar) and len(part.on) == 2 and set(part.on) <= page.by_id.keys()
        ),
    )


def _names(part: AnyPart, joint: Joint) -> tuple[str, ...]:
    """Return a joint's setting: two tapes stand in for a floor part's place."""
    if part.marks and joint.id in ("x", "y"):
        return ("from_1" if joint.id == "x" else "from_2",)
    return (joint.id,)


def _groups(page: Page, part: AnyPart, kind: Kind) -> Iterator[tuple[Joint, str]]:
    """Yield each joint of a part with the id of its fastening."""
    if isinstance(part, Bar):
        yield from ((joint, _of_bar(page, part, kind, joint)) for joint in kind.joints)
        return
    group: dict[str, str] = {}
    before: Joint | None = None
    for joint in kind.joints:
        if joint.held_with is not None and joint.held_with != joint.id:
            group[joint.id] = group[joint.held_with]
        elif joint.held_with is None and before is not None and _in_one_jaw(before, joint):
            group[joint.id] = group[before.id]
        else:
            group[joint.id] = f"{part.id}.{joint.id}"
        yield joint, group[joint.id]
        before = joint


def _in_one_jaw(before: Joint, joint: Joint) -> bool:
    """Tell whether one screw holds both: along or about one axis, or both put by hand."""
    if joint.after is not None and joint.after != before.id:
        return False
    if joint.loosen == before.loosen == BY_HAND:
        return True
    if joint.loosen != before.loosen or (joint.slides is None) == (before.slides is None):
        return False
    return not any(joint.before) and _line(joint) == _line(before)


def _line(joint: Joint) -> str:
    axis = joint.axis
    if isinstance(axis, str):
        return axis.removeprefix("-")
    assert axis is not None
    return str(max(axis, tuple(-v for v in axis)))


def _is_of_rail(joint: Joint) -> bool:
    return "rail" in (joint.slides, joint.turns)


def _of_bar(page: Page, bar: Bar, kind: Kind, joint: Joint) -> str:
    """Return the fastening of a bar's joint: that of the clamp that holds it there."""
    grips = [held for held in kind.joints if held.slides == "rail"]
    second = len(bar.on) == 2 and len(grips) > 1 and joint.id == grips[1].id
    clamp = page.by_id.get(bar.on[1 if second else 0])
    clamp_kind = page.by_kind.get(clamp.kind or "") if clamp else None
    jaw = clamp_kind.joints[-1] if clamp_kind and clamp_kind.joints else None
    if clamp is None or clamp_kind is None or jaw is None:
        return f"{bar.id}.{joint.id}"
    groups = {held.id: group for held, group in _groups(page, clamp, clamp_kind)}
    return groups[jaw.id]
