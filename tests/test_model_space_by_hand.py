"""One small rig for each convention of clamps and mounts, worked on paper.

The working stands beside the numbers. Right angles, 3-4-5 triangles, and 30° and 60° (sin 30 =
1/2, cos 30 = 0.866025) keep them exact. d(t) is the level direction t clockwise from straight
ahead: d(0) = +y, d(90) = +x.
"""

from __future__ import annotations

import pytest

from model.book.generic import generic_kinds
from model.readings.angles import ReadFrom
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
    standing,
)

ROD = ("rod.place", "rod.spin", "rod.jaw", "rod.rod", "rod.rod_spin")


def at(*wanted: float) -> object:
    return pytest.approx(wanted, abs=1e-5)


def test_spin_round_a_post() -> None:
    """Post at (100, 200) turned 30, clamp spun 60: o = d(30 + 60) = d(90) = (1, 0, 0).

    100 out along o from (100, 200, 500): (200, 200, 500). On a post turned 30 and a spin of -30:
    o = d(0) = (0, 1, 0), so (100, 300, 500).
    """
    for spin, wanted in ((60.0, (200.0, 200.0, 500.0)), (-30.0, (100.0, 300.0, 500.0))):
        page = small_page(
            post("post"),
            mount("arm", "arm", "post"),
            piece("pad", "arm"),
            kinds=[arm("arm", 100.0)],
            values={**standing("post", 100.0, 200.0, 30.0), "arm.place": 500.0, "arm.spin": spin},
        )
        assert centre_of(page, "pad") == at(*wanted)


@pytest.mark.parametrize(("height", "wanted"), [(1000.0, 820.0), (1050.0, 870.0)])
def test_the_inner_tube(height: float, wanted: float) -> None:
    """Its top 1000 up, the clamp's top edge 160 down from it: 840; half its depth of 40 less: 820.

    The clamp on the outer tube, lower edge at 300, has its middle at 320 however high the inner is.
    """
    page = small_page(
        post("post", "telescoping-post", length=600.0, inner_length=700.0),
        mount("high", "side-clamp", "post", rail="inner", edge="top"),
        mount("low", "side-clamp", "post", edge="bottom"),
        values={
            **standing("post", 50.0, 60.0),
            "post.height": height,
            "high.height": 160.0,
            "low.height": 300.0,
        },
    )
    clamps = answer_of(page).clamps
    assert clamps["high"] == at(50.0, 60.0, wanted)
    assert clamps["low"] == at(50.0, 60.0, 320.0)


@pytest.mark.parametrize(
    ("turn", "source", "read", "centre", "normal"),
    [
        # The riser rises 30 ahead: gravity's up is (0, sin 30, cos 30) in its frame. A level that
        # shows level makes that the normal; the top is 25 along it: (0, 12.5, 21.6506).
        (0.0, "gravity", 0.0, (0.0, 12.5, 921.650635), (0.0, 0.5, 0.8660254)),
        # A level that shows 30 lies in the riser's plane, which itself rises 30: nothing turned.
        (0.0, "gravity", 30.0, (0.0, 0.0, 925.0), (0.0, 0.0, 1.0)),
        # Turned 90 the stand tilts across the slope: a level there shows the joint's own turn.
        (90.0, "gravity", 0.0, (0.0, 0.0, 925.0), (0.0, 0.0, 1.0)),
        # From the riser, and from the joint on an upright stand: far edge up 30, so the normal
        # leans 30 back, (0, -sin 30, cos 30), whatever gravity says.
        (0.0, "riser", 30.0, (0.0, -12.5, 921.650635), (0.0, -0.5, 0.8660254)),
        (0.0, "joint", 30.0, (0.0, -12.5, 921.650635), (0.0, -0.5, 0.8660254)),
    ],
)
def test_slope_and_gravity(
    turn: float, source: ReadFrom, read: float, centre: Place, normal: Place
) -> None:
    page = small_page(
        mount("stand", "floor-stand"),
        disc("ride", "stand"),
        values={
            **standing("stand", 0.0, 0.0, turn),
            "stand.height": 900.0,
            "stand.tilt": read,
        },
        slope=(30.0, 0.0),
        read_from={"stand.tilt": source},
    )
    assert centre_of(page, "ride") == at(*centre)
    assert normal_of(page, "ride") == at(*normal)


def test_mount_on_mount() -> None:
    """A rod clamp on a post at the zero mark, 800 up, spun 90: o = +x, its jaw 55 out.

    The jaw at (55, 0, 800), turned back 90, sets the rod upright: 100 out: (55, 0, 900). The boom
    arm on it: its own rod 50 out, its tilter 60 on: (55, 0, 1010). Spun 90 clockwise from o =
    d(90), the boom points along d(180) = -y. Four of 24 teeth are 60°: 200 of boom go 100 along -y
    and 173.205081 up: (55, -100, 1183.205081). Leaned back 60 the stem is upright, 25 to its tip:
    1208.205081.
    """
    page = small_page(
        post("post"),
        mount("rod", "rod-clamp", "post"),
        mount("boom", "boom-arm", "rod"),
        disc("crash", "boom"),
        values={
            **standing("post", 0.0, 0.0),
            "rod.place": 800.0,
            "rod.spin": 90.0,
            "rod.jaw": -90.0,
            "rod.rod": 100.0,
            "rod.rod_spin": 0.0,
            "boom.slide": 50.0,
            "boom.spin": 90.0,
            "boom.tilt": 4.0,
            "boom.reach": 200.0,
            "boom.boom_spin": 0.0,
            "boom.lean": -60.0,
        },
    )
    assert centre_of(page, "crash") == at(55.0, -100.0, 1208.205081)
    assert normal_of(page, "crash") == at(0.0, 0.0, 1.0)


def test_a_kind_s_plus_names_the_edge_that_rises() -> None:
    """Near and far are the player's; a kind says which edge by what it hangs on.

    On a post 600 right and 800 ahead, a clamp spun to 40, and round the arm's rod as well.
    """
    told = 0
    for kind in generic_kinds().values():
        for joint in kind.joints:
            assert "far e" not in joint.plus, kind.id
            assert "near e" not in joint.plus, kind.id
            if not joint.plus.startswith("edge away from the clamp rises"):
                continue
            told += 1
            on_post = "place" in kind.by_joint
            values = {
                **standing("post", 600.0, 800.0),
                **(
                    {}
                    if on_post
                    else dict(zip(ROD, (1000.0, 40.0, -90.0, 100.0, 0.0), strict=True))
                ),
                **{f"arm.{own.id}": 0.0 for own in kind.joints},
                f"arm.{joint.id}": 1.0 if joint.teeth else 10.0,
            }
            values["arm.place" if on_post else "arm.slide"] = 50.0
            values["arm.spin"] = 40.0 if on_post or "bolt" not in joint.plus else 0.0
            page = small_page(
                post("post"),
                *(() if on_post else (mount("rod", "rod-clamp", "post"),)),
                mount("arm", kind.id, "post" if on_post else "rod"),
                disc("piece", "arm"),
                values=values,
            )
            clamp = answer_of(page).clamps["arm" if on_post else "rod"]
            x, y, _ = centre_of(page, "piece")
            # The normal leans toward the low edge: back to the clamp.
            across = normal_of(page, "piece")
            assert across[0] * (x - clamp[0]) + across[1] * (y - clamp[1]) < -1.0, kind.id
    assert told == 6


@pytest.mark.parametrize(
    ("teeth", "middle"),
    [
        # 24 teeth, 15° each. Two are 30°: 400 of boom go 346.410162 ahead and 200 up, from the
        # tilter 60 ahead of the post at 1000; the stem upright, 25 to its tip.
        (2.0, (0.0, 406.410162, 1225.0)),
        # Four are 60°: 200 ahead and 346.410162 up.
        (4.0, (0.0, 260.0, 1371.410162)),
        # Two below the stop: 30° down.
        (-2.0, (0.0, 406.410162, 825.0)),
    ],
)
def test_a_tooth(teeth: float, middle: Place) -> None:
    page = small_page(
        post("post"),
        mount("boom", "boom-on-clamp", "post"),
        disc("crash", "boom"),
        values={
            **standing("post", 0.0, 0.0),
            "boom.place": 1000.0,
            "boom.spin": 0.0,
            "boom.tilt": teeth,
            "boom.reach": 400.0,
            "boom.lean": -15.0 * teeth,
        },
    )
    assert centre_of(page, "crash") == at(*middle)
    assert normal_of(page, "crash") == at(0.0, 0.0, 1.0)
