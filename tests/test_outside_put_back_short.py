"""The short changeover against exhaustive search: every selection of up to twelve moves.

The outside source is the search itself: each selection is set on a page of its own, its minutes are
counted off the steps of its list and its pieces measured against home, in ``tests/short_cases.py``.
"""

from __future__ import annotations

import itertools
import random
from pathlib import Path

import pytest

from model.book.book import Tolerance, read_book
from model.book.page_file import open_page
from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.make import Choices
from model.compare.putback.minutes import Minutes
from model.compare.putback.short import short_put_back
from tests.short_cases import NAMES, Case, random_cases, read, two_booms
from tests.sizes import examples

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
NEAR = 0.05
SHARES = (0.12, 0.3, 0.55, 0.8, 1.0)
HARBOUR = ("2026-03-21-after-fill-in", "2026-03-08-soundcheck")
OWN = Minutes(loosen=0.7, place=0.25, slide=0.35, turn=0.6, tooth=0.15, dial=0.3, guess=False)


def measured(case: Case, answer: PutBack) -> float:
    """Return how far off the answer itself says that the pieces remain, and what it leaves out."""
    off = [
        case.weighed(held.piece, held.distance or 0.0, held.tilt or 0.0)
        for held in answer.remains
        if held.piece in case.counted
    ]
    return sum(off) + 0.05 * sum(len(held.settings) for held in answer.left_out)


def check(case: Case) -> None:
    """Hold the answer for several times against the best of all selections."""
    every = case.every()
    longest = case.came(case.basis.moved | set(case.dials))[0]
    for share in SHARES:
        limit = round(longest * share, 3)
        answer = short_put_back(case.asked, case.choices, limit)
        best = min(off for minutes, off in every if minutes <= limit + 1e-9)
        off = answer.off_after
        assert off is not None
        assert answer.minutes <= limit + 0.005
        assert off == pytest.approx(measured(case, answer), abs=1e-4)
        assert best - 1e-5 <= off <= best * (1.0 + NEAR) + 1e-5
        assert off == pytest.approx(best, abs=1e-5)  # and not only within 5 %
        assert off <= case.root_to_tip(limit) + 1e-5


@pytest.mark.parametrize("first", range(0, examples(15, 150), 5))
def test_no_selection_of_a_random_fill_in_is_nearer_home(first: int) -> None:
    tried = 0
    for seed, case in random_cases(range(first, first + 5), 6):
        if seed % 2:
            case.choices = own_choices(case, random.Random(f"counts {seed}"))
        check(case)
        tried += 1
    assert tried


def own_choices(case: Case, rng: random.Random) -> Choices:
    """Return a book's own tolerances, roles that count more than others, and minutes."""
    roles = {(held.piece.role or "").lower() for held in case.home.pieces.values()} - {""}
    told = tuple(
        Tolerance(id=role, mm=rng.choice((3.0, 8.0, 30.0)), counts=rng.choice((1.0, 4.0)))
        for role in sorted(roles)
    )
    return Choices(tolerances=told, minutes=OWN)


@pytest.mark.parametrize("seed", range(examples(1, 6)))
def test_no_selection_of_ten_moves_of_two_booms_is_nearer_home(seed: int) -> None:
    rng = random.Random(seed)
    home = two_booms()
    now: dict[str, float | int] = {}
    for key, setting in home.record:
        if isinstance(setting.value, int):
            now[key] = rng.choice((-1, 1))
        elif isinstance(setting.value, float) and not key.endswith(".turn"):
            now[key] = round(setting.value + rng.uniform(-25.0, 25.0), 1)
    case = Case(Asked(read(home, now), home, NAMES, everything=True))
    assert len(case.units) == 10
    check(case)


@pytest.mark.long
@pytest.mark.parametrize("first", range(1000, 1060, 10))
def test_no_selection_of_up_to_twelve_moves_is_nearer_home(first: int) -> None:
    found = itertools.islice(random_cases(range(first, first + 60), 12, 8), 2)
    cases = [case for _, case in found]
    assert cases
    for case in cases:
        check(case)


def pages(rig: str, now: str, home: str) -> Case:
    folder = SAMPLES / rig
    found, wanted = (open_page(folder / f"{name}.toml").page for name in (now, home))
    book = read_book(folder).book
    return Case(Asked(found, wanted, NAMES), Choices(walk=book.walk, tolerances=book.tolerances))


@pytest.mark.parametrize("limit", [4.0, 40.0])
def test_a_large_rig_is_never_farther_off_than_from_root_to_tip(limit: float) -> None:
    case = pages("harbour-dance", *HARBOUR)
    answer = short_put_back(case.asked, case.choices, limit)
    assert answer.off_after is not None
    assert answer.minutes <= limit + 0.005
    assert answer.off_after == pytest.approx(measured(case, answer), abs=1e-3)
    assert answer.off_after <= case.root_to_tip(limit) + 1e-5


@pytest.mark.parametrize(
    ("rig", "now", "home"),
    [
        ("harbour-dance", "2026-03-07-after-show", "2026-03-08-soundcheck"),
        ("pit-percussion", "2026-04-16-after-show", "2026-04-15-soundcheck"),
        ("fly-rack", "2026-05-10-soundcheck", "2026-05-09-soundcheck"),
    ],
)
@pytest.mark.parametrize("limit", [1.5, 6.0])
def test_other_nights_are_never_farther_off_than_from_root_to_tip(
    rig: str, now: str, home: str, limit: float
) -> None:
    case = pages(rig, now, home)
    answer = short_put_back(case.asked, case.choices, limit)
    assert answer.off_after is not None
    assert answer.off_after <= case.root_to_tip(limit) + 1e-5
    assert answer.off_after == pytest.approx(measured(case, answer), abs=1e-3)
