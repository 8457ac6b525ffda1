"""Joints by their own values: what they were read from, what they hang on, what home carries."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from model.book.heads import list_book
from model.book.page_file import open_page
from model.compare.joints import JointDifference, joint_differences
from model.compare.settings import compare_setting
from model.compare.whole import whole_comparison
from model.rig.kind import Joint, Outlet
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.places import Places
from tests.rigs_small import disc, kind_of, mount, post, small_page, standing
from tests.sizes import examples

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
NAMES = ("first", "second")


def joints(
    before: Page, after: Page, names: tuple[str, str] = NAMES, *, wanted: bool = False
) -> dict[str, JointDifference]:
    return joint_differences((Places(before), Places(after)), names, wanted=wanted)


def two_clamps(low: float, high: float, **fields: object) -> Page:
    """Return a post with a low clamp and one above it, told as ``fields`` say."""
    slide = kind_of("slide", Joint(id="place", slides="rail"), outlets=[Outlet(id="tip")], body=40)
    return small_page(
        post("post", length=1000.0),
        mount("low", "slide", "post"),
        mount("high", "slide", "post", **fields),
        disc("pad", "high"),
        kinds=[slide],
        values={**standing("post", 0.0, 0.0), "low.place": low, "high.place": high},
    )


def test_a_place_from_another_clamp_is_not_blamed_for_that_clamps_slip() -> None:
    """The low clamp slipped by 30 mm; the one above it is read from it and stayed."""
    found = joints(
        two_clamps(400.0, 300.0, measured_from="low"), two_clamps(370.0, 330.0, measured_from="low")
    )
    assert found["low.place"].difference == -30.0
    high = found["high.place"]
    assert (high.before, high.after, high.verdict, high.converted) == (700.0, 700.0, "same", True)
    # Its own two readings and those of the low clamp: u = √(4·1²).
    assert high.u == pytest.approx(2.0, abs=1e-6)


@pytest.mark.parametrize(
    ("how", "value"),
    [
        ({"measured_from": "B"}, 295.0),
        ({"edge": "far"}, 725.0),
        ({"measured_from": "low"}, 305.0),
        ({"measured_from": "B", "edge": "near"}, 315.0),
    ],
)
def test_a_place_told_from_elsewhere_is_the_same_place(
    how: dict[str, object], value: float
) -> None:
    before, after = two_clamps(400.0, 700.0), two_clamps(400.0, value, **how)
    answer = whole_comparison((before, after), NAMES)
    found = next(s for s in answer.settings if s.setting == "high.place")
    assert (found.own_before, found.own_after) == (700.0, 705.0)
    assert (found.difference, found.converted, found.verdict) == (5.0, True, "moved")
    as_read = compare_setting("high.place", after.declared["high.place"], before, after)
    assert as_read.verdict == "not comparable"


def test_a_reading_keeps_its_own_sign() -> None:
    """From end B a place grows as the clamp goes down: what was read tells the difference."""
    before, after = (two_clamps(400.0, value, measured_from="B") for value in (300.0, 310.0))
    answer = whole_comparison((before, after), NAMES)
    found = next(s for s in answer.settings if s.setting == "high.place")
    assert (found.before.value, found.after.value, found.difference) == (300.0, 310.0, 10.0)
    assert (found.own_before, found.own_after, found.converted) == (700.0, 690.0, False)


def test_what_hangs_elsewhere_keeps_its_reach_and_has_another_place() -> None:
    arm = kind_of(
        "arm",
        Joint(id="place", slides="rail"),
        Joint(id="spin", turns="rail"),
        Joint(id="reach", slides="y"),
        outlets=[Outlet(id="tip")],
    )

    def page(on: str, reach: float) -> Page:
        return small_page(
            post("left"),
            post("right"),
            mount("arm", "arm", on),
            disc("pad", "arm"),
            kinds=[arm],
            values={
                **standing("left", 0.0, 0.0),
                **standing("right", 900.0, 0.0),
                "arm.place": 500.0,
                "arm.spin": 0.0,
                "arm.reach": reach,
            },
        )

    found = joints(page("left", 100.0), page("right", 120.0))
    assert found["arm.reach"].verdict == "moved"
    for name in ("arm.place", "arm.spin"):
        assert found[name].why == "it is another joint, or hangs elsewhere"


def test_what_home_carries_is_wanted_and_what_tonight_carries_is_not_tonights() -> None:
    home, tonight = two_clamps(400.0, 700.0), two_clamps(400.0, 720.0)
    key = "high.place"
    told = {**dict(home.setting(key)), "state": "carried", "page": "older"}
    home = home.with_setting(key, Setting.model_validate(told))
    declared = tonight.declared[key]
    for found in (joints(home, tonight)[key], compare_setting(key, declared, home, tonight)):
        assert (found.verdict, found.why) == ("not comparable", "carried on the first")
    wanted = joints(home, tonight, wanted=True)[key]
    as_read = compare_setting(key, declared, home, tonight, wanted=True)
    assert wanted.verdict == as_read.verdict == "moved"
    assert wanted.difference == as_read.difference == 20.0
    assert joints(tonight, home, wanted=True)[key].why == "carried on the second"


@pytest.mark.parametrize("book", ["harbour-dance", "pit-percussion", "fly-rack"])
def test_what_is_not_worked_out_is_judged_as_it_was_read(book: str) -> None:
    listed = list_book(SAMPLES / book).pages
    for one, two in list(pairwise(listed))[:: examples(3, 1)]:
        before, after = open_page(one.path).page, open_page(two.path).page
        for key, found in joints(before, after, (one.name, two.name)).items():
            read = compare_setting(key, after.declared[key], before, after)
            if found.converted or "not comparable" in (found.verdict, read.verdict):
                continue
            assert (found.verdict, found.difference, found.u) == (
                read.verdict,
                read.difference,
                read.u,
            ), (two.name, key)


def test_no_tiny_number_is_called_a_move() -> None:
    """What stands at the same marks differs by nothing, not by the rounding of its conversion."""
    book = SAMPLES / "harbour-dance"
    listed = list_book(book).pages
    for one, two in list(pairwise(listed))[:: examples(4, 1)]:
        pages = open_page(one.path).page, open_page(two.path).page
        for found in whole_comparison(pages, (one.name, two.name)).settings:
            if found.verdict == "moved" and found.quantity == "angle":
                assert found.difference is not None
                assert abs(found.difference) > 0.1, (two.name, found.setting)
