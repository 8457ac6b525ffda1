"""What every bar's grip needs: the outlet that holds it, its place on the bar, the bulge's way."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.rig.kind import Joint, Kind, Outlet
from model.rig.part import Bar
from model.rig.record_flags import flag_of
from model.rig.surety import read_from
from model.space.bar_faults import needs_length, no_slope
from model.space.frames import Array, Z, cross, scaled, unit
from model.space.memo import Unplaced

if TYPE_CHECKING:
    from model.space.places import Places


def holding(places: Places, bar: Bar, clamp_id: str) -> Outlet:
    """Return the outlet of a clamp that holds the bar; raises :class:`Unplaced`."""
    clamp = places.part(clamp_id, bar)
    kind = places.kind(clamp)
    held = [o for o in kind.outlets if o.holds and bar.at in (None, o.id)]
    if not held:
        raise Unplaced(
            flag_of(
                "no-grip",
                f"part.{bar.id}.on",
                f"{bar.name} is on {clamp.name}, and nothing of that holds a bar",
                "a bar with no grip has no place",
                "a clamp whose outlet holds through, beside or at the end",
            )
        )
    return held[0]


def grip_joints(kind: Kind) -> list[Joint]:
    """Return the joints of a bar's kind that slide along it: its grips, the first one first."""
    return [joint for joint in kind.joints if joint.slides == "rail"]


def standing_off(places: Places, clamp_id: str, outlet: Outlet) -> Array:
    """Return how far off its clamp's tube an outlet holds a bar (B,), axis to axis, mm."""
    away = outlet.standoff if outlet.holds == "beside" else outlet.reach
    return places.values.hardware(f"{clamp_id}.{outlet.id}:grip", away or 0.0, outlet.u_mm)


def place_on_bar(places: Places, bar: Bar, joint: Joint, length: float | None) -> Array:
    """Return a grip's place on the bar (B,), mm from its end A; raises :class:`Unplaced`."""
    value = places.values.number(f"{bar.id}.{joint.id}", joint.assumed)
    if (bar.measured_from or joint.end) != "B":
        return value
    if length is None:
        raise Unplaced(needs_length(bar, f"{joint.id.replace('_', ' ')} is read from end B"))
    return length - value


def bulge_of(places: Places, bar: Bar, kind: Kind, along: Array) -> Array:
    """Return the way the bulge points (B, 3): 0 level and to the right of A to B, 90° up."""
    joint = kind.by_joint.get("bow")
    if joint is None:
        angle, up = np.zeros(1), Z
    else:
        key = f"{bar.id}.bow"
        angle = np.radians(places.values.number(key, joint.assumed)) * (joint.tooth_deg or 1.0)
        source = read_from(places.values.setting(key), "angle", places.page)
        if source == "zero line":
            raise Unplaced(no_slope(bar, "bow"))
        up = places.up(source if source and joint.tooth_deg is None else "joint")
    right = unit(cross(along, up))
    return scaled(right, np.cos(angle)) + scaled(cross(right, along), np.sin(angle))
