"""The second computation of places against the golden cases of the written conventions.

Their figures were computed by an independent program; figures without such a note are the
trade's geometry, worked out by hand beside the check.
"""

from __future__ import annotations

import math

import pytest

from model.rig.part import Bar, Curve, Disc, Mount, Piece, Post
from model.rig.setting import FOLLOWS, Setting
from tests.rig_builder import RigBuilder
from tests.second_page import lean_of, second
from tests.second_places import SecondPlaces
from tests.second_turns import UP, Array, direction, square_to, turning, unit, vec

ROUNDED = 0.0051  # the conventions give hundredths of a millimetre


def near(found: Array | None, want: tuple[float, float, float], within: float = ROUNDED) -> None:
    assert found is not None
    assert tuple(found.tolist()) == pytest.approx(want, abs=within)


def posts(rig: RigBuilder, *feet: tuple[float, float], turn: float = 0.0) -> None:
    for index, (x, y) in enumerate(feet):
        post = Post(id=f"post-{index}", name="Post", kind="foot-post", length=1100.0)
        rig.put(post, x=x, y=y, turn=turn)


def clamps(rig: RigBuilder, *heights: float, kind: str = "side-clamp") -> tuple[str, ...]:
    return tuple(
        rig.put(
            Mount(id=f"clamp-{i}", name="Clamp", kind=kind, on=(f"post-{i}",)),
            height=height,
            spin=FOLLOWS,
        )
        for i, height in enumerate(heights)
    )


def test_a_clamp_on_a_post() -> None:
    rig = RigBuilder()
    posts(rig, (-600, 900), turn=15.0)
    rig.put(
        Mount(id="clamp", name="Clamp", kind="side-clamp", on=("post-0",), edge="far"),
        height=812.0,
        spin=90.0,
    )
    stand = SecondPlaces(rig.page()).clamped(rig.parts["clamp"]).stand
    near(stand.shifted((0.0, 245.0, 0.0)).origin, (-363.35, 836.59, 792.0))


def test_spin_on_a_rising_bar() -> None:
    tangent = unit(vec((0.0, 1.0, 0.1)))
    near(turning(-tangent, 35.0) @ square_to(UP, tangent), (-0.574, -0.082, 0.815), 0.00051)


def test_two_posts_on_the_same_side() -> None:
    rig = RigBuilder()
    posts(rig, (0, 0), (0, 1000))
    bar = Bar(
        id="bar",
        name="Bar",
        kind="bar-in-two-clamps",
        on=clamps(rig, 800.0, 850.0),
        side=("right", "right"),
        length=1200.0,
    )
    rig.put(bar, grip_a=60.0, grip_b=60.0 + math.hypot(1000.0, 50.0))
    run = SecondPlaces(rig.page()).run(bar)
    near(run.at(60.0)[0], (45.0, 0.0, 800.0), 1e-9)
    near(run.at(60.0 + math.hypot(1000.0, 50.0))[0], (45.0, 1000.0, 850.0), 1e-9)
    near(second(rig.page()).bars["bar"][0], (45.0, -59.925, 797.004), 0.00051)


def test_two_posts_on_opposite_sides() -> None:
    wide = RigBuilder().kinds["side-clamp"]
    jaw = wide.outlets[0].model_copy(update={"standoff": 50.0})
    wide = wide.model_copy(update={"id": "wide-clamp", "outlets": (jaw,)})
    rig = RigBuilder(kinds=(wide,))
    posts(rig, (0, 0), (0, 1000))
    on = clamps(rig, 800.0, 800.0, kind="wide-clamp")
    bar = Bar(
        id="bar", name="Bar", kind="bar-in-two-clamps", on=on, side=("left", "right"), length=1100.0
    )
    rig.put(bar, grip_a=50.0, grip_b=1050.0)
    end_a, end_b, closure = second(rig.page()).bars["bar"]
    assert closure == pytest.approx(994.99 - 1000.0, abs=ROUNDED)
    assert end_b is not None
    line = unit(end_b - end_a)
    assert math.degrees(math.atan2(line[0], line[1])) == pytest.approx(5.74, abs=ROUNDED)
    near(line, (0.1, math.sqrt(0.99), 0.0), 1e-12)  # sin = (50 + 50) / 1000


CURVE = Curve(chord=1000.0, sagitta=100.0)


def test_a_curve_in_two_grips() -> None:
    rig = RigBuilder()
    posts(rig, (-500, 200), (-350, 1040))
    on = clamps(rig, 800.0, 830.0, kind="cross-clamp")
    bar = Bar(id="bar", name="Bar", kind="curved-bar-in-two-clamps", on=on, curve=CURVE)
    rig.put(bar, grip_a=60.0, grip_b=930.0, bow=30.0)
    run = SecondPlaces(rig.page()).run(bar)
    assert run.arc.length is not None
    near(run.at(run.arc.length / 2.0)[0], (-360.66, 625.73, 851.61))
    near(run.at(0.0)[0], (-527.72, 148.25, 787.53))
    assert run.closure == pytest.approx(-0.04, abs=ROUNDED)


@pytest.mark.parametrize(("bow", "end_b"), [(0.0, (253.97, 0.0)), (10.0, (250.12, -44.10))])
def test_a_curve_in_one_grip(bow: float, end_b: tuple[float, float]) -> None:
    rig = RigBuilder()
    posts(rig, (0, 0))
    # Spin 0 is ahead, so r, and with it the bar, points to the player's right: d(90).
    clamp = Mount(id="clamp", name="Clamp", kind="cross-clamp", on=("post-0",))
    rig.put(clamp, height=800.0, spin=0.0)
    bar = Bar(id="bar", name="Bar", kind="curved-bar-in-one-clamp", on=("clamp",), curve=CURVE)
    rig.put(bar, grip=200.0, slope=0.0, bow=bow)
    a, b, _ = second(rig.page()).bars["bar"]
    assert b is not None
    near(b - vec((0, 0, 800)), (771.90, *end_b))
    if bow == 0.0:
        near(a - vec((0, 0, 800)), (-199.21, 15.35, 0.0))


def test_near_and_far_edge() -> None:
    rig = RigBuilder()
    rig.put(
        Mount(id="stand", name="Stand", kind="floor-stand"),
        x=300.0,
        y=500.0,
        turn=20.0,  # low toward 200: the far edge, at 20, rises
        height=900.0,
        tilt=15.0,
    )
    # The stand's outlet is 25 above its bolt; the piece goes back to the bolt.
    disc = Disc(diameter=457.2)
    rig.put(Piece(id="ride", name="Ride", on=("stand",), disc=disc, offset=(0.0, 0.0, -25.0)))
    found = second(rig.page())
    centre, normal = found.surfaces["ride"]
    near(centre, (300.0, 500.0, 900.0), 1e-9)
    assert found.leans["ride"].lean == pytest.approx(15.0)
    assert found.leans["ride"].toward == pytest.approx(-160.0)
    side = math.sin(math.radians(15.0)) * direction(200.0)
    near(normal, (side[0], side[1], math.cos(math.radians(15.0))), 1e-9)
    assert found.edges["ride"] == pytest.approx((841.84, 958.16), abs=ROUNDED)
    assert lean_of(normal).right < 0.0 < -lean_of(normal).ahead


def test_a_level_on_a_sloped_riser() -> None:
    # On a riser that rises 2 ahead, a stand that a level shows level leans 2 in the room.
    rig = RigBuilder()
    stand = Mount(id="stand", name="Stand", kind="floor-stand")
    level = Setting(state="read", value=0.0, using="level")
    rig.put(stand, x=0.0, y=500.0, turn=0.0, height=900.0, tilt=level)
    rig.put(Piece(id="pad", name="Pad", on=("stand",)))
    rig.settings["floor.slope_ahead"] = Setting(state="read", value=2.0)
    assert second(rig.page()).leans["pad"].ahead == pytest.approx(2.0)


def test_a_drum_on_three_legs() -> None:
    rig = RigBuilder()
    drum = Piece(id="tom", name="Tom", kind="floor-legs", offset=(0.0, 0.0, 300.0))
    rig.put(drum, x=400.0, y=100.0, turn=0.0, leg_1=200.0, leg_2=170.0, leg_3=170.0)
    found = second(rig.page())
    # The longer front leg lifts the front: the tips' plane falls 30 over 315 ahead.
    lean = math.atan2(30.0, 315.0)
    assert found.leans["tom"].lean == pytest.approx(math.degrees(lean))
    assert found.leans["tom"].toward == pytest.approx(180.0)
    centre, _ = found.surfaces["tom"]
    # Over the floor: the tips' plane passes 180 below the centre, 300 above it is the head.
    near(centre, (400.0, 100.0 - 300.0 * math.sin(lean), 480.0 * math.cos(lean)), 1e-9)
