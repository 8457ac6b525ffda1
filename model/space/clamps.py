"""A clamp's place and spin on its rail, from what was read: ends, edges, other clamps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.errors import Problem
from model.readings.quantity import Value
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind
from model.rig.part import Bar, Post
from model.rig.record_flags import flag_of
from model.rig.surety import read_from
from model.space.angles import turn_to_heading
from model.space.bar_faults import beyond_end
from model.space.frames import Array, Y, Z, dot, settled, square_to
from model.space.memo import Unplaced
from model.space.posts import post_zero
from model.space.rails import Line, clamp_frame

if TYPE_CHECKING:
    from model.space.places import Places

UPRIGHT = 1e-9
"""How far from 1 the cosine of a bar's lean from upright may be, and its upper side still exist."""

TO_CENTRE = {"near": 0.5, "bottom": 0.5, "far": -0.5, "top": -0.5, "centre": 0.0, None: 0.0}
"""From the edge that was read to the clamp's centre, toward B, in depths of the clamp."""


def _joint(kind: Kind, *, slides: bool) -> Joint | None:
    for joint in kind.joints:
        if (joint.slides if slides else joint.turns) == "rail":
            return joint
    return None


def place_on_rail(places: Places, part: AnyPart, kind: Kind) -> Array:
    """Return the place (B,) of a clamp's centre along its rail, mm from end A."""
    joint = _joint(kind, slides=True)
    assert joint is not None, "only a part with a joint along a rail is clamped"
    carrier = places.carrier(part)
    value = places.values.number(f"{part.id}.{joint.id}", joint.assumed)
    start = part.measured_from or joint.end or "A"
    if part.rail == "inner":
        place = _inner_top(places, part, carrier) - value
    elif start == "A":
        place = value
    elif start == "B":
        place = _length(places, part, carrier) - value
    else:
        place = _other_clamp(places, part, carrier, start) + value
    share = TO_CENTRE[part.edge]
    if share and kind.body is None:
        raise Unplaced(
            flag_of(
                "no-body",
                f"kind.{kind.id}.body",
                f"{part.name} is read to its {part.edge} edge, and its clamp's depth is not known",
                right="body = 40.0",
            )
        )
    centre = place + share * (kind.body or 0.0)
    _check(places, part, carrier, joint, centre)
    return centre


def place_as_read(places: Places, part: AnyPart, kind: Kind, centre: Array) -> Array:
    """Return what is read (B,) with a clamp's centre at a place from end A: the inverse."""
    joint = _joint(kind, slides=True)
    assert joint is not None, "only a part with a joint along a rail is clamped"
    place = centre - TO_CENTRE[part.edge] * (kind.body or 0.0)
    carrier = places.carrier(part)
    start = part.measured_from or joint.end or "A"
    if part.rail == "inner":
        return _inner_top(places, part, carrier) - place
    if start == "A":
        return place
    if start == "B":
        return _length(places, part, carrier) - place
    return place - _other_clamp(places, part, carrier, start)


def _length(places: Places, part: AnyPart, carrier: Post | Bar) -> float:
    length = places.rail(carrier).length
    if length is None:
        raise Unplaced(
            flag_of(
                "no-length",
                f"part.{carrier.id}.length",
                f"{part.name} is measured from end B of {carrier.name}, and its length is not "
                "known",
                right="length = 1066.8",
            )
        )
    return length


def _inner_top(places: Places, part: AnyPart, carrier: Post | Bar) -> Array:
    rail = places.rail(carrier)
    if not isinstance(rail, Line) or rail.highest is None:
        raise Unplaced(
            flag_of(
                "no-inner-tube",
                f"part.{part.id}.rail",
                f"{part.name} is on the inner tube of {carrier.name}, and that has none",
                right='rail = "outer", or a post with an inner tube',
            )
        )
    return rail.highest


def _other_clamp(places: Places, part: AnyPart, carrier: Post | Bar, other_id: str) -> Array:
    other = places.part(other_id, part)
    if not places.is_clamped(other) or other.on[0] != carrier.id:
        raise Unplaced(
            flag_of(
                "no-such-part",
                f"part.{part.id}.from",
                f"{part.name} is measured from {other.name}, which is no clamp on {carrier.name}",
                right='from = "A", or a clamp on the same tube',
            )
        )
    return places.clamp_place(other)


def _check(places: Places, part: AnyPart, carrier: Post | Bar, joint: Joint, centre: Array) -> None:
    """Raise :class:`Unplaced` where the place is beyond the end of its tube."""
    if not settled(centre):
        return
    at, key = float(centre[0]), f"record.{part.id}.{joint.id}"
    if part.rail == "inner":
        rail = places.rail(carrier)
        assert isinstance(rail, Line)
        assert rail.highest is not None
        top = float(rail.highest[0])
        inner = carrier.inner_length if isinstance(carrier, Post) else None
        low = 0.0 if inner is None else top - inner
        if at > top + 1e-6 or at < low - 1e-6:
            raise Unplaced(beyond_end(part.name, key, _told(places, part, joint), at, top, low))
        return
    length = _length_if_known(carrier, places)
    if at < -1e-6 or (length is not None and at > length + 1e-6):
        raise Unplaced(beyond_end(part.name, key, _told(places, part, joint), at, length))


def _told(places: Places, part: AnyPart, joint: Joint) -> str:
    """Say what was read, where that is not the centre's own place from end A."""
    start = part.measured_from or joint.end or "A"
    edge = part.edge or "centre"
    if part.rail != "inner" and start == "A" and edge == "centre":
        return "centre"
    start = "the inner tube's top" if part.rail == "inner" else f"end {start}"
    if part.measured_from not in (None, "A", "B") and part.rail != "inner":
        start = str(part.measured_from)
    value = places.page.setting(f"{part.id}.{joint.id}").value
    told = f"{joint.assumed:g} mm assumed" if value is None else f"{value} mm read"
    return f"centre ({told} from {start} to its {edge})"


def _length_if_known(carrier: Post | Bar, places: Places) -> float | None:
    if carrier.length is not None:
        return carrier.length
    if isinstance(carrier, Bar) and carrier.curve is not None:
        return places.rail(carrier).length
    return None


def zero_and_spin(
    places: Places, part: AnyPart, kind: Kind, carrier: Post | Bar, tangent: Array
) -> tuple[Array, Array]:
    """Return where a clamp's zero spin points (B, 3), and its spin (B,) in radians.

    On a bar the zero is the part of +z that is square to it, for a level the part of gravity's up;
    on a post it is along the post's turn, and a level shows nothing.
    """
    joint = _joint(kind, slides=False)
    key = "" if joint is None else f"{part.id}.{joint.id}"
    source, value = "joint", np.zeros(1)
    if joint is not None:
        value = np.radians(places.values.number(key, joint.assumed))
        if joint.tooth_deg is not None:
            value = value * joint.tooth_deg
        else:
            source = read_from(places.values.setting(key), "angle", places.page) or "joint"
    if isinstance(carrier, Post):
        zero = post_zero(places, carrier, tangent)
        if source in ("gravity", "riser") and places.page.setting(key).state != "open":
            raise Unplaced(_no_level_round_a_post(part, key, places.page.setting(key).value))
    else:
        up = places.up(source)
        if settled(tangent, up) and abs(float(dot(tangent, up)[0])) > 1.0 - UPRIGHT:
            raise Unplaced(_no_zero_on_an_upright(part, carrier))
        zero = square_to(up, tangent)
    if source == "zero line":
        frame = clamp_frame(tangent, tangent, zero, np.zeros(1))
        return zero, turn_to_heading(frame, -Z, Y, value)
    return zero, value


def _no_zero_on_an_upright(part: AnyPart, carrier: AnyPart) -> Problem:
    return flag_of(
        "no-zero",
        f"part.{part.id}.on",
        f"{part.name} is on {carrier.name}, a bar that stands upright",
        "a spin on a bar begins at its upper side, and an upright one has none",
        "a post in place of the bar: its spins begin at its turn",
    )


def _no_level_round_a_post(part: AnyPart, key: str, value: Value | None) -> Problem:
    return flag_of(
        "no-such-turn",
        f"record.{key}",
        f"{part.name}: a level shows no turn round a post",
        "an upright tube can be turned without the bubble moving",
        f'{{ read = {value}, using = "protractor", … }}',
    )
