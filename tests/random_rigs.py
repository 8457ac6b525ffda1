"""Random valid rigs, of every generic kind and of kinds of our own, as pages."""

from __future__ import annotations

import itertools
import random

from model.rig.page import Page
from model.rig.part import Bar, Mount
from tests.random_bars import bar_in_one, bar_in_two, brace, clamp_for_one, clamp_for_two
from tests.random_base import Growing, Tube
from tests.random_mounts import bar_post, filled, jaw_on, mounted, on_tube
from tests.random_posts import floor, floor_pieces, posts, stand_alone
from tests.random_readings import opened, readings
from tests.second_places import SecondPlaces
from tests.second_turns import Unknown

STEEP = 0.8
"""Upward part of a tangent from which on nothing is clamped to a bar: its up is badly told."""


def random_rig(rng: random.Random) -> Page:
    """Return a rig that can stand: every reading can be reached, every clamp is on its tube."""
    rig = Growing(rng)
    floor(rig)
    feet = posts(rig)
    _between_posts(rig, feet)
    _by_themselves(rig, [tube for tube in rig.tubes if tube.is_post])
    hosts = floor_pieces(rig)
    _stands(rig)
    for host in hosts:
        if rig.often(0.25):
            mounted(rig, host, None, 1)
    if hosts and rig.often(0.25):
        bar_in_one(rig, jaw_on(rig, rng.choice(hosts)), at_post=False)
    _on_bars(rig)
    free = _level_tubes(rig, rig.places())
    for _ in range(rng.randint(1, 4)):
        on_tube(rig, rng.choice(free))
    readings(rig)
    if rig.often(0.2):
        opened(rig, rng.randint(1, 4))
    return rig.page()


def _between_posts(rig: Growing, feet: list[str]) -> None:
    """Lay bars from post to post."""
    pairs = []
    for pair in itertools.pairwise(feet):
        if rig.often(0.85):
            ends = [rig.rng.choice([t for t in rig.tubes if t.id == post]) for post in pair]
            low = max(ends[0].low, ends[1].low)
            centre = rig.mm(low, max(low, min(ends[0].high, ends[1].high)))
            close = [min(max(centre + rig.mm(-60, 60), tube.low), tube.high) for tube in ends]
            clamps = [clamp_for_two(rig, t, c) for t, c in zip(ends, close, strict=True)]
            pairs.append(clamps if rig.often(0.5) else clamps[::-1])
    if pairs:
        places = rig.places()
        for first, second in pairs:
            bar_in_two(rig, places, first, second)


def _by_themselves(rig: Growing, tubes: list[Tube]) -> None:
    """Put bars in one clamp on posts, and braces."""
    if rig.often(0.6):
        bar_in_one(rig, clamp_for_one(rig, rig.rng.choice(tubes)))
    outer = [tube for tube in tubes if tube.top is None and rig.parts[tube.id].kind != "bar-post"]
    if outer and rig.often(0.35):
        brace(rig, rig.rng.choice(outer))


def _stands(rig: Growing) -> None:
    if rig.often(0.35):
        x, y = rig.one(-1.0, 1.0) * rig.mm(400.0, 800.0), rig.mm(0.0, 500.0)
        filled(rig, stand_alone(rig, "floor-stand", Mount, x, y), depth=1)


def _level_tubes(rig: Growing, places: SecondPlaces) -> list[Tube]:
    """Return the rails that are nowhere steep, or are posts."""
    return [tube for tube in rig.tubes if _is_clear(rig, places, tube)]


def _is_clear(rig: Growing, places: SecondPlaces, tube: Tube) -> bool:
    try:
        rail = places.rail(tube.id)
        tangents = [rail.at(place)[1] for place in (tube.low, tube.high)]
    except Unknown:
        return False
    return tube.is_post or all(abs(float(tangent[2])) < STEEP for tangent in tangents)


def _on_bars(rig: Growing) -> None:
    """Put posts on bars, bars on bars, and bars between them."""
    places = rig.places()
    bars = [t for t in _level_tubes(rig, places) if isinstance(rig.parts[t.id], Bar)]
    if not bars:
        return
    if rig.often(0.4):
        rig.tubes.append(bar_post(rig, rig.rng.choice(bars)))
        if rig.often(0.5):
            _by_themselves(rig, [rig.tubes[-1]])
    if rig.often(0.4):
        bar_in_one(rig, clamp_for_one(rig, rig.rng.choice(bars)), at_post=False)
    others = [tube for tube in rig.tubes if tube.is_post or tube in bars]
    if rig.often(0.5):
        first, second = rig.rng.choice(bars), rig.rng.choice(others)
        if first.id != second.id:
            clamps = clamp_for_two(rig, first), clamp_for_two(rig, second)
            bar_in_two(rig, rig.places(), *clamps)
