"""Which way a level's reading leans, in words: a level itself shows no sign."""

from __future__ import annotations

from model.compare.putback.words import EDGES, toward
from model.rig.part import Bar, Piece
from model.space.angles import level_hand
from model.space.frames import Array, axis_of, settled
from model.space.joint_values import part_and_joint
from model.space.memo import Unplaced
from model.space.places import Places

SHOWN = 0.05
"""Degrees: what a level shows as nothing leans no way."""
FLAT = 1e-6


def lean_words(places: Places, key: str, shown: float, player: Array) -> str:
    """Say which way a joint leans that shows so many degrees by a level; nothing where level.

    A jaw is told by where its top is and whether that is past plumb, a surface by the edge that is
    down, a tube by where its top leans. ``player`` (3,) is the player's point, mm.
    """
    if abs(shown) < SHOWN:
        return ""
    plus = places.page.declared[key].plus
    if plus.endswith(" rises"):
        return f"{plus.removesuffix(' rises')} {'high' if shown > 0.0 else 'low'}"
    try:
        _, joint = part_and_joint(places, key)
        if joint is not None and joint.turns == "rail":
            return _jaw(places, key, shown, player)
        return _edge(places, key, shown, player)
    except Unplaced:
        return ""


def flatter_or_steeper(start: float, to: float, turned: float | None) -> str:
    """Say how a level's reading changes where nobody can tell which way that is in the room."""
    size = abs(to - start if turned is None else turned)
    if size < SHOWN:
        return ""
    if start * to < 0.0:
        return f"{size:.1f}° through level, the other side down"
    return f"{size:.1f}° {'flatter' if abs(to) < abs(start) else 'steeper'}, the same side down"


def _jaw(places: Places, key: str, shown: float, player: Array) -> str:
    part, _ = part_and_joint(places, key)
    if isinstance(part, Bar) or not places.is_clamped(part):
        return ""
    frame = places.clamp(part)
    if not _is_level(frame.y) or abs(float(frame.z[0, 2])) > 1.0 - FLAT:
        return ""
    words = f"top {toward(frame.y[0], frame.at[0], player)}"
    if abs(shown) > 90.0:
        words += f", {180.0 - abs(shown):.1f}° on a level, past plumb"
    return words


def _edge(places: Places, key: str, shown: float, player: Array) -> str:
    part, joint = part_and_joint(places, key)
    if joint is None or joint.axis is None or isinstance(part, Bar):
        return ""
    frame = places.frames(part)[joint.id]
    hand = frame.out(level_hand(joint, axis_of(joint.axis)))
    if not _is_level(hand):
        return ""
    down = hand[0] * (-1.0 if shown > 0.0 else 1.0)
    way = toward(down, frame.at[0], player)
    if not any(isinstance(held, Piece) and held.on[0] == part.id for held in places.page.parts):
        return f"top {way}"
    return f"{' and '.join(EDGES[word] for word in way.split(' and '))} edge down"


def _is_level(way: Array) -> bool:
    """Tell whether a way, (1, 3), has a level part that one can point along."""
    return settled(way) and float(way[0, 0] ** 2 + way[0, 1] ** 2) > FLAT
