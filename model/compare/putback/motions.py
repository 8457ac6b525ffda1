"""How a joint moves in the room: where it is, which way it goes, where its arm points."""

from __future__ import annotations

import numpy as np

from model.compare.putback.words import Motion
from model.rig.part import Bar, Piece
from model.space.angles import level_hand
from model.space.frames import Array, axis_of, settled, turned
from model.space.joint_values import moves_along, part_and_joint
from model.space.places import Places


def motion_of(places: Places, key: str, by: float, player: Array) -> Motion | None:
    """Return how a joint moves by so much of its own, mm, degrees or teeth, to stand as it does.

    None for a leg, a tape from a mark, and where its place is not known. Raises :class:`Unplaced`.
    """
    part, joint = part_and_joint(places, key)
    if joint is None or joint.slides == "leg":
        return None
    along, at = moves_along(places, key), joint_at(places, key)
    if not settled(along, at):
        return None
    return Motion(
        declared=places.page.declared[key],
        by=by,
        turns=joint.turns is not None,
        on_rail=joint.slides == "rail",
        on_bar=joint.slides == "rail" and isinstance(part, Bar),
        tilts_surface=joint.turns is not None
        and joint.turns != "rail"
        and any(isinstance(held, Piece) and held.on[0] == part.id for held in places.page.parts),
        along=along[0],
        at=at[0],
        player=player,
        tips=_tips(places, key, along, by),
    )


def joint_at(places: Places, key: str) -> Array:
    """Return where a joint is (B, 3), mm; of a bar's own joints its middle. Raises Unplaced."""
    part, joint = part_and_joint(places, key)
    if isinstance(part, Bar):
        rail = places.hung(part).rail
        return rail.at(np.array([(rail.length or 0.0) / 2.0]))
    if places.is_clamped(part):
        return places.clamp_on_rail(part.id)[0]
    return places.frames(part)["root" if joint is None else joint.id].at


def _tips(places: Places, key: str, along: Array, by: float) -> tuple[Array, Array] | None:
    """Return where a toothed arm points before and after: unit vectors (3,); None without teeth."""
    part, joint = part_and_joint(places, key)
    if joint is None or joint.axis is None or joint.tooth_deg is None or joint.turns == "rail":
        return None
    if isinstance(part, Bar):
        return None
    after = places.frames(part)[joint.id].out(level_hand(joint, axis_of(joint.axis)))
    back = np.radians(np.array([-by * joint.tooth_deg]))
    return turned(after, along, back)[0], after[0]
