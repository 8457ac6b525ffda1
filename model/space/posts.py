"""The rail of a post: upright or leaning, on the floor or on a bar, with or without inner tube."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.rig.kind import ROOT, Joint, Kind
from model.rig.part import Post
from model.space.frames import Array, axis_of, dot, square_to
from model.space.joints import SPECIAL, joint_frames, last_frame
from model.space.rails import Line

if TYPE_CHECKING:
    from model.space.places import Places

TURN = "turn"


def post_rail(places: Places, post: Post, kind: Kind) -> Line:
    """Return a post's rail from its end A: at the rug, or at the axis of the bar it stands on.

    ``highest`` is where the inner tube ends, along the axis, mm from A. A turn of the post that
    moves neither is left as it is: the rail does not rest on it.
    """
    idle = (TURN,) if not kind.stem and _moves_nothing(kind) else ()
    inner_ids = _from_on(kind, kind.inner_after)
    outer_joints = tuple(joint for joint in kind.joints if joint.id not in inner_ids)
    root = places.root(post)
    outer = last_frame(joint_frames(places, post, outer_joints, root, idle))
    axis = outer.out(axis_of(kind.stem)) if kind.stem else outer.z
    highest: Array | None = None
    if kind.inner_after is not None:
        inner = joint_frames(places, post, kind.joints, root, idle)[kind.inner_after]
        highest = dot(inner.at - outer.at, axis)
    return Line(outer.at, axis, post.length, highest=highest)


def post_zero(places: Places, post: Post, axis: Array) -> Array:
    """Return where a zero spin points on a post (B, 3): along its turn, made square to its axis.

    A post that stands on a bar has its zero toward the bar's end B.
    """
    frames = places.frames(post)
    named = frames.get(TURN) or last_frame(frames)
    along = abs(float(dot(named.y, axis)[0]))
    if np.isfinite(along) and along > 1.0 - 1e-9:
        return square_to(named.z, axis)
    return square_to(named.y, axis)


def _moves_nothing(kind: Kind) -> bool:
    """Tell whether the kind's turn is about z, and all that comes after it slides along z."""
    turn = kind.by_joint.get(TURN)
    if turn is None or turn.slides is not None or not _along_z(turn):
        return False
    later = (kind.by_joint[key] for key in _from_on(kind, TURN) - {TURN})
    return all(
        joint.slides is not None and _along_z(joint) and not any(joint.before[:2])
        for joint in later
    )


def _from_on(kind: Kind, first: str | None) -> set[str]:
    """Return a joint's id and those of all that come after it; none for no joint."""
    found = set() if first is None else {first}
    before = ROOT
    for joint in kind.joints:
        if (joint.after or before) in found:
            found.add(joint.id)
        before = joint.id
    return found


def _along_z(joint: Joint) -> bool:
    axis = joint.axis
    if axis is None or axis in SPECIAL:
        return False
    return bool(abs(axis_of(axis)[0, 2]) > 1.0 - 1e-12)
