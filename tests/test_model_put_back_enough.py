"""The few moves that are enough: every piece within its tolerance, and none could be left out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from model.book.book import read_book
from model.book.page_file import open_page
from model.compare.putback.answer import PutBack, Remains
from model.compare.putback.asked import Asked
from model.compare.putback.basis import basis_of
from model.compare.putback.enough import enough_put_back
from model.compare.putback.goal import goal_of
from model.compare.putback.make import Choices, put_back
from model.compare.putback.pages import choices_of
from model.compare.putback.remains import remains

SAMPLES = Path(__file__).parents[1] / "sample_rigs"
PAIRS = [
    ("harbour-dance", "2026-03-21-after-fill-in", "2026-03-08-soundcheck"),
    ("harbour-dance", "2026-03-26-soundcheck", "2026-03-08-soundcheck"),
    ("pit-percussion", "2026-04-21-soundcheck", "2026-04-15-soundcheck"),
]


def asked_for(book: str, now: str, home: str) -> tuple[Asked, Choices]:
    folder = SAMPLES / book
    pages = [open_page(folder / f"{name}.toml").page for name in (now, home)]
    return Asked(pages[0], pages[1], (now, home)), choices_of(read_book(folder).book)


def set_by(answer: PutBack) -> set[str]:
    return {line.tick for line in answer.lines if line.task == "set"}


@pytest.mark.parametrize(("book", "now", "home"), PAIRS)
def test_every_piece_is_as_near_as_its_tolerance_or_as_the_whole_list_brings_it(
    book: str, now: str, home: str
) -> None:
    asked, choices = asked_for(book, now, home)
    whole, enough = put_back(asked, choices), enough_put_back(asked, choices)
    at_best = {held.piece: held for held in whole.remains}
    for held in enough.remains:
        best = at_best[held.piece]
        if held.reached == "not home":
            assert best.reached in ("not home", "not told"), held.name
        assert (held.distance is None) == (best.distance is None)
    assert enough.loosenings < whole.loosenings
    assert enough.minutes < whole.minutes
    assert set_by(enough) <= set_by(whole)
    assert enough.left_out


@pytest.mark.parametrize(("book", "now", "home"), PAIRS[:1])
def test_none_of_its_steps_could_be_left_out_too(book: str, now: str, home: str) -> None:
    asked, choices = asked_for(book, now, home)
    enough = enough_put_back(asked, choices)
    basis, moved = basis_of(asked), set_by(enough)
    needed = 0
    for step in enough.steps:
        own = {line.tick for line in step.lines if line.task == "set"}
        if len(step.loosen) != 1 or not own:
            continue
        without = {
            held.piece: held for held in remains(goal_of(basis, moved - own), choices.tolerances)
        }
        worse = [
            held.name
            for held in enough.remains
            if held.reached != "not home" and without[held.piece].reached == "not home"
        ]
        counted = {held.piece for held in enough.remains if held.reached == "no tolerance"}
        moves = any(
            abs((without[piece].distance or 0.0) - (then.distance or 0.0)) > 1e-6
            for then in enough.remains
            for piece in [then.piece]
            if piece in counted
        )
        assert worse or moves or not _moves_a_surface(enough, without), step.title
        needed += bool(worse)
    assert needed > 5


def _moves_a_surface(enough: PutBack, without: Mapping[str, Remains]) -> bool:
    return any(without[held.piece].by != held.by for held in enough.remains if held.by is not None)


def test_what_moves_no_known_surface_stays_on_the_list() -> None:
    asked, choices = asked_for(*PAIRS[0])
    lines = {line.tick for line in enough_put_back(asked, choices).lines}
    assert {"snare.turn", "snare.dial.wires", "throne.dial.lock"} <= lines
