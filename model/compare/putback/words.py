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
"""What is less far ahead of the player's point than this, mm, is not told by away and toward."""
BOTH = 0.55
"""A direction that is so much of one way as it is of the other is told by both."""

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


FINE = 0.1
"""Degrees: what an instrument no surer than this reads is told to a tenth, and no finer."""


def fine(degrees: float, u: float | None) -> float:
    """Return an angle as finely as an instrument of that standard uncertainty can tell it."""
    return degrees if u is None or u < FINE else round(degrees, 1) + 0.0


@dataclass(frozen=True, slots=True)
class Motion:
    """How one joint is to be moved: ``by`` in mm, degrees or teeth of its own.

    ``on_rail`` slides along the tube that it is clamped to, ``on_bar`` is a bar's own grip: there
    the bar slides, not the clamp. ``tilts_surface`` tilts what is played. ``along`` (3,) is the way
    it goes as its value grows, or what it turns about right-handed, ``at`` (3,) where it is and
    ``player`` (3,) the player's point, mm in the room. ``tips`` is where a toothed arm points
    before and after, (3,) each. ``shown`` is how far an instrument sees it turn, degrees.
    """

    declared: Declared
    by: float
    turns: bool
    on_rail: bool
    on_bar: bool
    tilts_surface: bool
    along: Array
    at: Array
    player: Array
    tips: tuple[Array, Array] | None = None
    shown: float | None = None


def way_of(motion: Motion) -> tuple[str, str]:
    """Say which way, and what helps to see it; a turn's way holds its size, a slide's does not."""
    if motion.declared.quantity == "teeth":
        return _teeth(motion), ""
    if motion.turns:
        size = abs(motion.by if motion.shown is None else motion.shown)
        return f"{_turn_size(size)} {_turn_words(motion)}", ""
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


EDGES = {
    "to the player's right": "right",
    "to the player's left": "left",
    "away from the player": "far",
    "toward the player": "near",
    "ahead": "front",
    "back": "rear",
}
"""The edge of a surface that goes down when its top goes so."""


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
    way = toward(top, motion.at, motion.player)
    if motion.tilts_surface:
        return f"{' and '.join(EDGES[word] for word in way.split(' and '))} edge down"
    return f"top {way}"


def _slide_way(motion: Motion) -> tuple[str, str]:
    way = motion.along * (1.0 if motion.by >= 0.0 else -1.0)
    if motion.on_bar:
        return "slide the bar", toward(-way, motion.at, motion.player)
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
    """Say where a level direction (3,) points: to the player's right or left, away or toward.

    Where it points about as much aside as away, both are said. Ahead and back stand for away and
    toward beside the player and behind, or where no player is given (NaN).
    """
    aside = "to the player's right" if way[0] > 0.0 else "to the player's left"
    is_ahead = bool(np.isfinite(at[1] - player[1])) and at[1] - player[1] > AT_THE_PLAYER
    if is_ahead:
        along = "away from the player" if way[1] > 0.0 else "toward the player"
    else:
        along = "ahead" if way[1] > 0.0 else "back"
    sizes = abs(float(way[0])), abs(float(way[1]))
    if min(sizes) >= BOTH * max(sizes):
        return f"{along} and {aside}"
    return aside if sizes[0] > sizes[1] else along
