"""The put-back of random rigs: what is set reaches home, each clamp once, nothing set twice."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator

import pytest

from model.compare.putback.acts import above
from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.basis import basis_of
from model.compare.putback.goal import Goal, goal_of
from model.compare.putback.make import put_back
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.as_read import joint_settings
from model.space.positions import Positions
from tests.program_places import by_program
from tests.random_rigs import random_rig
from tests.sizes import examples
from tests.told_apart import differences

RIGS = examples(60, 2000)
PARTS = 4
NAMES = ("after", "home")


def read_throughout(page: Page) -> Page:
    """Return the page with everything that has a value read, so that nothing is only carried."""
    read = {
        key: Setting.model_validate({**dict(held), "state": "read", "page": None})
        for key, held in page.record
        if held.state in ("carried", "seen")
    }
    return page.with_settings(read)


def disturbed(page: Page, rng: random.Random) -> Page:
    """Return the page with a few joints read elsewhere, near enough that bars still reach."""
    keys = [key for key in joint_settings(page) if isinstance(page.setting(key).value, int | float)]
    moved = {}
    for key in rng.sample(keys, min(len(keys), rng.randint(1, 8))):
        held = page.setting(key)
        if isinstance(held.value, int):
            value: float = held.value + rng.choice((-1, 1))
        else:
            value = round(float(held.value or 0.0) + rng.uniform(-4.0, 4.0), 1)
        moved[key] = Setting.model_validate({**dict(held), "value": value})
    return page.with_settings(moved)


def cases(part: int) -> Iterator[tuple[int, Page, Page]]:
    """Yield seeds with a home and the same rig disturbed, both without faults."""
    for seed in range(part, RIGS, PARTS):
        rng = random.Random(seed)
        home = read_throughout(random_rig(rng))
        now = disturbed(home, rng)
        if not Positions(home).faults() and not Positions(now).faults():
            yield seed, home, now


@pytest.mark.parametrize("part", range(PARTS))
def test_the_list_leads_home_root_to_tip_each_clamp_once(part: int) -> None:
    wrong = []
    for seed, home, now in cases(part):
        asked = Asked(now, home, NAMES, everything=True)
        goal, answer = goal_of(basis_of(asked)), put_back(asked)
        found = [
            *differences(by_program(home), by_program(goal.page)),
            *_twice(answer),
            *_too_late(home, answer),
            *_told_otherwise(answer, goal),
        ]
        wrong += [f"rig {seed}: {what}" for what in found]
    assert not wrong, "\n".join(wrong[:40])


def _twice(answer: PutBack) -> Iterator[str]:
    """Yield what is loosened or set more than once."""
    loosened = [f"{held.part} {held.what}" for step in answer.steps for held in step.loosen]
    told = [*loosened, *(line.tick for line in answer.lines)]
    yield from (f"{what}: twice" for what, number in Counter(told).items() if number > 1)
    if len(loosened) != answer.loosenings:
        yield f"{len(loosened)} loosened, {answer.loosenings} counted"


def _too_late(page: Page, answer: PutBack) -> Iterator[str]:
    """Yield the settings that are set in a later step than what hangs on them."""
    done: set[str] = set()
    for step in answer.steps:
        parts = {line.tick.partition(".")[0] for line in step.lines if line.task != "roll"}
        for part in parts:
            yield from (
                f"{part} after {held}"
                for held in done
                if part in above(page, (held,)) and part != held
            )
        done |= parts


def _told_otherwise(answer: PutBack, goal: Goal) -> Iterator[str]:
    """Yield the lines that tell another value than the goal's instruments show."""
    for line in answer.lines:
        shown = goal.page.setting(line.tick).value if line.task in ("set", "keep") else None
        if isinstance(shown, int | float) and abs(float(line.to or 0.0) - shown) > 1e-5:
            yield f"{line.tick}: told {line.to}, shown {shown}"


def test_a_page_and_its_twin_leave_nothing_to_do() -> None:
    for seed in range(20):
        page = read_throughout(random_rig(random.Random(seed)))
        answer = put_back(Asked(page, page, NAMES, everything=True))
        assert not answer.something, seed
        assert all(held.distance in (0.0, None) for held in answer.remains), seed
