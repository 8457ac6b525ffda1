"""Bars of the hall: loops that slide as they must, what rides on a curve, braces on the floor."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass, field

import numpy as np

from model.rig.page import Page
from model.rig.part import Bar, Post
from model.space.bars import own_curve
from model.space.frames import Array, Z, cross, dot, square_to
from model.space.joint_values import swing_angle
from model.space.positions import Positions
from model.space.posts import post_zero
from model.space.rails import Arc, Line
from tests.hall_screws import Loop, is_clamped, kind_of

END = 1.0
"""How near to a bar's end a clamp can grip it, mm."""


@dataclass
class Loops:
    """The loops of a rig, and where the grips of a loose one were asked to be."""

    all: tuple[Loop, ...]
    asked: dict[str, dict[str, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.by_bar = {loop.bar: loop for loop in self.all}

    def is_free(self, loop: Loop, loose: Collection[str]) -> bool:
        """Tell a loop of which both clamps are loose: one tight clamp holds all of it."""
        return all(f"{clamp}.clamp" in loose for clamp in loop.clamps)

    def begin(self, loose: Collection[str], page: Page) -> None:
        """Note where the bars that came loose are gripped; forget those that are tight."""
        for loop in self.all:
            if not self.is_free(loop, loose):
                self.asked.pop(loop.bar, None)
            elif loop.bar not in self.asked:
                self.asked[loop.bar] = {key: _number(page, key) for key in loop.grips}

    def ask(self, key: str, value: float) -> bool:
        """Ask for a grip of a loose loop; False where it is none."""
        held = self.asked.get(key.partition(".")[0], {})
        if key in held:
            held[key] = value
        return key in held

    def shared(self, at: Positions, loose: Collection[str]) -> dict[str, float]:
        """Return the grips of the loose bars: as near as can be to what is asked, half the rest
        each, and on the bar."""
        found: dict[str, float] = {}
        for loop in self.all:
            if self.is_free(loop, loose):
                now = [_number(at.page, key) for key in loop.grips]
                new = _half_each(at, loop, self.asked[loop.bar])
                if max(abs(a - b) for a, b in zip(now, new, strict=True)) > 1e-11:
                    found.update(zip(loop.grips, new, strict=True))
        return found

    def shapes(self, at: Positions) -> dict[str, Array]:
        """Return what a tight loop cannot change: each bar against both of its posts."""
        return {loop.bar: _shape(at, loop) for loop in self.all}


def _number(page: Page, key: str) -> float:
    value = page.setting(key).value
    assert isinstance(value, float), key
    return value


def _half_each(at: Positions, loop: Loop, asked: dict[str, float]) -> list[float]:
    bar = at.page.by_id[loop.bar]
    assert isinstance(bar, Bar)
    now = [_number(at.page, key) for key in loop.grips]
    hung, curve = at.places.hung(bar), own_curve(bar)
    assert hung.closure is not None
    between = now[1] - now[0]
    if curve is None:
        apart = between + float(hung.closure[0])
    else:
        chord = float(curve.chord(np.array([between]))[0]) + float(hung.closure[0])
        apart = 2.0 * curve.radius * math.asin(chord / (2.0 * curve.radius))
    middle = sum(asked.values()) / 2.0
    length = curve.length if curve else bar.length
    if length is not None:
        least, most = apart / 2.0 + END, length - END - apart / 2.0
        middle = min(max(middle, least), most)
    return [middle - apart / 2.0, middle + apart / 2.0]


def _shape(at: Positions, loop: Loop) -> Array:
    """Return a bar's points at its grips and its way there, in each post's own frame, and bow."""
    places, bar = at.places, at.page.by_id[loop.bar]
    assert isinstance(bar, Bar)
    rail = places.hung(bar).rail
    found: list[Array] = []
    for post_id, grip, height in zip(loop.posts, loop.grips, loop.heights, strict=True):
        post = at.page.by_id[post_id]
        assert isinstance(post, Post)
        line = places.rail(post)
        assert isinstance(line, Line)
        ahead = post_zero(places, post, line.along)
        axes = (ahead, cross(ahead, line.along), line.along)
        place = np.array([_number(at.page, grip)])
        off, way = rail.at(place) - line.start, rail.tangent(place)
        found += [dot(off, axis) for axis in axes] + [1000.0 * dot(way, axis) for axis in axes]
        found += [place, np.array([_number(at.page, height)])]
        if isinstance(rail, Arc):
            bulge = rail.at(place) - rail.centre
            found += [dot(bulge, axis) for axis in axes]
    return np.concatenate(found)


def riding(page: Page, bar: str) -> list[str]:
    """Return the spins of what is clamped on a bar."""
    return [
        f"{part.id}.{joint.id}"
        for part in page.parts
        if part.on[0] == bar and is_clamped(page, part)
        for joint in kind_of(page, part).joints
        if joint.turns == "rail"
    ]


@dataclass(frozen=True, slots=True)
class Ridden:
    """What is clamped on a curved bar: how it stands against the bulge, which nothing hides."""

    key: str
    bar: Bar
    rail: Arc
    against: float

    def spin_now(self, at: Positions) -> float | None:
        """Return its spin where the bar is now; None where the bar did not move."""
        rail = at.places.hung(self.bar).rail
        if rail is self.rail:
            return None
        assert isinstance(rail, Arc)
        return self.against + _bulge_angle(at, self.key, rail)


def bow_angles(at: Positions) -> list[Ridden]:
    """Return how everything stands that is clamped on a curved bar."""
    found = []
    for bar in at.page.parts:
        if isinstance(bar, Bar) and bar.curve is not None:
            rail = at.places.hung(bar).rail
            assert isinstance(rail, Arc)
            for key in riding(at.page, bar.id):
                against = _number(at.page, key) - _bulge_angle(at, key, rail)
                found.append(Ridden(key, bar, rail, against))
    return found


def bulge_spin(at: Positions, key: str) -> float:
    """Return the spin of a clamp on a curved bar that would point it along the bulge, degrees."""
    bar = at.page.by_id[at.page.by_id[key.partition(".")[0]].on[0]]
    assert isinstance(bar, Bar)
    rail = at.places.hung(bar).rail
    assert isinstance(rail, Arc)
    return _bulge_angle(at, key, rail)


def _bulge_angle(at: Positions, key: str, rail: Arc) -> float:
    """Return the spin, in degrees from the zero by what is up, that points along the bulge."""
    place = at.places.clamp_place(at.page.by_id[key.partition(".")[0]])
    way, out = rail.tangent(place), rail.at(place) - rail.centre
    zero = square_to(Z, way)
    about = -way
    return math.degrees(math.atan2(dot(cross(zero, out), about)[0], dot(zero, out)[0]))


def slopes_of_braces(at: Positions) -> dict[str, float]:
    """Return the slope in its clamp of every bar that stands on the floor, degrees."""
    return {
        f"{bar.id}.{joint.id}": math.degrees(
            float(swing_angle(at.places, f"{bar.id}.{joint.id}")[0])
        )
        for bar in at.page.parts
        if isinstance(bar, Bar)
        for joint in kind_of(at.page, bar).joints
        if joint.follows
    }
