"""The second computation of places: the joints of one part, from its root to its tip."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind
from model.rig.part import FLOOR, Piece, Post
from tests.second_turns import UP, Hinge, Stand, Unknown, axis_of, turning, unit, upright, vec

if TYPE_CHECKING:
    from tests.second_places import SecondPlaces

Frames = dict[str, Stand | Unknown]


def frames_of(places: SecondPlaces, part: AnyPart, kind: Kind) -> Frames:
    """Return the frame after each joint, and the root; an open joint ends its own branch only."""
    frames: Frames = {"root": _tried(lambda: places.root(part, kind))}
    legs = [joint for joint in kind.joints if joint.slides == "leg"]
    last = "root"
    for joint in kind.joints:
        before = frames[joint.after or last]
        frames[joint.id] = _tried(_step(places, part, joint, before, legs, frames))
        if joint.slides != "leg" or joint is legs[-1]:
            last = joint.id
    return frames


def _step(
    places: SecondPlaces,
    part: AnyPart,
    joint: Joint,
    before: Stand | Unknown,
    legs: list[Joint],
    frames: Frames,
) -> Callable[[], Stand]:
    def step() -> Stand:
        if places.kind(part).on_rail and "rail" in (joint.slides, joint.turns):
            return places.clamped(part).stand
        if isinstance(before, Unknown):
            raise before
        if joint.slides != "leg":
            return moved(places, part, joint, before)
        if joint is not legs[-1]:
            raise Unknown("only the last of three legs has a frame")
        return on_legs(places, part, legs, before)

    return step


def _tried(work: Callable[[], Stand]) -> Stand | Unknown:
    try:
        return work()
    except Unknown as unknown:
        return unknown


def moved(places: SecondPlaces, part: AnyPart, joint: Joint, before: Stand) -> Stand:
    """Return the frame after one joint."""
    stand = before.shifted(joint.before)
    if joint.slides is not None:
        axis = axis_of(joint.slides)
        if part.marks is not None and joint.id in ("x", "y"):
            return stand.shifted(axis * taped(places, part)["xy".index(joint.id)])
        return stand.shifted(axis * places.value(part, joint))
    hinge = Hinge.of(stand, joint)
    source = places.source(part, joint)
    stands = part.on[0] == FLOOR and isinstance(part, Post | Piece)
    if stands and joint.id == "turn" and upright(hinge.axis):
        source = "joint"  # what stands is turned from the zero line, whatever it was read with
    degrees = hinge.angle(places.value(part, joint), source, places.gravity)
    places.hinges[f"{part.id}.{joint.id}"] = hinge, degrees
    return stand.turned(hinge.axis, degrees)


def taped(places: SecondPlaces, part: AnyPart) -> tuple[float, float]:
    """Return where two tapes meet, from the bearing between the marks and the angle there."""
    joints = places.kind(part).by_joint
    a, b = (places.value(part, joints[j], f"from_{i}") for j, i in (("x", 1), ("y", 2)))
    known = {"zero": 0j, **{mark.id: complex(mark.x, mark.y) for mark in places.page.marks}}
    if part.marks is None or not set(part.marks) <= known.keys():
        raise Unknown("no such mark")
    first, second = (known[mark] for mark in part.marks)
    line = second - first
    cosine = (a * a + abs(line) ** 2 - b * b) / (2.0 * a * abs(line)) if a and line else 2.0
    if abs(cosine) > 1.0:
        raise Unknown("the tapes do not reach each other")
    bend = math.acos(cosine) * (1.0 if part.marks_side == "left" else -1.0)
    met = first + line / abs(line) * a * complex(math.cos(bend), math.sin(bend))
    return met.real, met.imag


def on_legs(places: SecondPlaces, part: AnyPart, legs: list[Joint], floor: Stand) -> Stand:
    """Return the frame of a drum that stands on the tips of its three legs."""
    if len(legs) != 3:
        raise Unknown("a drum stands on three legs")
    tips = [vec(leg.before) - UP * places.value(part, leg) for leg in legs]
    normal = unit(np.cross(tips[1] - tips[0], tips[2] - tips[0]))
    normal = normal if normal[2] > 0.0 else -normal
    tipped = np.cross(normal, UP)
    size = math.hypot(*tipped)
    axes = floor.pose[:3, :3]
    if size > 0.0:
        axes = axes @ turning(tipped / size, math.degrees(math.atan2(size, normal[2])))
    origin = vec((floor.origin[0], floor.origin[1], -float(normal @ tips[0])))
    return Stand.of(origin, axes[:, 0], axes[:, 1], axes[:, 2])
