"""The rail of a post: upright or leaning, on the floor or on a bar, with or without inner tube."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.rig.kind import Joint, Kind
from model.rig.part import Post
from model.space.frames import Array, Frame, axis_of, dot, square_to
from model.space.joints import joint_frames
from model.space.rails import Line

if TYPE_CHECKING:
    from model.space.places import Places

TURN = "turn"


def post_rail(places: Places, post: Post, kind: Kind) -> Line:
    """Return a post's rail from its end A: at the rug, or at the axis of the bar it stands on.

    ``highest`` is where the inner tube ends, along the axis, mm from A. The post's own turn moves
    neither: the rail does not rest on it.
    """
    root = places.root(post)
    outer = _last(joint_frames(places, post, _upright(kind, kind.inner_after), root))
    axis = outer.out(axis_of(kind.stem)) if kind.stem else outer.z
    highest: Array | None = None
    if kind.inner_after is not None:
        inner = joint_frames(places, post, _upright(kind, None), root)[kind.inner_after]
        highest = dot(inner.at - outer.at, axis)
    return Line(outer.at, axis, post.length, highest=highest)


def post_zero(places: Places, post: Post, axis: Array) -> Array:
    """Return where a zero spin points on a post (B, 3): along its turn, made square to its axis.

    A post that stands on a bar has its zero toward the bar's end B.
    """
    frames = places.frames(post)
    named = frames.get(TURN, _last(dict(frames)))
    along = abs(float(dot(named.y, axis)[0]))
    if np.isfinite(along) and along > 1.0 - 1e-9:
        return square_to(named.z, axis)
    return square_to(named.y, axis)


def _last(frames: dict[str, Frame]) -> Frame:
    return list(frames.values())[-1]


def _upright(kind: Kind, without: str | None) -> Kind:
    """Return the kind without a joint, and without a turn about the tube that moves none of it."""
    joints = [joint for joint in kind.joints if joint.id != without]
    turn = kind.by_joint.get(TURN)
    if turn is not None and turn in joints and _is_idle(turn, joints) and not kind.stem:
        before = turn.after or _before(turn, joints)
        joints = [_moved(joint, before) for joint in joints if joint is not turn]
    return kind.model_copy(update={"joints": tuple(joints)})


def _before(joint: Joint, joints: list[Joint]) -> str | None:
    place = joints.index(joint)
    return joints[place - 1].id if place else None


def _moved(joint: Joint, before: str | None) -> Joint:
    return joint.model_copy(update={"after": before}) if joint.after == TURN else joint


def _is_idle(turn: Joint, joints: list[Joint]) -> bool:
    """Tell whether a turn is about z, and all that follows it slides along z."""
    if not _along_z(turn):
        return False
    place = joints.index(turn)
    after = [j for j in joints if j.after == TURN]
    after += [j for j in joints[place + 1 : place + 2] if j.after is None]
    return all(j.slides is not None and _along_z(j) and not any(j.before[:2]) for j in after)


def _along_z(joint: Joint) -> bool:
    axis = joint.slides if joint.slides is not None else joint.turns
    if axis is None or axis in ("rail", "chord", "leg"):
        return False
    return bool(abs(axis_of(axis)[0, 2]) > 1.0 - 1e-12)
