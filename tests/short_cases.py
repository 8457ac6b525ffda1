"""Put-backs for the short changeover, and what any selection of their joints comes to, worked out
from the positions of a whole page: nothing of the program's own search is used."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from model.compare.putback.acts import Act, acts_of
from model.compare.putback.asked import Asked
from model.compare.putback.basis import Basis, basis_of
from model.compare.putback.dials import dials_to_set
from model.compare.putback.goal import Goal, goal_of
from model.compare.putback.lines import Lines
from model.compare.putback.make import Choices, kinds_of_move
from model.compare.putback.minutes import Kind
from model.rig.page import Page
from model.rig.part import Dial
from model.rig.setting import Setting
from model.space.as_read import joint_settings
from model.space.positions import Positions
from tests.random_rigs import random_rig
from tests.rigs_small import disc, mount, post, small_page, standing

NAMES = ("after", "home")
LEFT = 0.05
SCALES: Mapping[str, tuple[float, float]] = {
    "throne": (5.0, 3.0),
    "snare": (5.0, 3.0),
    "pedal": (5.0, 3.0),
    "tom": (10.0, 2.0),
}


@dataclass
class Case:
    """One put-back: what each selection of its joints takes and leaves off."""

    asked: Asked
    choices: Choices = field(default_factory=Choices)

    @cached_property
    def basis(self) -> Basis:
        return basis_of(self.asked)

    @cached_property
    def dials(self) -> tuple[str, ...]:
        return dials_to_set(self.asked)

    @cached_property
    def acts(self) -> tuple[Act, ...]:
        return acts_of(goal_of(self.basis), self.dials, self.choices.walk)

    @cached_property
    def units(self) -> list[frozenset[str]]:
        """What one screw holds of what moved, and each dial."""
        held = [
            self.basis.moved.intersection(fastening.keys) for fastening in self.basis.fastenings.all
        ]
        return [keys for keys in held if keys] + [frozenset({dial}) for dial in self.dials]

    @cached_property
    def home(self) -> Positions:
        return self.basis.home

    @cached_property
    def counted(self) -> frozenset[str]:
        start = Positions(self.basis.own_goal(()))
        return frozenset(start.pieces.keys() & self.home.pieces.keys())

    def came(self, wished: frozenset[str]) -> tuple[float, float]:
        """Return the minutes that a selection of joints and dials takes, and what it leaves off."""
        goal = goal_of(self.basis, wished.difference(self.dials))
        return self.minutes(goal, wished.intersection(self.dials)), self.off(goal, wished)

    def minutes(self, goal: Goal, dials: frozenset[str]) -> float:
        made = Lines(goal)
        kinds: list[Kind] = []
        for act in acts_of(goal, [dial for dial in self.dials if dial in dials]):
            lines = tuple(made.of_act(act))
            kinds += kinds_of_move(act, lines) if lines else ()
        return self.choices.minutes.of(kinds)

    def off(self, goal: Goal, wished: frozenset[str]) -> float:
        away = Positions(goal.page).pieces
        told = []
        for key in sorted(self.counted):
            one, other = self.home.pieces[key].first, away[key].first
            gap = float(np.linalg.norm(other.at[0] - one.at[0]))
            told.append(self.weighed(key, gap, turned(one.z[0], other.z[0])))
        left = (self.basis.moved | set(self.dials)) - goal.keys - wished
        return math.fsum(told) + LEFT * len(left)

    def weighed(self, piece: str, distance: float, tilt: float) -> float:
        """Return what a piece's distance, mm, and tilt, degrees, count together."""
        role = (self.home.pieces[piece].piece.role or "").lower()
        held = {t.id: t for t in self.choices.tolerances}.get(role)
        mm, deg = next((SCALES[word] for word in role.split() if word in SCALES), (20.0, 3.0))
        counts = 1.0
        if held is not None:
            mm, deg, counts = held.mm or mm, held.deg or deg, held.counts
        return counts * math.sqrt((distance / mm) ** 2 + (tilt / deg) ** 2)

    def every(self) -> list[tuple[float, float]]:
        """Return what every selection there is comes to."""
        units = self.units
        sets = (
            picked
            for size in range(len(units) + 1)
            for picked in itertools.combinations(units, size)
        )
        return [self.came(frozenset().union(*picked)) for picked in sets]

    def root_to_tip(self, limit: float) -> float:
        """Return what is off after working through the whole list until the time is up."""
        off = self.came(frozenset())[1]
        done: frozenset[str] = frozenset()
        for act in self.acts:
            done |= {*self.basis.moved.intersection(act.keys), *act.dials}
            minutes, then = self.came(done)
            if minutes > limit + 1e-9:
                break
            off = then
        return off


def turned(one: Sequence[float], other: Sequence[float]) -> float:
    """Return how far two normals' tilts ahead and right are apart, degrees."""
    ahead = [math.degrees(math.atan2(n[1], n[2])) for n in (one, other)]
    right = [math.degrees(math.asin(max(-1.0, min(1.0, n[0])))) for n in (one, other)]
    gaps = [(b - a + 180.0) % 360.0 - 180.0 for a, b in (ahead, right)]
    return math.hypot(*gaps)


def random_cases(seeds: range, most: int, least: int = 2) -> Iterator[tuple[int, Case]]:
    """Yield random rigs that a fill-in moved, of ``least`` to ``most`` moves, without faults."""
    for seed in seeds:
        rng = random.Random(seed)
        home = read_throughout(random_rig(rng))
        now = filled_in(home, rng, most)
        if Positions(home).faults() or Positions(now).faults():
            continue
        case = Case(Asked(now, home, NAMES, everything=True))
        if least <= len(case.units) <= most:
            yield seed, case


def read_throughout(page: Page) -> Page:
    """Return the page with everything that has a value read, so that nothing is only carried."""
    read = {
        key: Setting.model_validate({**dict(held), "state": "read", "page": None})
        for key, held in page.record
        if held.state in ("carried", "seen")
    }
    return page.with_settings(read)


def filled_in(page: Page, rng: random.Random, most: int) -> Page:
    """Return the page with some joints read elsewhere: a little, or much."""
    keys = [key for key in joint_settings(page) if isinstance(page.setting(key).value, int | float)]
    moved = {}
    far = rng.choice((4.0, 15.0, 40.0))
    for key in rng.sample(keys, min(len(keys), rng.randint(2, most))):
        held = page.setting(key)
        if isinstance(held.value, int):
            value: float = held.value + rng.choice((-1, 1))
        else:
            value = round(float(held.value or 0.0) + rng.uniform(-far, far), 1)
        moved[key] = Setting.model_validate({**dict(held), "value": value})
    return page.with_settings(moved)


def read(page: Page, values: dict[str, float | int]) -> Page:
    """Return the page with other readings."""
    settings = {
        key: Setting.model_validate({**dict(page.setting(key)), "value": value})
        for key, value in values.items()
    }
    return page.with_settings(settings)


def two_booms(dials: Sequence[Dial] = ()) -> Page:
    """Return two posts with a boom each: a ride on the right one, a crash on the left one."""
    booms = {
        f"boom-{side}.{name}": value
        for side in ("l", "r")
        for name, value in (
            ("place", 900.0), ("spin", 0.0), ("tilt", 0), ("reach", 300.0), ("lean", 0.0),
        )
    }  # fmt: skip
    return small_page(
        post("post-l"),
        post("post-r"),
        mount("boom-l", "boom-on-clamp", "post-l"),
        mount("boom-r", "boom-on-clamp", "post-r"),
        disc("crash", "boom-l", role="crash", dials=tuple(dials)),
        disc("ride", "boom-r", role="ride"),
        values={
            **standing("post-l", -600.0, 500.0),
            **standing("post-r", 600.0, 500.0),
            **booms,
        },
    )
