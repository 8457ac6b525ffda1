"""The parts of the short changeover: frontiers, scales by role, and what a book says of both."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.book.book import Tolerance, parse_book
from model.compare.putback.minutes import minutes_of
from model.compare.putback.short_frontier import NOTHING, Frontier, added, best_of
from model.compare.putback.short_off import scale_of
from tests.rigs_small import piece

sums = st.lists(
    st.tuples(st.integers(0, 40).map(lambda n: n / 10), st.integers(0, 50).map(float)),
    min_size=1,
    max_size=6,
)


def one(choice: int, option: int, minutes: float, off: float) -> Frontier:
    return Frontier(np.array([minutes]), np.array([off]), lambda _: ((choice, option),))


@given(st.lists(sums, min_size=1, max_size=4), st.integers(0, 100).map(lambda n: n / 10))
def test_frontiers_lose_no_selection_that_is_worth_it(
    choices: list[list[tuple[float, float]]], limit: float
) -> None:
    found = NOTHING
    for number, options in enumerate(choices):
        several = [one(number, option, *held) for option, held in enumerate(options)]
        found = added(found, best_of(several, limit), limit)
    every = [
        (sum(m for m, _ in picked), sum(off for _, off in picked))
        for picked in itertools.product(*choices)
    ]
    fits = [off for minutes, off in every if minutes <= limit + 1e-9]
    assert bool(len(found.off)) == bool(fits)
    for n in range(len(found.off)):
        picked = [choices[choice][option] for choice, option in found.pick(n)]
        assert len(picked) == len(choices)
        assert sum(m for m, _ in picked) == pytest.approx(found.minutes[n])
        assert sum(off for _, off in picked) == pytest.approx(found.off[n])
        assert found.off[n] == min(o for m, o in every if m <= found.minutes[n] + 1e-9)
    if fits:
        assert found.off[-1] == min(fits)


@pytest.mark.parametrize(
    ("role", "mm", "deg"),
    [("Throne", 5.0, 3.0), ("hat pedal", 5.0, 3.0), ("floor tom", 10.0, 2.0), (None, 20.0, 3.0)],
)
def test_a_role_without_tolerance_counts_by_its_sort(
    role: str | None, mm: float, deg: float
) -> None:
    scale = scale_of(piece("a", role=role), ())
    assert (scale.mm, scale.deg, scale.counts, scale.own) == (mm, deg, 1.0, False)
    told = scale_of(piece("a", role=role), (Tolerance(id=role or "a", mm=0.0, counts=3.0),))
    assert told.deg == deg
    assert told.mm == (0.1 if role else mm)


def test_a_book_says_its_minutes_and_what_roles_count() -> None:
    text = 'title = "Tour"\n[minutes]\nloosen = 1\ndial = 0.2\n[tolerance.snare]\ncounts = 2\n'
    book, problems = parse_book(text, "book.toml")
    assert book is not None
    assert problems == ()
    assert book.tolerances[0].counts == 2.0
    minutes = minutes_of(book.minutes)
    assert (minutes.loosen, minutes.dial, minutes.place, minutes.guess) == (1.0, 0.2, 0.5, True)
    every = "".join(
        f"{kind} = 1.0\n" for kind in type(book.minutes).model_fields if kind != "extra"
    )
    full, _ = parse_book(f'title = "Tour"\n[minutes]\n{every}', "book.toml")
    assert full is not None
    assert not minutes_of(full.minutes).guess


@pytest.mark.parametrize(
    "line",
    ['loosen = "1"', "slide = -0.1", "turn = nan", "tooth = true", "dial = 601", "hang = inf"],
)
def test_minutes_that_are_none_refuse_the_book(line: str) -> None:
    book, problems = parse_book(f'title = "Tour"\n[minutes]\n{line}\n', "book.toml")
    assert book is None
    assert [(p.key, p.line) for p in problems] == [(f"minutes.{line.split()[0]}", 3)]
    assert "0 to 600" in problems[0].what
    assert problems[0].right.startswith(line.split()[0])


def test_a_move_of_no_known_kind_is_flagged_and_kept() -> None:
    book, problems = parse_book('title = "Tour"\n[minutes]\nlosen = 1.0\n', "book.toml")
    assert book is not None
    assert book.minutes.extra == (("losen", "1.0"),)
    assert [p.grave for p in problems] == [False]


def test_a_role_cannot_count_less_than_nothing() -> None:
    book, problems = parse_book('title = "Tour"\n[tolerance.snare]\ncounts = -1\n', "book.toml")
    assert book is None
    assert problems[0].key == "tolerance.snare.counts"
