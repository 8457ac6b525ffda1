"""A part's joints from root to tip: from what was read to the frame after each."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from model.errors import Problem
from model.rig.declared import AnyPart
from model.rig.kind import ROOT, Joint, Kind, Outlet
from model.rig.record_flags import flag_of
from model.rig.surety import read_from
from model.space.angles import (
    level_hand,
    seen_hand,
    turn_to_heading,
    turn_to_rise,
)
from model.space.frames import Array, Frame, axis_of, scaled, settled
from model.space.legs import standing_frame
from model.space.memo import Unplaced

if TYPE_CHECKING:
    from model.space.places import Places

SPECIAL = ("rail", "chord", "leg")


def joint_frames(
    places: Places,
    part: AnyPart,
    joints: Sequence[Joint],
    root: Frame,
    idle: Collection[str] = (),
) -> dict[str, Frame]:
    """Return the frame after each joint, ``root`` the one that the part begins in.

    Joints along or about the rail are in ``root`` already. Three legs stand the part on the floor:
    the frame after the last of them is as it stands. ``idle`` joints are left as they are.
    """
    frames, last = {ROOT: root}, root
    legs = [joint for joint in joints if joint.slides == "leg"]
    for joint in joints:
        before = frames[joint.after] if joint.after else last
        if joint.slides == "leg":
            last = standing_frame(places, part, legs, before) if joint is legs[-1] else before
        elif part.marks and joint.id in ("x", "y"):
            last = before
        else:
            last = frame_after(places, part, joint, before, moves=joint.id not in idle)
        frames[joint.id] = last
    return frames


def frame_after(
    places: Places, part: AnyPart, joint: Joint, before: Frame, *, moves: bool = True
) -> Frame:
    """Return the frame after one joint that slides along or turns about its own axis.

    With ``moves`` off only its fixed offset counts.
    """
    axis = joint.axis
    if axis in SPECIAL or axis is None:
        return before
    frame = before
    key = f"{part.id}.{joint.id}"
    if any(joint.before) or joint.before_u:
        offset = places.values.offset(f"{key}:before", joint.before, joint.before_u)
        frame = frame.shifted(offset)
    if not moves:
        return frame
    way = axis_of(axis)
    if joint.slides is not None:
        return frame.shifted(scaled(way, places.values.number(key, joint.assumed)))
    return frame.turned(way, joint_turn(places, part, joint, frame, way, level_hand(joint, way)))


def joint_turn(
    places: Places, part: AnyPart, joint: Joint, frame: Frame, axis: Array, hand: Array
) -> Array:
    """Return what a joint is turned by (B,), in radians, from what was read and from what.

    ``axis`` and ``hand`` (what a level lies along) are unit vectors of ``frame``, the one before
    the turn.
    """
    key = f"{part.id}.{joint.id}"
    value = np.radians(places.values.number(key, joint.assumed))
    if joint.tooth_deg is not None:
        return value * joint.tooth_deg
    setting = places.values.setting(key)
    source = read_from(setting, "angle", places.page)
    if source == "joint" or source is None or setting.state in ("open", "follows"):
        return value
    if source == "zero line":
        found = turn_to_heading(frame, axis, seen_hand(axis), value)
    else:
        up = places.up(source)
        found = turn_to_rise(frame, axis, hand, up, np.sin(value), alike=places.nudged)
        if settled(value) and abs(value[0]) > np.pi / 2.0 + 1e-9:
            found = np.full_like(found, np.nan)
    if settled(value, frame.axes) and not settled(found):
        places.memo.fault(_no_such_turn(part, joint, key, float(np.degrees(value[0])), source))
    return found


def _no_such_turn(part: AnyPart, joint: Joint, key: str, degrees: float, source: str) -> Problem:
    seen = "the zero line, seen from above" if source == "zero line" else source
    return flag_of(
        "no-such-turn",
        f"record.{key}",
        f"{part.name}: no turn of its {joint.id.replace('_', ' ')} reads {degrees:g}° from {seen}",
        "a level shows 90° at most"
        if abs(degrees) > 90.0
        else "its axis stands too steep for that, or two turns as small read the same",
        f'{{ read = {degrees:g}, from = "joint", … }} if it was read from the joint',
    )


def outlet_of(kind: Kind, name: str | None, part: AnyPart) -> Outlet | None:
    """Return the outlet a part sits in: the named one, else the first; None where there is none.

    Raises :class:`Unplaced` where the name is no outlet of the kind.
    """
    if name is None:
        return next((o for o in kind.outlets if o.id != "surface"), None)
    for outlet in kind.outlets:
        if outlet.id == name:
            return outlet
    names = ", ".join(outlet.id for outlet in kind.outlets)
    raise Unplaced(
        flag_of(
            "no-such-outlet",
            f"part.{part.id}.at",
            f"{part.name} sits at {name}, and {kind.name} has no such outlet",
            "its place cannot be worked out",
            f"one of {names}" if names else "leave at out",
        )
    )


def last_frame(frames: Mapping[str, Frame]) -> Frame:
    """Return the frame after the last joint of a chain."""
    return list(frames.values())[-1]


def outlet_frame(
    places: Places, owner: AnyPart, outlet: Outlet, frames: Mapping[str, Frame]
) -> Frame:
    """Return the frame of an outlet: after its joint, shifted, then turned by its fixed turn."""
    frame = frames[outlet.after] if outlet.after else last_frame(frames)
    if any(outlet.offset) or outlet.offset_u:
        key = f"{owner.id}.{outlet.id}:offset"
        frame = frame.shifted(places.values.offset(key, outlet.offset, outlet.offset_u))
    if outlet.turned is None:
        return frame
    x, y, z, degrees = outlet.turned
    return frame.turned(axis_of((x, y, z)), np.radians(np.array([degrees])))
