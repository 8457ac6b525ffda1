"""The conventions' golden places of bars, through whole pages and the answer that is printed.

The figures were computed by an independent program (common practice, no source); they hold to
their last printed digit.
"""

from __future__ import annotations

import math

import pytest

from model.rig.part import Bar, Curve, Mount, Post
from tests.rigs_small import (
    Place,
    answer_of,
    arm,
    bar,
    centre_of,
    changed_kind,
    mount,
    piece,
    post,
    small_page,
)

HUNDREDTH = 0.00501
THOUSANDTH = 0.000501


def near(found: Place | None, wanted: Place, within: float = HUNDREDTH) -> None:
    assert found is not None
    assert found == pytest.approx(wanted, abs=within)


def two_posts(
    first: tuple[float, float], second: tuple[float, float], heights: tuple[float, float]
) -> dict[str, float]:
    """Return the values of two posts with a clamp on each."""
    return {
        "post-1.x": first[0],
        "post-1.y": first[1],
        "post-1.turn": 0.0,
        "post-2.x": second[0],
        "post-2.y": second[1],
        "post-2.turn": 0.0,
        "clamp-1.height": heights[0],
        "clamp-2.height": heights[1],
    }


def posts_and_clamps(kind: str) -> tuple[Post, Post, Mount, Mount]:
    return (
        post("post-1", length=1100.0),
        post("post-2", length=1100.0),
        mount("clamp-1", kind, "post-1"),
        mount("clamp-2", kind, "post-2"),
    )


def straight(length: float, *side: str) -> Bar:
    return bar("bar", "bar-in-two-clamps", "clamp-1", "clamp-2", length=length, side=side)


def test_a_jaw_on_a_rising_bar() -> None:
    # The clamps are 1000 apart along y and 100 in height: the tangent is (0, 1, 0.1).
    page = small_page(
        *posts_and_clamps("cross-clamp"),
        straight(1200.0),
        mount("arm", "arm-1000", "bar"),
        piece("pad", "arm"),
        kinds=[arm("arm-1000", 1000.0)],
        values={
            **two_posts((0.0, 0.0), (0.0, 1000.0), (800.0, 900.0)),
            "bar.grip_a": 50.0,
            "bar.grip_b": 50.0 + math.hypot(1000.0, 100.0),
            "arm.place": 600.0,
            "arm.spin": 35.0,
        },
    )
    clamp, pad = answer_of(page).clamps["arm"], centre_of(page, "pad")
    outward = tuple((p - c) / 1000.0 for p, c in zip(pad, clamp, strict=True))
    assert outward == pytest.approx((-0.574, -0.082, 0.815), abs=THOUSANDTH)


def test_a_bar_to_the_right_of_two_posts() -> None:
    apart = math.hypot(1000.0, 50.0)
    page = small_page(
        *posts_and_clamps("side-clamp"),
        straight(1200.0, "right", "right"),
        mount("at-1", "bar-to-bar-clamp", "bar"),
        mount("at-2", "bar-to-bar-clamp", "bar"),
        values={
            **two_posts((0.0, 0.0), (0.0, 1000.0), (800.0, 850.0)),
            "bar.grip_a": 60.0,
            "bar.grip_b": 60.0 + apart,
            "at-1.place": 60.0,
            "at-2.place": 60.0 + apart,
        },
    )
    answer = answer_of(page)
    near(answer.clamps["at-1"], (45.0, 0.0, 800.0), 1e-6)
    near(answer.clamps["at-2"], (45.0, 1000.0, 850.0), 1e-6)
    near(answer.bars["bar"].a, (45.0, -59.925, 797.004), THOUSANDTH)
    assert answer.bars["bar"].closure == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("sides", "turn"), [(("left", "right"), 5.74), (("right", "left"), -5.74)])
def test_a_bar_on_opposite_sides_of_two_posts(sides: tuple[str, str], turn: float) -> None:
    page = small_page(
        *posts_and_clamps("wide-clamp"),
        straight(1100.0, *sides),
        kinds=[changed_kind("side-clamp", "wide-clamp", standoff=50.0)],
        values={
            **two_posts((0.0, 0.0), (0.0, 1000.0), (800.0, 800.0)),
            "bar.grip_a": 50.0,
            "bar.grip_b": 1050.0,
        },
    )
    found = answer_of(page).bars["bar"]
    assert found.b is not None
    assert found.closure == pytest.approx(994.99 - 1000.0, abs=HUNDREDTH)
    across, along = found.b[0] - found.a[0], found.b[1] - found.a[1]
    assert math.degrees(math.atan2(across, along)) == pytest.approx(turn, abs=HUNDREDTH)


CURVE = Curve(chord=1000.0, sagitta=100.0)
# R = c²/8s + s/2 = 1250 + 50; half the arc is R·asin(500/1300).
HALF_ARC = 1300.0 * math.asin(500.0 / 1300.0)


def test_a_curved_bar_in_two_grips() -> None:
    page = small_page(
        *posts_and_clamps("cross-clamp"),
        bar("bar", "curved-bar-in-two-clamps", "clamp-1", "clamp-2", curve=CURVE),
        mount("middle", "bar-to-bar-clamp", "bar"),
        values={
            **two_posts((-500.0, 200.0), (-350.0, 1040.0), (800.0, 830.0)),
            "bar.grip_a": 60.0,
            "bar.grip_b": 930.0,
            "bar.bow": 30.0,
            "middle.place": HALF_ARC,
        },
    )
    answer = answer_of(page)
    assert answer.faults == ()
    near(answer.clamps["middle"], (-360.66, 625.73, 851.61))
    near(answer.bars["bar"].a, (-527.72, 148.25, 787.53))
    assert answer.bars["bar"].closure == pytest.approx(-0.04, abs=HUNDREDTH)


@pytest.mark.parametrize(
    ("bow", "to_b"), [(0.0, (771.90, 253.97, 0.0)), (10.0, (771.90, 250.12, -44.10))]
)
def test_a_curved_bar_in_one_grip(bow: float, to_b: Place) -> None:
    # The clamp's spin is 0, straight ahead: r, and so the bar at its grip, is d(90).
    page = small_page(
        post("post"),
        mount("clamp", "cross-clamp", "post"),
        bar("bar", "curved-bar-in-one-clamp", "clamp", curve=CURVE),
        values={
            "post.x": 0.0,
            "post.y": 0.0,
            "post.turn": 0.0,
            "clamp.height": 800.0,
            "clamp.spin": 0.0,
            "bar.grip": 200.0,
            "bar.slope": 0.0,
            "bar.bow": bow,
        },
    )
    found = answer_of(page).bars["bar"]
    assert found.b is not None
    near((found.b[0], found.b[1], found.b[2] - 800.0), to_b)
    if bow == 0.0:
        near((found.a[0], found.a[1], found.a[2] - 800.0), (-199.21, 15.35, 0.0))
