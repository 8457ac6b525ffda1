"""The rail of a post: upright or leaning, on the floor or on a bar, with or without inner tube."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from model.rig.kind import ROOT, Kind
from model.rig.part import Post
from model.space.frames import Array, Frame, axis_of, dot, square_to, unit
from model.space.joints import joint_frames
from model.space.rails import Line

if TYPE_CHECKING:
    from model.space.places import Places


def post_rail(places: Places, post: Post, kind: Kind) -> Line:
    """Return a post's rail: end A at the rug (or at the bar's axis), zero spin along its turn.

    ``highest`` is where the inner tube ends, along the axis, mm from A.
    """
    frames = dict(places.frames(post))
    outer = _without_inner(places, post, kind, frames)
    axis = outer.out(axis_of(kind.stem)) if kind.stem else outer.z
    named = frames.get("turn", outer).y
    zero = _zero(named, outer, axis)
    highest: Array | None = None
    if kind.inner_after is not None:
        highest = dot(frames[kind.inner_after].at - outer.at, axis)
    return Line(outer.at, axis, post.length, zero, highest=highest)


def _without_inner(places: Places, post: Post, kind: Kind, frames: dict[str, Frame]) -> Frame:
    """Return the frame after the last joint that is not the inner tube's own."""
    if kind.inner_after is None or kind.inner_after == ROOT:
        return list(frames.values())[-1]
    shorter = kind.model_copy(
        update={"joints": tuple(j for j in kind.joints if j.id != kind.inner_after)}
    )
    return list(joint_frames(places, post, shorter, frames[ROOT]).values())[-1]


def _zero(named: Array, outer: Frame, axis: Array) -> Array:
    """Return where zero spin points: along the named way, or the frame's z for a post on a bar."""
    along = abs(float(dot(named, axis)[0]))
    if np.isfinite(along) and along > 1.0 - 1e-9:
        return square_to(outer.z, axis)
    return unit(square_to(named, axis))
