"""Each joint's own value, whatever its reading was taken from; and what an instrument shows of it.

A level reads gravity and a tape may begin at another clamp: two pages' readings are compared, and
carried to another night's riser, by way of the joint itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.readings.angles import ReadFrom
from model.rig.declared import AnyPart
from model.rig.flags import no_curve
from model.rig.kind import Axis, Joint
from model.rig.part import Bar, Post
from model.rig.surety import read_from
from model.space.angles import level_hand, seen_hand
from model.space.frames import Array, Frame, X, Y, Z, axis_of, cross, dot, scaled, square_to, unit
from model.space.grips import grip_joints, holding, place_on_bar
from model.space.memo import Unplaced
from model.space.posts import post_zero
from model.space.rails import Arc

if TYPE_CHECKING:
    from model.space.places import Places

CONVERTED: tuple[ReadFrom, ...] = ("gravity", "riser", "zero line")
"""What an angle may be read from besides the joint itself."""


def joint_value(places: Places, key: str) -> Array:
    """Return a joint's own value (B,): mm, degrees or teeth; NaN where it is not known.

    A place along a tube is that of the clamp's centre from end A (on an inner tube as it is read);
    a turn is from the joint's own zero. Raises :class:`Unplaced` where the structure gives none.
    """
    part, joint = part_and_joint(places, key)
    if joint is None:
        return places.values.number(key)
    if joint.slides is not None:
        return _place(places, part, joint, key)
    if joint.tooth_deg is not None or not is_converted(places, key):
        return places.values.number(key, joint.assumed)
    begin, about, end = _swing(places, part, joint)
    return np.degrees(_angle(begin, about, end))


def held_value(places: Places, key: str) -> Array:
    """Return where a joint's own screw holds it (B,): mm, degrees or teeth.

    As :func:`joint_value`, but for a spin on a curved bar: the clamp holds the tube, and goes with
    it as it bows. There it is counted from where the tube bulges at that place.
    """
    part, joint = part_and_joint(places, key)
    if joint is None or not rides_on_a_curve(places, part, joint):
        return joint_value(places, key)
    carrier = places.carrier(part)
    rail, place, frame = places.rail(carrier), places.clamp_place(part), places.clamp(part)
    assert isinstance(rail, Arc)
    return np.degrees(_angle(unit(rail.at(place) - rail.centre), -frame.z, frame.y))


def rides_on_a_curve(places: Places, part: AnyPart, joint: Joint) -> bool:
    """Tell whether a joint is a clamp's spin on a curved bar."""
    if joint.turns != "rail" or isinstance(part, Bar) or not places.is_clamped(part):
        return False
    carrier = places.page.by_id.get(part.on[0])
    return isinstance(carrier, Bar) and carrier.curve is not None


def shown_from(places: Places, key: str, source: ReadFrom) -> Array:
    """Return what an instrument that reads from ``source`` shows of a turn as it is (B,), degrees.

    The inverse of how such a reading places the joint. Raises :class:`Unplaced`.
    """
    part, joint = part_and_joint(places, key)
    assert joint is not None
    assert joint.turns is not None
    begin, about, end = _swing(places, part, joint)
    if source == "joint":
        return np.degrees(_angle(begin, about, end))
    if source == "zero line":
        seen = _sighted(places, part, joint, end)
        return np.degrees(np.arctan2(seen[..., 0], seen[..., 1]))
    up = places.up(source)
    if _is_round_a_rail(joint) or joint.id == "bow":
        return np.degrees(_angle(_zero(joint, about, up), about, end))
    return np.degrees(np.arcsin(np.clip(dot(end, up), -1.0, 1.0)))


def swing_angle(places: Places, key: str) -> Array:
    """Return how far a turning joint stands from its own zero (B,), radians, also where its value
    follows from the rest. Raises :class:`Unplaced`."""
    part, joint = part_and_joint(places, key)
    assert joint is not None
    return _angle(*_swing(places, part, joint))


def moves_along(places: Places, key: str) -> Array:
    """Return which way a joint goes as its own value grows (B, 3), in the room: a unit vector.

    What slides goes along it; what turns, turns right-handed about it. Raises :class:`Unplaced`.
    """
    part, joint = part_and_joint(places, key)
    assert joint is not None
    if joint.turns is not None:
        return _swing(places, part, joint)[1]
    if joint.slides != "rail":
        frames = places.frames(part)
        if joint.slides == "leg":  # longer lifts what it carries
            return frames[joint.id].z
        return frames[joint.id].out(axis_of(_own_axis(joint)))
    if isinstance(part, Bar):
        rail = places.hung(part).rail
        return rail.tangent(place_on_bar(places, part, joint, rail.length))
    way = places.clamp_on_rail(part.id)[1]
    return -way if part.rail == "inner" else way


def part_and_joint(places: Places, key: str) -> tuple[AnyPart, Joint | None]:
    """Return a setting's part, and its joint; None for what a floor part's tapes read."""
    owner, _, name = key.partition(".")
    part = places.page.by_id[owner]
    kind = places.page.by_kind.get(part.kind or "")
    taped = name.startswith("from_")
    return part, None if kind is None or taped else kind.by_joint[name]


def is_converted(places: Places, key: str) -> bool:
    """Tell whether an angle's reading is of something else than the joint itself."""
    setting = places.values.setting(key)
    if setting.state in ("open", "follows"):
        return False
    return read_from(setting, "angle", places.page) in CONVERTED


def _place(places: Places, part: AnyPart, joint: Joint, key: str) -> Array:
    if joint.slides != "rail" or part.rail == "inner":
        return places.values.number(key, joint.assumed)
    if isinstance(part, Bar):
        return place_on_bar(places, part, joint, places.hung(part).rail.length)
    return places.clamp_place(part)


def _is_round_a_rail(joint: Joint) -> bool:
    return joint.turns == "rail" and joint.id != "bow"


def _swing(places: Places, part: AnyPart, joint: Joint) -> tuple[Array, Array, Array]:
    """Return where a turn's hand points at zero, what it turns about, and where it points now.

    Unit vectors (B, 3) in the room; the turn is right-handed about the second.
    """
    if joint.id == "bow" and isinstance(part, Bar):
        about, bulge = _bulge(places, part)
        return _zero(joint, about, Z), about, bulge
    if isinstance(part, Bar):
        return _slope(places, part)
    if joint.turns == "rail":
        frame = places.clamp(part)
        about = -frame.z
        carrier = places.carrier(part)
        if isinstance(carrier, Post):
            return post_zero(places, carrier, frame.z), about, frame.y
        return _zero(joint, about, Z), about, frame.y
    frames = places.frames(part)
    names = list(frames)
    before = frames[joint.after or names[names.index(joint.id) - 1]]
    after = frames[joint.id]
    axis = axis_of(_own_axis(joint))
    hand = level_hand(joint, axis)
    return before.out(hand), before.out(axis), after.out(hand)


def _own_axis(joint: Joint) -> Axis:
    axis = joint.axis
    assert axis is not None
    return axis


def _zero(joint: Joint, about: Array, up: Array) -> Array:
    """Return where a spin round a bar, or a bar's bulge, has its zero: by what is up."""
    return unit(cross(up, about)) if joint.id == "bow" else square_to(up, about)


def _bulge(places: Places, bar: Bar) -> tuple[Array, Array]:
    """Return what a bar's bulge turns about, and the way it points there (B, 3)."""
    rail = places.hung(bar).rail
    if not isinstance(rail, Arc):
        raise Unplaced(no_curve(bar))
    if len(bar.on) == 2:
        return -rail.along, rail.bulge
    _, _, place = _one_grip(places, bar)
    return -rail.tangent(place), unit(rail.at(place) - rail.centre)


def _slope(places: Places, bar: Bar) -> tuple[Array, Array, Array]:
    frame, by_end, place = _one_grip(places, bar)
    axis, hand = (X, Y) if by_end else (-Y, X)
    return frame.out(hand), frame.out(axis), places.hung(bar).rail.tangent(place)


def _one_grip(places: Places, bar: Bar) -> tuple[Frame, bool, Array]:
    """Return the jaw that holds a bar, whether by its end, and the grip's place from end A."""
    clamp_id = bar.on[0]
    outlet = holding(places, bar, clamp_id)
    by_end = outlet.holds == "end"
    joints = grip_joints(places.kind(bar))
    place = np.zeros(1)
    if joints and not by_end:
        place = place_on_bar(places, bar, joints[0], places.hung(bar).rail.length)
    return places.outlet(clamp_id, outlet.id), by_end, place


def _sighted(places: Places, part: AnyPart, joint: Joint, end: Array) -> Array:
    """Return the direction that is sighted along from above."""
    if isinstance(part, Bar) or joint.turns == "rail":
        return end
    return places.frames(part)[joint.id].out(seen_hand(axis_of(_own_axis(joint))))


def _angle(begin: Array, about: Array, end: Array) -> Array:
    """Return the right-handed turn (B,) about a unit vector from one direction to another."""
    one = begin - scaled(about, dot(begin, about))
    other = end - scaled(about, dot(end, about))
    return np.arctan2(dot(cross(one, other), about), dot(one, other))
