"""What holds for every rig: a bar rolled, the rig mirrored or moved, a turn left open."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from model.rig.kind import Joint, Outlet
from model.rig.page import Page
from model.rig.part import Curve
from model.rig.setting import OPEN
from tests.rigs_small import (
    answer_of,
    bar,
    disc,
    kind_of,
    mount,
    piece,
    post,
    remade,
    small_page,
)
from tests.sizes import examples

few = settings(max_examples=examples(40, 500))


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 1000), round(high * 1000)).map(lambda n: n / 1000.0)


BOOM = kind_of(
    "boom",
    Joint(id="place", slides="rail"),
    Joint(id="spin", turns="rail"),
    Joint(id="tilt", turns="x"),
    Joint(id="reach", slides="y"),
    Joint(id="lean", turns="x"),
    outlets=[Outlet(id="tip", after="lean")],
)
BADGE = remade(kind_of("badge", Joint(id="turn", turns="-z")), fits="piece")
CURVE = Curve(chord=1300.0, sagitta=120.0)

VALUES = {
    "post-1.x": between(-700, -600),
    "post-1.y": between(-50, 50),
    "post-1.turn": between(-180, 180),
    "post-2.x": between(500, 600),
    "post-2.y": between(-50, 50),
    "post-2.turn": between(-180, 180),
    "clamp-1.height": between(700, 900),
    "clamp-2.height": between(700, 900),
    "bar.grip_a": between(10, 40),
    "bar.grip_b": between(1290, 1310),
    "bar.bow": between(-180, 180),
    "boom.place": between(100, 1200),
    "boom.spin": between(-60, 60),
    "boom.tilt": between(-15, 15),
    "boom.reach": between(100, 400),
    "boom.lean": between(-60, 60),
    "arm.place": between(100, 1000),
    "arm.spin": between(-180, 180),
    "arm.tilt": between(-60, 60),
    "arm.reach": between(0, 400),
    "arm.lean": between(-60, 60),
    "pad.turn": between(-180, 180),
}
rigs = st.fixed_dictionaries(VALUES)
slopes = st.tuples(between(-4, 4), between(-4, 4))


def rig(
    values: Mapping[str, float],
    slope: tuple[float, float] = (0.0, 0.0),
    side: tuple[str, str] = ("right", "left"),
) -> Page:
    """Return a curved bar beside two posts, a boom on it read with a level, an arm on a post."""
    return small_page(
        post("post-1"),
        post("post-2"),
        mount("clamp-1", "side-clamp", "post-1"),
        mount("clamp-2", "side-clamp", "post-2"),
        bar("bar", "curved-bar-in-two-clamps", "clamp-1", "clamp-2", curve=CURVE, side=side),
        mount("boom", "boom", "bar"),
        mount("arm", "boom", "post-2"),
        disc("crash", "boom"),
        piece("pad", "arm", kind="badge"),
        kinds=[BOOM, BADGE],
        values=values,
        slope=slope,
        read_from={"boom.tilt": "gravity"},
    )


@few
@given(rigs, slopes, between(-60, 60))
def test_rolling_a_bar_leaves_the_pitch_that_a_level_read(
    values: dict[str, float], slope: tuple[float, float], roll: float
) -> None:
    """The boom's tilt is what a level shows: however its clamp is spun, that is its pitch."""
    ahead, right = (math.sin(math.radians(degrees)) for degrees in slope)
    up = np.array([right, ahead, math.sqrt(1.0 - ahead**2 - right**2)])
    for spin in (values["boom.spin"], roll):
        answer = answer_of(rig({**values, "boom.spin": spin, "boom.lean": 0.0}, slope))
        assume(not answer.faults)  # a steep bar, on which no turn shows that pitch
        tip = answer.pieces["crash"].centre
        assert tip is not None
        along = (np.array(tip) - np.array(answer.clamps["boom"])) / values["boom.reach"]
        pitch = math.degrees(math.asin(float(along @ up)))
        assert pitch == pytest.approx(values["boom.tilt"], abs=1e-5)


MIRRORED = (".x", ".turn", ".spin")


@few
@given(rigs, slopes)
def test_a_mirrored_rig_is_the_mirror_image(
    values: dict[str, float], slope: tuple[float, float]
) -> None:
    """Right for left, and clockwise for anticlockwise; the bulge to the other side."""
    other = {k: -v if k.endswith(MIRRORED) else v for k, v in values.items()}
    other["bar.bow"] = 180.0 - values["bar.bow"]
    one = answer_of(rig(values, slope))
    two = answer_of(rig(other, (slope[0], -slope[1]), ("left", "right")))
    assert [f.code for f in one.faults] == [f.code for f in two.faults]
    for key, found in one.pieces.items():
        image = two.pieces[key]
        for here, there in ((found.centre, image.centre), (found.normal, image.normal)):
            assert (here is None) == (there is None)
            if here is not None and there is not None:
                assert there == pytest.approx((-here[0], here[1], here[2]), abs=2e-6)
    for key, at in one.clamps.items():
        assert two.clamps[key] == pytest.approx((-at[0], at[1], at[2]), abs=2e-6)


@few
@given(rigs, slopes, between(-5000, 5000), between(-5000, 5000))
def test_moving_every_foot_moves_everything(
    values: dict[str, float], slope: tuple[float, float], right: float, ahead: float
) -> None:
    moved = dict(values)
    for foot in ("post-1", "post-2"):
        moved[f"{foot}.x"] += right
        moved[f"{foot}.y"] += ahead
    one, two = (answer_of(rig(v, slope)) for v in (values, moved))
    for key, found in one.pieces.items():
        image = two.pieces[key]
        assert image.state == found.state
        assert image.normal == (found.normal and pytest.approx(found.normal, abs=2e-9))
        if found.centre is not None:
            x, y, z = found.centre
            assert image.centre == pytest.approx((x + right, y + ahead, z), abs=2e-6)
    for key, (x, y, z) in one.clamps.items():
        assert two.clamps[key] == pytest.approx((x + right, y + ahead, z), abs=2e-6)
    for key, ends in one.bars.items():
        x, y, z = ends.a
        assert two.bars[key].a == pytest.approx((x + right, y + ahead, z), abs=2e-6)


LENGTHS = ("post-1.x", "clamp-2.height", "bar.grip_a", "boom.place", "boom.reach")


@few
@given(rigs, st.sampled_from(LENGTHS))
def test_an_open_turn_of_a_badge_leaves_the_drum_known_and_an_open_length_does_not(
    values: dict[str, float], length: str
) -> None:
    page = rig(values)
    whole = answer_of(page)
    assume(not whole.faults)
    turned = answer_of(page.with_setting("pad.turn", OPEN))
    assert turned.pieces["pad"].centre == whole.pieces["pad"].centre
    assert turned.pieces["pad"].normal == whole.pieces["pad"].normal
    assert turned.pieces["pad"].state == "read"
    opened = answer_of(page.with_setting(length, OPEN))
    assert opened.pieces["crash"].state == "unknown"
    assert length in opened.pieces["crash"].open
    assert opened.pieces["pad"] == whole.pieces["pad"]  # it hangs on none of these
