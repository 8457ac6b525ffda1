"""A bar in one clamp: beside it, through it or from it; and the brace that stands on the floor."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.rig.kind import Kind
from model.rig.part import Bar
from model.rig.record_flags import flag_of
from model.space.angles import turn_to_rise
from model.space.bar_faults import check_grips, no_slope
from model.space.frames import Array, Frame, X, Y, Z, scaled, settled
from model.space.grips import bulge_of, grip_joints, holding, place_on_bar, standing_off
from model.space.joints import joint_turn
from model.space.memo import Unplaced
from model.space.rails import Arc, Bow, Line, Rail

if TYPE_CHECKING:
    from model.space.places import Places


def on_one_grip(
    places: Places, bar: Bar, kind: Kind, bow: Bow | None, length: float | None
) -> Rail:
    """Return the bar's rail; raises :class:`Unplaced`."""
    clamp_id = bar.on[0]
    outlet = holding(places, bar, clamp_id)
    away = standing_off(places, clamp_id, outlet)
    frame = places.outlet(clamp_id, outlet.id)
    by_end = outlet.holds == "end"
    grips = grip_joints(kind)
    if by_end or not grips:
        place = np.zeros(1)
    else:
        place = place_on_bar(places, bar, grips[0], length)
    check_grips(bar, (place,), length)
    out = frame.y if outlet.holds in ("beside", "end") else np.zeros((1, 3))
    grip = frame.at + scaled(out, away)
    along = _tangent(places, bar, kind, frame, by_end, grip, place)
    if bow is None:
        return Line(grip - scaled(along, place), along, length)
    outward = bulge_of(places, bar, kind, along)
    # From the grip's own radius and tangent to those of the middle of the arc.
    t = (place - bow.length / 2.0) / bow.radius
    bulge = scaled(outward, np.cos(t)) - scaled(along, np.sin(t))
    chord = scaled(outward, np.sin(t)) + scaled(along, np.cos(t))
    centre = grip - scaled(outward, bow.radius)
    return Arc(centre, bow.radius, bulge, chord, np.array([bow.length / 2.0]), bow.length)


def _tangent(
    places: Places,
    bar: Bar,
    kind: Kind,
    frame: Frame,
    by_end: bool,
    grip: Array,
    place: Array,
) -> Array:
    """Return the bar's way at its one clamp: across the jaw, or out of it, raised by its slope."""
    axis, hand = (X, Y) if by_end else (-Y, X)
    joint = kind.by_joint.get("slope")
    if joint is None:
        return frame.out(hand)
    key = f"{bar.id}.slope"
    if joint.follows or places.values.setting(key).state == "follows":
        if by_end:
            raise Unplaced(no_slope(bar, "slope"))
        # A brace: end A stands on the floor, so that it rises by the grip's height over its length.
        with np.errstate(divide="ignore", invalid="ignore"):
            rise = grip[..., 2] / place
        slope = turn_to_rise(frame, axis, hand, Z, rise, alike=places.nudged)
        if settled(grip, place, frame.axes) and not settled(slope):
            raise Unplaced(
                flag_of(
                    "no-floor",
                    f"record.{bar.id}.{next((j.id for j in grip_joints(kind)), 'grip')}",
                    f"{bar.name} grips at {place[0]:.1f} mm from its floor end, and its clamp is "
                    f"{grip[0, 2]:.1f} mm up",
                    "it does not reach the floor",
                    f"at least {grip[0, 2]:.1f} mm",
                )
            )
    else:
        slope = joint_turn(places, bar, joint, frame, axis, hand)
    return frame.turned(axis, slope).out(hand)
