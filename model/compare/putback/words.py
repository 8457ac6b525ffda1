"""Which way a joint is moved, in words that one can follow with the hand on the clamp."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from model.readings.angles import show_angle
from model.rig.declared import Declared
from model.space.frames import Array

STEEP = math.cos(math.radians(20.0))
"""An axis within 20° of upright is called upright: its turn is told as seen from above."""
AT_THE_PLAYER = 150.0
"""What is nearer to the player's point than this, mm, is told by the zero line."""

COUNT = (
    "no", "one", "two", "three", "four", "five", "six",
    "seven", "eight", "nine", "ten", "eleven", "twelve",
)  # fmt: skip
PART_TURNS = {45.0: "an eighth of a turn", 90.0: "a quarter turn", 180.0: "half a turn"}
NEAR_PART = 2.0
"""A turn this near to a part of the whole, in degrees, is called by it."""

OPPOSITES = (
    ("the boom comes out", "the boom goes in"),
    ("the rod comes out", "the rod goes in"),
    ("the arm comes out", "the arm goes in"),
    ("the cymbal end rises", "the cymbal end sinks"),
    ("far end rises", "far end sinks"),
    ("the bulge rises", "the bulge sinks"),
    ("the shell rises", "the shell sinks"),
    ("end B rises", "end B sinks"),
    ("longer", "shorter"),
    ("wider", "narrower"),
    ("thicker", "thinner"),
)
"""What grows with a setting, and what it is called the other way (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Motion:
    """How one joint is to be moved: ``by`` in mm, degrees or teeth of its own.

    ``on_rail`` slides along the tube that it is clamped to, ``on_bar`` is a bar's own grip: there
    the bar slides, not the clamp. ``along`` (3,) is the way it goes as its value grows, or what it
    turns about right-handed, ``at`` (3,) where it is and ``player`` (3,) the player's point, mm in
    the room. ``tips`` is where a toothed arm points before and after, (3,) each.
    """

    declared: Declared
    by: float
    turns: bool
    on_rail: bool
    on_bar: bool
    along: Array
    at: Array
    player: Array
    tips: tuple[Array, Array] | None = None


def way_of(motion: Motion) -> tuple[str, str]:
    """Say which way, and what helps to see it; a turn's way holds its size, a slide's does not."""
    if motion.declared.quantity == "teeth":
        return _teeth(motion), ""
    if motion.turns:
        return f"{_turn_size(abs(motion.by))} {_turn_words(motion)}", ""
    return _slide_way(motion)


def _teeth(motion: Motion) -> str:
    number = round(abs(motion.by))
    count = COUNT[number] if number < len(COUNT) else str(number)
    teeth = f"{count} {'tooth' if number == 1 else 'teeth'}"
    if motion.tips is not None:
        before, after = (abs(float(tip[2])) for tip in motion.tips)
        if abs(before - after) > 1e-3:
            teeth = f"{teeth} {'flatter' if after < before else 'steeper'}"
    return f"{teeth}: {_turn_words(motion)}"


def _turn_words(motion: Motion) -> str:
    return _by_what_grows(motion.declared, motion.by) or _turn_way(motion)


def _turn_size(degrees: float) -> str:
    for whole, words in PART_TURNS.items():
        if abs(degrees - whole) <= NEAR_PART:
            return f"{words} ({_degrees(degrees)})"
    return _degrees(degrees)


def _degrees(degrees: float) -> str:
    return show_angle(degrees) if degrees >= 0.005 else "<.01°"


def _turn_way(motion: Motion) -> str:
    """Say which way a turn goes: seen from above round what stands upright, else by its top."""
    about = motion.along * (1.0 if motion.by >= 0.0 else -1.0)
    if abs(float(about[2])) >= STEEP:
        return f"{'counter' if about[2] > 0.0 else ''}clockwise seen from above"
    top = np.cross(about, np.array([0.0, 0.0, 1.0]))
    return f"top {toward(top, motion.at, motion.player)}"


def _slide_way(motion: Motion) -> tuple[str, str]:
    way = motion.along * (1.0 if motion.by >= 0.0 else -1.0)
    if motion.on_bar:
        return f"slide the bar {toward(-way, motion.at, motion.player)}", ""
    words = _by_what_grows(motion.declared, motion.by)
    if words and not motion.on_rail:
        return words, ""
    if abs(float(way[2])) >= STEEP:
        return ("up" if way[2] > 0.0 else "down"), ""
    if motion.on_rail:
        end = "toward end B" if motion.by >= 0.0 else "toward end A"
        return end, toward(way, motion.at, motion.player)
    return toward(way, motion.at, np.array([np.nan] * 3)), ""


def _by_what_grows(declared: Declared, by: float) -> str:
    for more, less in OPPOSITES:
        if declared.plus == more:
            return more if by >= 0.0 else less
    return ""


def plain_way(declared: Declared, by: float) -> tuple[str, str]:
    """Say which way a leg goes, or a point that two tapes give."""
    if declared.name.startswith("from_"):
        return ("farther from it" if by > 0.0 else "nearer to it"), ""
    return _by_what_grows(declared, by), ""


def toward(way: Array, at: Array, player: Array) -> str:
    """Say where a level direction (3,) points: as seen by the player who looks at it.

    Ahead and right of the zero line where it is at the player, or no player is given (NaN).
    """
    look = (at - player) * np.array([1.0, 1.0, 0.0])
    far = float(np.hypot(look[0], look[1]))
    by_player = math.isfinite(far) and far > AT_THE_PLAYER
    ahead = look / far if by_player else np.array([0.0, 1.0, 0.0])
    right = np.array([ahead[1], -ahead[0], 0.0])
    out, aside = float(way @ ahead), float(way @ right)
    if abs(aside) > abs(out):
        return "to the player's right" if aside > 0.0 else "to the player's left"
    if by_player:
        return "away from the player" if out > 0.0 else "toward the player"
    return "ahead" if out > 0.0 else "back"
