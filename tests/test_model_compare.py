"""Comparing pages: what counts as moved, what is within the uncertainty, what is not comparable."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.book.page_file import open_page
from model.book.read import parse_page
from model.compare.answer import compare_pages
from model.compare.settings import compare_setting
from model.compare.structure import structure_differences
from model.readings.quantity import Value
from model.rig.page import Page
from model.rig.setting import FOLLOWS, OPEN, Setting
from tests.sizes import examples
from tests.strategies import pages

NAMES = ("a", "b")


@pytest.fixture(scope="module")
def page(data: Path) -> Page:
    return open_page(data / "page_two_post.toml").page


def read(value: Value, **how: object) -> Setting:
    return Setting.model_validate({"state": "read", "value": value, "using": "tape", **how})


def verdict(page: Page, key: str, before: Setting, after: Setting) -> tuple[str, object, object]:
    a, b = page.with_setting(key, before), page.with_setting(key, after)
    found = compare_setting(key, page.declared[key], a, b)
    return found.verdict, found.difference, found.u


def test_the_same_tape_on_the_same_mark_repeats_better_than_it_measures(page: Page) -> None:
    # u = √(1.0² + 1.0²) with the tape's repeatability; 2u = 2.83 mm.
    assert verdict(page, "bar.grip_a", read(22.0), read(24.8))[0] == "within"
    assert verdict(page, "bar.grip_a", read(22.0), read(24.9))[0] == "moved"
    _, difference, u = verdict(page, "bar.grip_a", read(22.0), read(24.9))
    assert difference == pytest.approx(2.9)
    assert u == pytest.approx(math.sqrt(2))


def test_another_instrument_counts_with_its_whole_uncertainty(page: Page) -> None:
    eye = read(42.0, using="eye")
    assert verdict(page, "bar.grip_a", read(22.0), eye)[0] == "within"
    _, _, u = verdict(page, "bar.grip_a", read(22.0), eye)
    assert u == pytest.approx(math.hypot(1.7, 10.0))


def test_a_reading_of_its_own_uncertainty(page: Page) -> None:
    _, _, u = verdict(page, "bar.grip_a", read(22.0, u=4.0), read(30.0))
    assert u == pytest.approx(math.hypot(4.0, 1.0))


def test_what_is_seen_has_its_own_uncertainty(page: Page) -> None:
    seen = Setting(state="seen", value=22.0, page="before", using="tape")
    found = verdict(page, "bar.grip_a", read(25.4), seen)
    assert found[0] == "within"
    # The reading behind it repeats to 1.0, the look at its mark is 1.0; the other reading is 1.0.
    assert found[2] == pytest.approx(math.sqrt(3))


def test_two_looks_at_one_reading_share_its_error(page: Page) -> None:
    a = Setting(state="seen", value=90.0, page="p1", using="eye")
    b = Setting(state="seen", value=95.0, page="p2", using="eye")
    assert verdict(page, "post-l.turn", a, a) == ("same", 0.0, pytest.approx(math.sqrt(0.5)))
    # Two looks at two readings by eye: 5° each, and the looks on top.
    assert verdict(page, "post-l.turn", a, b)[0] == "within"


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (OPEN, "open on the second"),
        (Setting(state="carried", value=500.0, page="before"), "carried on the second"),
        (FOLLOWS, "follows, unread on the second"),
    ],
)
def test_what_was_not_measured_that_night_is_not_compared(
    page: Page, other: Setting, why: str
) -> None:
    a, b = page.with_setting("bar.grip_a", read(22.0)), page.with_setting("bar.grip_a", other)
    found = compare_setting("bar.grip_a", page.declared["bar.grip_a"], a, b)
    assert (found.verdict, found.why) == ("not comparable", why)


def test_one_tooth_is_beyond_any_doubt(page: Page) -> None:
    teeth = [Setting(state="read", value=n, using="teeth") for n in (3, 4)]
    assert verdict(page, "ride-boom.tilt", *teeth)[:2] == ("moved", 1)


def test_teeth_go_the_short_way_round_too(page: Page) -> None:
    # 24 teeth a turn: 7 and -17 are the same tooth.
    teeth = [Setting(state="read", value=n, using="teeth") for n in (7, -17)]
    assert verdict(page, "ride-boom.tilt", *teeth)[:2] == ("same", 0)


def test_a_place_on_another_rail_is_another_place(data: Path, page: Page) -> None:
    text = (data / "page_two_post.toml").read_text()
    kind = 'kind = "double-post"\non = "bar"'
    assert kind in text
    other = parse_page(text.replace(kind, 'kind = "double-post"\non = "clamp-l"')).page
    assert other is not None
    found = compare_setting("double.place", page.declared["double.place"], page, other)
    assert found.verdict == "not comparable"


def test_a_turn_goes_the_short_way_round(page: Page) -> None:
    a, b = (read(v, using="eye") for v in (175.0, -175.0))
    assert verdict(page, "post-l.turn", a, b)[:2] == ("within", 10.0)


def test_angles_read_from_different_things_are_not_compared(page: Page) -> None:
    a = read(12.0, using="level")  # a level reads gravity
    b = read(20.0, using="level", **{"from": "joint"})
    assert verdict(page, "ride-boom.lean", a, b)[0] == "not comparable"


def test_words_are_the_same_or_changed(page: Page) -> None:
    key = "kick.dial.beater_angle"
    a, b = (Setting(state="read", value=word) for word in ("third notch", "fourth notch"))
    assert verdict(page, key, a, a)[0] == "same"
    assert verdict(page, key, a, b)[0] == "moved"


def test_without_an_instrument_a_difference_is_not_called_sure(page: Page) -> None:
    a, b = read(22.0, using=None), read(23.0, using=None)
    assert verdict(page, "bar.grip_a", a, b)[0] == "unsure"


def test_a_place_measured_from_the_other_end_is_not_compared(data: Path, page: Page) -> None:
    text = (data / "page_two_post.toml").read_text()
    text = text.replace('name = "Ride boom"', 'name = "Ride boom"\nfrom = "B"')
    other = parse_page(text).page
    assert other is not None
    found = compare_setting("ride-boom.place", page.declared["ride-boom.place"], page, other)
    assert found.verdict == "not comparable"


@pytest.mark.parametrize(
    ("old", "new", "change", "field"),
    [
        ('name = "Ride boom"', 'name = "Big boom"', "renamed", "name"),
        ('on = "double"\nat = "left"', 'on = "double"\nat = "right"', "hung elsewhere", "on"),
        ("tube = 36.9", "tube = 38.1", "changed", "tube"),
        ('felt_colour = "red"', 'felt_colour = "blue"', "changed", "felt_colour"),
        ("sagitta = 100.0", "sagitta = 101.0", "changed", "curve"),
    ],
)
def test_structure(data: Path, page: Page, old: str, new: str, change: str, field: str) -> None:
    text = (data / "page_two_post.toml").read_text()
    assert old in text
    other = parse_page(text.replace(old, new, 1)).page
    assert other is not None
    (found,) = structure_differences(page, other)
    assert (found.change, found.field) == (change, field)
    answer = compare_pages(page, other, NAMES)
    assert answer.something


def test_parts_that_came_and_went(data: Path, page: Page) -> None:
    text = (data / "page_two_post.toml").read_text()
    start = text.index("[part.splash]")
    without = text[:start] + text[text.index("[part.kick]") :]
    other = parse_page(without).page
    assert other is not None
    gone = [d for d in structure_differences(page, other) if d.sort == "part"]
    came = [d for d in structure_differences(other, page) if d.sort == "part"]
    assert [(d.change, d.id, d.before) for d in gone] == [("removed", "splash", "Rear splash boom")]
    assert [(d.change, d.id, d.after) for d in came] == [("added", "splash", "Rear splash boom")]


@settings(max_examples=examples(150, 2000))
@given(pages())
def test_a_page_with_itself_differs_in_nothing(some: Page) -> None:
    answer = compare_pages(some, some, NAMES)
    assert not answer.something
    assert answer.counts["moved"] == answer.counts["unsure"] == answer.counts["within"] == 0


@settings(max_examples=examples(100, 1000))
@given(pages(), st.data())
def test_there_and_back_differ_by_the_sign(some: Page, draw: st.DataObject) -> None:
    lengths = [k for k, d in some.declared.items() if d.quantity == "length"]
    key = draw.draw(st.sampled_from(lengths))
    values = draw.draw(st.tuples(*[st.floats(0, 1000).map(lambda v: round(v, 3))] * 2))
    a, b = (some.with_setting(key, Setting(state="read", value=v, u=1.0)) for v in values)
    there = compare_setting(key, some.declared[key], a, b)
    back = compare_setting(key, some.declared[key], b, a)
    assert there.verdict == back.verdict
    assert there.difference is not None
    assert back.difference is not None
    assert there.difference == pytest.approx(-back.difference)
