"""What stands on the floor, worked on paper: three unequal legs, a kick.

The working stands beside the numbers. Right angles, 3-4-5 triangles, and 30° and 60° (sin 30 =
1/2, cos 30 = 0.866025) keep them exact. d(t) is the level direction t clockwise from straight
ahead: d(0) = +y, d(90) = +x.
"""

from __future__ import annotations

import pytest

from model.rig.kind import Joint
from tests.rigs_small import (
    Place,
    centre_of,
    kind_of,
    normal_of,
    piece,
    remade,
    small_page,
    standing,
)


def at(*wanted: float) -> object:
    return pytest.approx(wanted, abs=1e-5)


@pytest.mark.parametrize(
    ("turn", "centre", "normal"),
    [
        (0.0, (1000.0, -180.0, 440.0), (0.0, -0.6, 0.8)),
        (90.0, (820.0, 0.0, 440.0), (-0.6, 0.0, 0.8)),
    ],
)
def test_a_drum_on_three_unequal_legs(turn: float, centre: Place, normal: Place) -> None:
    """Brackets (0, 200), (150, -100), (-150, -100); legs 400, 175, 175.

    The tips' plane rises 225 over 300 from front to back, so its normal is (0, .75, 1)/1.25 =
    (0, .6, .8), and it is 0.8·400 - 0.6·200 = 200 under the middle. Standing on the floor the front
    is up: the drum's own upright becomes (0, -.6, .8) (3-4-5), and the head, 300 along it, is at
    (0, -180, 200 + 240). Turned 90, ahead becomes +x.
    """
    legs = [
        Joint(id=f"leg_{number}", slides="leg", before=bracket, after="turn")
        for number, bracket in enumerate(
            ((0.0, 200.0, 0.0), (150.0, -100.0, 0.0), (-150.0, -100.0, 0.0)), start=1
        )
    ]
    floor = (
        Joint(id="x", slides="x"),
        Joint(id="y", slides="y"),
        Joint(id="turn", turns="-z"),
    )
    kind = remade(kind_of("three-legs", *floor, *legs), fits="piece")
    page = small_page(
        piece("tom", kind="three-legs", offset=(0.0, 0.0, 300.0)),
        kinds=[kind],
        values={
            **standing("tom", 1000.0, 0.0, turn),
            "tom.leg_1": 400.0,
            "tom.leg_2": 175.0,
            "tom.leg_3": 175.0,
        },
    )
    assert centre_of(page, "tom") == at(*centre)
    assert normal_of(page, "tom") == at(*normal)


def test_a_kick_faces_the_player() -> None:
    """At (0, 700), turned 30 so that its front faces d(30); its hoop's normal is -d(30).

    The hoop's middle is 280 up (the surface's own y), and 200 back along its normal:
    (0, 700) - 200·(.5, .866025) = (-100, 526.794919).
    """
    page = small_page(
        piece("kick", kind="floor-kick", offset=(0.0, 280.0, 200.0)),
        values={**standing("kick", 0.0, 700.0, 30.0), "kick.spur": 100.0},
    )
    assert centre_of(page, "kick") == at(-100.0, 526.794919, 280.0)
    assert normal_of(page, "kick") == at(-0.5, -0.8660254, 0.0)
