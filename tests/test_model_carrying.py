"""What rests on what: every clamp of a bar, what a place is counted from, and no end that loops."""

from __future__ import annotations

import pytest

from model.readings.quantity import Refusal
from model.rig.carrying import pieces_resting, rests_on
from model.rig.naming import find_piece, piece_labels
from model.rig.page import Page
from tests.beginning import source
from tests.shapes import PAGE


def page(**changes: str) -> Page:
    text = PAGE
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    return source(text).page


def test_a_bar_rests_on_both_its_clamps_and_a_piece_on_all_of_it() -> None:
    assert rests_on(page(), "splash") == (
        "post-l", "clamp-l", "post-r", "clamp-r", "bar", "double", "rear-boom", "splash",
    )  # fmt: skip
    assert rests_on(page(), "throne") == ("throne",)
    assert rests_on(page(), "nobody") == ()
    resting = pieces_resting(page())
    assert resting["clamp-r"] == ("ride", "tom-1", "splash")
    assert resting["double"] == ("tom-1", "splash")
    assert resting["ride"] == ("ride",)


def test_a_place_counted_from_a_clamp_rests_on_that_clamp() -> None:
    counted = page(**{'edge = "top"\n\n[part.post-r]': 'edge = "top"\nfrom = "x"\n\n[part.post-r]'})
    assert rests_on(counted, "clamp-l") == ("post-l", "clamp-l")
    text = PAGE.replace('on = "bar"\ncolour', 'on = "bar"\nfrom = "double"\ncolour')
    assert pieces_resting(source(text).page)["double"] == ("ride", "tom-1", "splash")


def test_parts_that_hang_on_each_other_come_to_an_end() -> None:
    looped = PAGE.replace(
        'kind = "double-post"\non = "bar"', 'kind = "double-post"\non = "tom-arm"'
    )
    assert rests_on(source(looped).page, "tom-1") == ("double", "tom-arm", "tom-1")


@pytest.mark.parametrize(
    ("typed", "piece"),
    [
        ("tom-1", "tom-1"),
        ("Tom 1", "tom-1"),
        (" TOM 1 ", "tom-1"),
        ("tom", "tom-1"),
        ("rid", "ride"),
        ("throne", "throne"),
    ],
)
def test_a_piece_is_meant_by_id_role_or_name(typed: str, piece: str) -> None:
    assert find_piece(page(), typed) == piece


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("post-l", "Left post is no piece"),
        ("Ride boom", "Ride boom is no piece"),
        ("zork", "there is no piece 'zork'"),
        ("", "there is no piece ''"),
        ("t", "could be tom-1 or throne"),
    ],
)
def test_what_is_no_piece_is_refused_with_those_there_are(typed: str, why: str) -> None:
    refused = find_piece(page(), typed)
    assert isinstance(refused, Refusal)
    assert why in refused.why
    assert any(word in refused.right for word in (*piece_labels(page()), "tom-1"))
