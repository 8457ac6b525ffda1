"""A drum on three legs: how it stands when their lengths differ."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from model.rig.declared import AnyPart
from model.rig.kind import Joint
from model.rig.record_flags import flag_of
from model.space.frames import Array, Frame, Z, cross, dot, scaled, shortest_turn, stacked, unit
from model.space.memo import Unplaced

if TYPE_CHECKING:
    from model.space.places import Places


def standing_frame(places: Places, part: AnyPart, legs: Sequence[Joint], frame: Frame) -> Frame:
    """Return the part's frame as it stands on the tips of three legs, all of them on z = 0.

    ``frame`` is upright over its place; each leg goes down from its bracket by its length. The
    part tips the shortest way that brings the plane of the tips to the floor.
    """
    if len(legs) != 3:
        raise Unplaced(
            flag_of(
                "not-three-legs",
                f"part.{part.id}.kind",
                f"{part.name} has {len(legs)} legs",
                "how it stands is worked out for three",
                "a kind with three joints that slide along a leg",
            )
        )
    one, two, three = (_tip(places, part, leg) for leg in legs)
    normal = unit(cross(two - one, three - one))
    normal = scaled(normal, np.where(normal[..., 2] < 0.0, -1.0, 1.0))
    height = -dot(normal, one)
    at = stacked(frame.at[..., 0], frame.at[..., 1], height)
    up = np.broadcast_to(Z, normal.shape)
    return Frame(at, frame.axes @ shortest_turn(normal, up))


def _tip(places: Places, part: AnyPart, leg: Joint) -> Array:
    key = f"{part.id}.{leg.id}"
    bracket = places.values.offset(f"{key}:before", leg.before, leg.before_u)
    return bracket - scaled(Z, places.values.number(key, leg.assumed))
