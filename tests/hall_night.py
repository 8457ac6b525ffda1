"""A whole case: a home, a fill-in in the hall, both read, the list printed, and carried out."""

from __future__ import annotations

import math
import random
from collections.abc import Collection
from dataclasses import dataclass

from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.make import Choices, put_back
from model.compare.putback.text import put_back_lines
from model.readings.angles import turn_between
from model.readings.quantity import LengthUnit
from model.rig.page import Page
from model.rig.part import Bar
from model.rig.setting import OPEN, Setting
from model.space.positions import Positions
from tests.hall import Hall
from tests.hall_bars import bulge_spin, riding
from tests.hall_home import FillIn, fill_in, home_of, plain_of, read_on, sample, tells_all
from tests.hall_noise import Noise
from tests.hall_screws import loops_of
from tests.hall_technician import Technician
from tests.hall_text import ToldList, read_list
from tests.second_page import Second, second

SLOPES = ("floor.slope_ahead", "floor.slope_right")
NAMES = ("now", "home")


@dataclass
class Night:
    """One case: how it is at home in truth, the hall after the fill-in, and both pages as read."""

    truth: Page
    home: Page
    hall: Hall
    done: FillIn
    now: Page
    noise: Noise | None = None

    def answer(self) -> PutBack:
        answer: PutBack = put_back(Asked(self.now, self.home, NAMES), Choices())
        return answer

    def told(self, answer: PutBack, unit: LengthUnit = "mm") -> ToldList:
        """Return the printed list, read again by who knows only its words."""
        return read_list(put_back_lines(answer, self.now, unit), self.now)

    def carry_out(self, told: ToldList, *, rounding: float = 0.0) -> Technician:
        """Let a technician do all of it in the hall."""
        technician = Technician(self.hall, self.now, self.noise, rounding)
        technician.carry_out(told)
        return technician


def exact_night(
    name: str, rng: random.Random, most: int, *, unknown: bool = False, slopes: bool = False
) -> Night | None:
    """Return a case with exact readings; None where a level's reading means two turns.

    With ``unknown`` home does not know what the sample page leaves open (and the fill-in leaves it
    as it was); with ``slopes`` tonight's riser is another.
    """
    home = home_of(name, rng)
    truth = plain_of(home)
    left: set[str] = set()
    if unknown:
        left = {key for key in _open(name) if home.setting(key).state == "read"} - _on_curves(home)
        home = home.with_settings(dict.fromkeys(left, OPEN))
    tonight = truth
    if slopes:
        tonight = truth.with_settings(
            {
                key: Setting(state="read", value=round(rng.uniform(-3.0, 3.0), 1), using="level")
                for key in SLOPES
            }
        )
    like = home_like(home, truth, left)
    hall = Hall(tonight, like, rng)
    done = fill_in(hall, rng, most, left)
    now = read_on(hall.page, like)
    now = now.with_settings({key: hall.page.setting(key) for key in SLOPES})
    if not tells_all(hall, now):
        return None
    return Night(truth, home, hall, done, now)


def home_like(home: Page, truth: Page, left: Collection[str]) -> Page:
    """Return a page that is measured like home, with what home leaves open read too."""
    settings = {}
    for key in left:
        using = home.declared[key].usually
        held = truth.setting(key)
        settings[key] = Setting.model_validate({**dict(held), "using": using, "read_from": None})
    return home.with_settings(settings)


def _on_curves(page: Page) -> set[str]:
    """Return the spins of what is clamped on a curved bar: they go with the bar's bow."""
    bars = [part for part in page.parts if isinstance(part, Bar) and part.curve is not None]
    return {key for bar in bars for key in riding(page, bar.id)}


def _open(name: str) -> list[str]:
    page = sample(name)
    return [key for key in page.declared if page.setting(key).state == "open"]


def noisy_night(name: str, rng: random.Random, most: int) -> Night | None:
    """Return a case in which every reading errs as its instrument does, on both nights; None where
    a level's reading means two turns."""
    exact = home_of(name, rng, sure=True)
    truth, noise = plain_of(exact), Noise(rng)
    hall = Hall(truth, exact, rng)
    home = noise.on(exact)
    done = fill_in(hall, rng, most)
    read = read_on(hall.page, exact)
    if not tells_all(hall, read):
        return None
    now = noise.on(read)
    return Night(truth, home, hall, done, now, noise)


Off = tuple[float, float, float, float, float]


def off_home(night: Night) -> dict[str, Off]:
    """Return how far each piece of the hall is from home in truth: right, ahead, up in mm, and
    tilted ahead and right in degrees; by the second computation of places."""
    one, other = second(night.truth), second(night.hall.page)
    assert one.surfaces.keys() == other.surfaces.keys()
    return {id_: _apart(one, other, id_) for id_ in one.surfaces}


def _apart(one: Second, other: Second, id_: str) -> Off:
    right, ahead, up = (float(v) for v in other.surfaces[id_][0] - one.surfaces[id_][0])
    was, now = one.leans[id_], other.leans[id_]
    return right, ahead, up, turn_between(was.ahead, now.ahead), turn_between(was.right, now.right)


def farthest(off: dict[str, Off]) -> tuple[float, float]:
    """Return the farthest that any piece is from home: mm, and degrees."""
    return (
        max(math.hypot(*by[:3]) for by in off.values()),
        max(math.hypot(*by[3:]) for by in off.values()),
    )


def reach_of(truth: Page, keys: Collection[str], by: float) -> dict[str, tuple[float, float]]:
    """Return how far lengths that are each off by ``by`` mm can bring each piece: mm, degrees.

    The sum over the lengths, each moved by itself on the home page; a bar's two grips share the
    rest there as in the hall.
    """
    still, home = second(truth), Positions(truth)
    found = dict.fromkeys(still.surfaces, (0.0, 0.0))
    for key in keys:
        value = truth.setting(key).value
        assert isinstance(value, float)
        page = truth.with_setting(key, truth.setting(key).model_copy(update={"value": value + by}))
        # A clamp on a curved bar is set by its level there, or rides on the tube as it comes out.
        ways = second(page), second(_ridden(page, home))
        for id_, (mm, deg) in found.items():
            gaps = [farthest({id_: _apart(still, way, id_)}) for way in ways]
            at, tilt = (max(gap[which] for gap in gaps) for which in (0, 1))
            found[id_] = mm + at, deg + tilt  # tilts, as they are held against it
    return found


def _ridden(page: Page, home: Positions) -> Page:
    """Return the page with what is clamped to curved bars where it was on their tubes at home."""
    at = Positions(page)
    for part in page.parts:
        if not isinstance(part, Bar) or part.curve is None:
            continue
        for key in riding(page, part.id):
            held = page.setting(key)
            if isinstance(held.value, float):
                value = held.value + bulge_spin(at, key) - bulge_spin(home, key)
                page = page.with_setting(key, held.model_copy(update={"value": value}))
    return page


def is_in_a_loop(night: Night) -> bool:
    """Tell whether the fill-in let a bar in two clamps go."""
    clamps = {f"{clamp}.clamp" for loop in loops_of(night.truth) for clamp in loop.clamps}
    return bool(clamps & set(night.done.screws))
