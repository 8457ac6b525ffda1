"""What a turn does at the end of an arm: exact moments, and rules of thumb."""

from __future__ import annotations

import math

import numpy as np
import pytest

from model.rig.kind import Joint, Outlet
from model.space.positions import Positions
from tests.rigs_small import arm, centre_of, kind_of, mount, piece, post, small_page, standing

RIGHT, AHEAD = 0, 1


@pytest.mark.parametrize("u_deg", [1.0, 5.0, 10.0])
def test_a_turn_read_by_eye_bends_the_arm_round(u_deg: float) -> None:
    """An arm r ahead of a post whose turn is normal with u: exact moments, and the program's.

    Ahead is r·cos θ: its mean falls short by r(1 - e^(-u²/2)) and its variance is
    r²(1 - e^(-u²))²/2; aside is r·sin θ, r²(1 - e^(-2u²))/2. The second order gives ½u²r,
    ½r²u⁴ and r²u²: they differ by the next power of u².
    """
    reach, u = 700.0, math.radians(u_deg)
    page = small_page(
        post("post"),
        mount("arm", "arm", "post"),
        piece("pad", "arm"),
        kinds=[arm("arm", reach)],
        values={**standing("post", 0.0, 0.0), "arm.place": 800.0, "arm.spin": 0.0},
        u={"post.x": 0.0, "post.y": 0.0, "post.turn": u_deg, "arm.place": 0.0, "arm.spin": 0.0},
    )
    found = Positions(page).sureness["pad"]
    drift = sum(i.drift() for i in found.influences)
    assert isinstance(drift, np.ndarray)
    assert drift[AHEAD] == pytest.approx(-reach * (1.0 - math.exp(-u * u / 2.0)), rel=1.1 * u * u)
    ahead = reach**2 * (1.0 - math.exp(-u * u)) ** 2 / 2.0
    aside = reach**2 * (1.0 - math.exp(-2.0 * u * u)) / 2.0
    assert found.covariance[AHEAD, AHEAD] == pytest.approx(ahead, rel=1.1 * u * u)
    assert found.covariance[RIGHT, RIGHT] == pytest.approx(aside, rel=1.1 * u * u)


def test_two_degrees_of_spin_at_half_a_metre() -> None:
    """Common practice, no source: 2° of a clamp's spin at 500 mm of arm are 17 mm."""
    places = []
    for spin in (30.0, 32.0):
        page = small_page(
            post("post"),
            mount("arm", "arm", "post"),
            piece("pad", "arm"),
            kinds=[arm("arm", 500.0)],
            values={**standing("post", 0.0, 0.0), "arm.place": 800.0, "arm.spin": spin},
        )
        places.append(centre_of(page, "pad"))
    assert math.dist(*places) == pytest.approx(17.0, abs=0.5)
    # And by the derivative: mm per degree, twice.
    (spin_of,) = (
        i for i in Positions(page).sureness["pad"].influences if i.source.key == "arm.spin"
    )
    assert 2.0 * math.hypot(*spin_of.by[:3, 0]) == pytest.approx(17.0, abs=0.5)


def test_a_tooth_of_ten_degrees_at_forty_centimetres() -> None:
    """Common practice, no source: one tooth of 36, 10°, at 400 mm is about 70 mm."""
    kind = kind_of(
        "ratchet",
        Joint(id="place", slides="rail"),
        Joint(id="spin", turns="rail"),
        Joint(id="tilt", turns="x", teeth=36),
        outlets=[Outlet(id="tip", offset=(0.0, 400.0, 0.0))],
    )
    places = [
        centre_of(
            small_page(
                post("post"),
                mount("arm", "ratchet", "post"),
                piece("pad", "arm"),
                kinds=[kind],
                values={
                    **standing("post", 0.0, 0.0),
                    "arm.place": 800.0,
                    "arm.spin": 0.0,
                    "arm.tilt": teeth,
                },
            ),
            "pad",
        )
        for teeth in (2.0, 3.0)
    ]
    assert math.dist(*places) == pytest.approx(70.0, abs=0.5)
