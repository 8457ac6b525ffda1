"""Bars between two posts, worked on paper: spin round one, beside, bow.

The working stands beside the numbers. Right angles, 3-4-5 triangles, and 30° and 60° (sin 30 =
1/2, cos 30 = 0.866025) keep them exact. d(t) is the level direction t clockwise from straight
ahead: d(0) = +y, d(90) = +x.
"""

from __future__ import annotations

import pytest

from model.rig.part import Bar, Curve
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
    standing,
)


def at(*wanted: float) -> object:
    return pytest.approx(wanted, abs=1e-5)


def level_bar(side: tuple[str, ...] = ()) -> Bar:
    return bar("bar", "bar-in-two-clamps", "clamp-1", "clamp-2", length=700.0, side=side)


def test_spin_round_a_bar() -> None:
    """A level bar from (0, 0, 800) to (600, 0, 800): A to B is +x, zero spin is +z.

    Seen from B looking to A one looks along -x, up is +z, and +y is on the right hand; so a
    quarter turn clockwise points along +y. The clamp is 300 from A: (300, 0, 800) + 100·(0, 1, 0).
    At 30: 100·(0, sin 30, cos 30) = (0, 50, 86.6025).
    """
    for spin, wanted in (
        (90.0, (300.0, 100.0, 800.0)),
        (30.0, (300.0, 50.0, 886.60254)),
        (-90.0, (300.0, -100.0, 800.0)),
    ):
        page = small_page(
            post("post-1"),
            post("post-2"),
            mount("clamp-1", "cross-clamp", "post-1"),
            mount("clamp-2", "cross-clamp", "post-2"),
            level_bar(),
            mount("arm", "arm", "bar"),
            piece("pad", "arm"),
            kinds=[arm("arm", 100.0)],
            values={
                **standing("post-1", 0.0, 0.0),
                **standing("post-2", 600.0, 0.0),
                "clamp-1.height": 800.0,
                "clamp-2.height": 800.0,
                "bar.grip_a": 0.0,
                "bar.grip_b": 600.0,
                "arm.place": 300.0,
                "arm.spin": spin,
            },
        )
        assert centre_of(page, "pad") == at(*wanted)


@pytest.mark.parametrize(
    ("second", "side", "grips", "end_a", "end_b"),
    [
        # Posts (0, 0) and (400, 300), 500 apart along (.8, .6); right of that is (.6, -.8).
        # 150 to the right: (90, -120) and (490, 180). End A is 100 before: (90 - 80, -120 - 60).
        # End B is 700 on from A: (10 + 560, -180 + 420).
        (
            (400.0, 300.0),
            ("right", "right"),
            (100.0, 600.0),
            (10.0, -180.0, 800.0),
            (570.0, 240.0, 800.0),
        ),
        # Posts (0, 0) and (0, 500), left of the first and right of the second, 150 each: the bar
        # crosses the line of the posts at sin = 300/500, so it runs along (.6, .8), and its
        # grips are 400 apart (3-4-5). Left of (.6, .8) is (-.8, .6): the first grip is (-120, 90),
        # the second (120, 410). End A is 100 before: (-180, 10); B 700 on: (240, 570).
        (
            (0.0, 500.0),
            ("left", "right"),
            (100.0, 500.0),
            (-180.0, 10.0, 800.0),
            (240.0, 570.0, 800.0),
        ),
    ],
)
def test_beside(
    second: tuple[float, float],
    side: tuple[str, str],
    grips: tuple[float, float],
    end_a: Place,
    end_b: Place,
) -> None:
    page = small_page(
        post("post-1"),
        post("post-2"),
        mount("clamp-1", "wide", "post-1"),
        mount("clamp-2", "wide", "post-2"),
        level_bar(side),
        kinds=[changed_kind("side-clamp", "wide", standoff=150.0)],
        values={
            **standing("post-1", 0.0, 0.0),
            **standing("post-2", *second),
            "clamp-1.height": 800.0,
            "clamp-2.height": 800.0,
            "bar.grip_a": grips[0],
            "bar.grip_b": grips[1],
        },
    )
    found = answer_of(page).bars["bar"]
    assert (found.a, found.b) == (at(*end_a), at(*end_b))
    assert found.closure == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("bow", "middle"),
    [
        (0.0, (200.0, 400.0, 700.0)),
        (90.0, (0.0, 400.0, 900.0)),
        (30.0, (173.205081, 400.0, 800.0)),
        (-90.0, (0.0, 400.0, 500.0)),
    ],
)
def test_bow(bow: float, middle: Place) -> None:
    """Chord 800, sagitta 200: R = 800²/1600 + 100 = 500 (300, 400, 500: the centre is 300 off).

    Half the arc is 500 times the angle of sine 4/5, 0.927295218: 463.647609. From (0, 0, 700) to
    (0, 800, 700) right is +x. The middle is 200 from the chord's middle (0, 400, 700): to +x at 0,
    up at 90, and 200·(cos 30, sin 30) = (173.205, 100) between.
    """
    page = small_page(
        post("post-1"),
        post("post-2"),
        mount("clamp-1", "cross-clamp", "post-1"),
        mount("clamp-2", "cross-clamp", "post-2"),
        bar(
            "bar",
            "curved-bar-in-two-clamps",
            "clamp-1",
            "clamp-2",
            curve=Curve(chord=800.0, sagitta=200.0),
        ),
        mount("middle", "bar-to-bar-clamp", "bar"),
        values={
            **standing("post-1", 0.0, 0.0),
            **standing("post-2", 0.0, 800.0),
            "clamp-1.height": 700.0,
            "clamp-2.height": 700.0,
            "bar.grip_a": 0.0,
            "bar.grip_b": 927.295218,
            "bar.bow": bow,
            "middle.place": 463.647609,
        },
    )
    answer = answer_of(page)
    assert answer.clamps["middle"] == at(*middle)
    assert answer.bars["bar"].a == at(0.0, 0.0, 700.0)
    assert answer.bars["bar"].b == at(0.0, 800.0, 700.0)
