"""Which bars must be let go: those whose two ends are to stand otherwise to each other."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

import numpy as np

from model.rig.part import Bar, Post
from model.space.frames import Array, Frame, Z, axes_from, cross, settled, square_to
from model.space.joint_values import swing_angle
from model.space.memo import Unplaced
from model.space.places import Places
from model.space.posts import post_zero

if TYPE_CHECKING:
    from model.compare.putback.basis import Basis
    from model.compare.putback.fastenings import Loop

SAME_MM = 1e-6
SAME_WAY = 1e-9


def strained(
    basis: Basis, goal: Places, opened: Collection[str], keys: Collection[str]
) -> frozenset[str]:
    """Return the fastenings that have to be opened so that every bar can follow to the goal.

    A bar in two clamps holds them as they stand to each other: it is let go, at both, where one of
    them is loosened, its own grips are set, or its posts move against each other. A brace lets its
    clamp turn only when that is loose.
    """
    found: set[str] = set()
    for loop in basis.fastenings.loops:
        clamps = _held_by(basis, loop)
        if any(id_ in opened for id_ in clamps) or _moves_apart(basis, goal, loop, keys):
            found |= clamps
    for part in basis.rig.parts:
        if isinstance(part, Bar) and len(part.on) == 1 and _follows_otherwise(basis, goal, part):
            held = basis.fastenings.of_clamp(part.on[0])
            if held is not None:
                found.add(held.id)
    return frozenset(found)


def _held_by(basis: Basis, loop: Loop) -> frozenset[str]:
    """Return the fastenings of a loop: its clamps on their tubes, and their jaws."""
    found = {
        held.id for clamp in loop.clamps if (held := basis.fastenings.of_clamp(clamp)) is not None
    }
    by_key = basis.fastenings.by_key
    return frozenset(
        found | {held.id for key, held in by_key.items() if key.startswith(f"{loop.bar}.")}
    )


def _moves_apart(basis: Basis, goal: Places, loop: Loop, keys: Collection[str]) -> bool:
    try:
        before = _stand_to_each_other(basis.places_now, loop)
    except (Unplaced, KeyError):
        before = None
    try:
        after = _stand_to_each_other(goal, loop)
    except Unplaced:
        after = None
    if before is None or after is None:
        return bool(_carried_by(basis, loop) & set(keys))
    apart = np.abs(before.at - after.at).max(), np.abs(before.axes - after.axes).max()
    return bool(apart[0] > SAME_MM or apart[1] > SAME_WAY)


def _carried_by(basis: Basis, loop: Loop) -> set[str]:
    """Return the settings of all that a loop's clamps are on, down to the floor."""
    below: set[str] = set()
    waiting = list(loop.clamps)
    while waiting:
        part = basis.rig.by_id.get(waiting.pop())
        if part is not None and part.id not in below:
            below.add(part.id)
            waiting += part.on
    return {key for key, held in basis.rig.declared.items() if held.owner in below}


def _stand_to_each_other(places: Places, loop: Loop) -> Frame | None:
    """Return the second clamp's rail as it stands seen from the first's; None where not known."""
    one, other = (_on_rail(places, clamp) for clamp in loop.clamps)
    if not settled(one.at, one.axes, other.at, other.axes):
        return None
    turned = np.swapaxes(one.axes, -1, -2)
    between = (turned @ (other.at - one.at)[..., None])[..., 0]
    return Frame(between[:1], (turned @ other.axes)[:1])


def _on_rail(places: Places, clamp_id: str) -> Frame:
    clamp = places.page.by_id[clamp_id]
    if not places.is_clamped(clamp):
        return places.outlet(clamp_id, None)
    at, tangent = places.clamp_on_rail(clamp_id)
    carrier = places.carrier(clamp)
    zero = post_zero(places, carrier, tangent) if isinstance(carrier, Post) else _up(tangent)
    return Frame(at, axes_from(cross(zero, tangent), zero, tangent))


def _up(tangent: Array) -> Array:
    return square_to(Z, tangent)


def _follows_otherwise(basis: Basis, goal: Places, bar: Bar) -> bool:
    """Tell whether a bar whose slope follows is to slope otherwise."""
    key = f"{bar.id}.slope"
    if key not in basis.rig.declared or key not in basis.own_now.declared:
        return False
    if basis.rig.setting(key).state != "follows":
        return False
    try:
        before, after = (swing_angle(at, key) for at in (basis.places_now, goal))
    except (Unplaced, KeyError):
        return False
    return settled(before, after) and bool(abs(before[0] - after[0]) > SAME_WAY)
