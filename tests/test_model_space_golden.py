"""The conventions' golden places, through whole pages and the answer that is printed.

The figures were computed by an independent program (common practice, no source); they hold to
their last printed digit.
"""

from __future__ import annotations

import math

import pytest

from tests.rigs_small import (
    Place,
    answer_of,
    arm,
    centre_of,
    disc,
    mount,
    normal_of,
    piece,
    post,
    small_page,
)

HUNDREDTH = 0.00501
THOUSANDTH = 0.000501


def near(found: Place | None, wanted: Place, within: float = HUNDREDTH) -> None:
    assert found is not None
    assert found == pytest.approx(wanted, abs=within)


def test_an_outlet_on_a_turned_post() -> None:
    page = small_page(
        post("post"),
        mount("arm", "arm-245", "post", edge="far"),
        piece("pad", "arm"),
        kinds=[arm("arm-245", 245.0, body=40.0)],
        values={
            "post.x": -600.0,
            "post.y": 900.0,
            "post.turn": 15.0,
            "arm.place": 812.0,
            "arm.spin": 90.0,
        },
    )
    near(centre_of(page, "pad"), (-363.35, 836.59, 792.0))


def leaning_disc(turn: float, tilt: float) -> dict[str, float]:
    return {
        "stand.x": 300.0,
        "stand.y": 500.0,
        "stand.height": 900.0,
        "stand.turn": turn,
        "stand.tilt": tilt,
    }


def test_near_and_far_edge() -> None:
    # The stand's top is 25 above its bolt; the disc's middle is put back down to the bolt. Turned
    # to 20 with its far edge up, the disc is low toward 200.
    page = small_page(
        mount("stand", "floor-stand"),
        disc("ride", "stand", 457.2, offset=(0.0, 0.0, -25.0)),
        values=leaning_disc(20.0, 15.0),
    )
    found = answer_of(page).pieces["ride"]
    near(found.centre, (300.0, 500.0, 900.0), 1e-6)
    assert (found.lean, found.toward) == pytest.approx((15.0, 200.0))
    assert found.near_edge == pytest.approx(841.84, abs=HUNDREDTH)
    assert found.far_edge == pytest.approx(958.16, abs=HUNDREDTH)


@pytest.mark.parametrize("turn", [0.0, 20.0, 135.0, 250.0, -60.0])
def test_a_turn_is_clockwise_from_the_zero_line(turn: float) -> None:
    page = small_page(
        post("post"),
        mount("arm", "arm-1000", "post"),
        piece("pad", "arm"),
        kinds=[arm("arm-1000", 1000.0)],
        values={
            "post.x": 0.0,
            "post.y": 0.0,
            "post.turn": turn,
            "arm.place": 800.0,
            "arm.spin": 0.0,
        },
    )
    t = math.radians(turn)
    near(centre_of(page, "pad"), (1000.0 * math.sin(t), 1000.0 * math.cos(t), 800.0), 1e-6)


@pytest.mark.parametrize(("lean", "toward"), [(5.0, 10.0), (20.0, 130.0), (33.0, 275.0)])
def test_lean_and_toward_make_the_normal(lean: float, toward: float) -> None:
    page = small_page(
        mount("stand", "floor-stand"),
        disc("ride", "stand"),
        values=leaning_disc(toward + 180.0, lean),
    )
    found = answer_of(page).pieces["ride"]
    assert (found.lean, found.toward) == pytest.approx((lean, toward))
    flat, t = math.sin(math.radians(lean)), math.radians(toward)
    wanted = (flat * math.sin(t), flat * math.cos(t), math.cos(math.radians(lean)))
    near(normal_of(page, "ride"), wanted, 1e-8)


@pytest.mark.parametrize(
    ("tilt", "told"), [(0.9, False), (1.1, True), (178.9, True), (179.1, False), (180.0, False)]
)
def test_toward_is_told_neither_near_level_nor_near_upside_down(tilt: float, told: bool) -> None:
    page = small_page(
        mount("stand", "floor-stand"), disc("ride", "stand"), values=leaning_disc(20.0, tilt)
    )
    found = answer_of(page).pieces["ride"]
    assert found.lean == pytest.approx(tilt)
    assert found.toward == (pytest.approx(200.0) if told else None)
