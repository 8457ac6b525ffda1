"""An angle as it was read, made the joint's own: against gravity, the riser, the zero line."""

from __future__ import annotations

import numpy as np

from model.rig.kind import Joint
from model.space.frames import Array, Frame, X, Y, Z, axis_of, cross, dot, scaled, stacked, unit


def gravity_up(slope_ahead: Array, slope_right: Array) -> Array:
    """Return gravity's up (B, 3) in the room's frame.

    The slopes are what a level shows laid along the zero line and across it, in radians, + where
    the riser rises ahead and to the player's right.
    """
    right, ahead = np.sin(slope_right), np.sin(slope_ahead)
    return stacked(right, ahead, np.sqrt(1.0 - right * right - ahead * ahead))


def level_hand(joint: Joint, axis: Array) -> Array:
    """Return what a level lies along, in the frame after the joint: it reads + with that end up.

    The kind may say; else it is the direction that the joint raises toward z (toward y for a turn
    about z).
    """
    if joint.level is not None:
        return axis_of(joint.level)
    up = Y if abs(axis[0, 2]) > 1.0 - 1e-12 else Z
    return unit(cross(up, axis))


def seen_hand(axis: Array) -> Array:
    """Return what is sighted along from above: outward, or to the right where that is the axis."""
    return X if abs(axis[0, 1]) > 1.0 - 1e-12 else Y


def turn_to_rise(
    frame: Frame, axis: Array, hand: Array, up: Array, rise: Array, *, alike: bool = False
) -> Array:
    """Return the turn (B,), in radians, after which ``hand``·``up`` is ``rise``.

    Of the two that do, the smaller; NaN where both are as small, or none does: the axis is too
    steep, or there is no such rise. ``alike`` takes the same of the two for the whole batch, whose
    rows are one place nudged.
    """
    about = frame.out(axis)
    begin = frame.out(hand)
    along = scaled(about, dot(about, begin))
    square = begin - along
    a, b = dot(square, up), dot(cross(about, square), up)
    with np.errstate(invalid="ignore", divide="ignore"):
        away = np.arccos((rise - dot(along, up)) / np.hypot(a, b))
    middle = np.arctan2(b, a)
    one, other = half_turn(middle + away), half_turn(middle - away)
    apart = np.abs(other) - np.abs(one)
    if alike:
        return one if apart[0] > 0.0 else other
    undecided = (np.abs(apart) < 1e-6) & (np.abs(one - other) > 1e-6)
    return np.where(undecided, np.nan, np.where(apart > 0.0, one, other))


def turn_to_heading(frame: Frame, axis: Array, hand: Array, turn: Array) -> Array:
    """Return the turn (B,), in radians, after which ``hand`` points along ``turn`` from above.

    NaN where no turn brings it there.
    """
    about = frame.out(axis)
    begin = frame.out(hand)
    along = scaled(about, dot(about, begin))
    square = begin - along
    aside = cross(about, square)
    way = stacked(np.sin(turn), np.cos(turn))
    off = stacked(np.cos(turn), -np.sin(turn))

    def flat(v: Array, w: Array) -> Array:
        product: Array = v[..., 0] * w[..., 0] + v[..., 1] * w[..., 1]
        return product

    a, b, c = (flat(v, off) for v in (square, aside, along))
    with np.errstate(invalid="ignore", divide="ignore"):
        away = np.arccos(-c / np.hypot(a, b))
    middle = np.arctan2(b, a)
    found = np.full(np.broadcast_shapes(away.shape, turn.shape), np.nan)
    least = np.full_like(found, np.inf)
    for angle in (half_turn(middle + away), half_turn(middle - away)):
        cos, sin = np.cos(angle)[..., None], np.sin(angle)[..., None]
        ahead = flat(along + cos * square + sin * aside, way) > 0.0
        better = ahead & (np.abs(angle) < least)
        found, least = np.where(better, angle, found), np.where(better, np.abs(angle), least)
    return found


def half_turn(angle: Array) -> Array:
    """Return an angle as one of more than minus half a turn, up to half a turn, radians."""
    return np.pi - (np.pi - angle) % (2.0 * np.pi)
