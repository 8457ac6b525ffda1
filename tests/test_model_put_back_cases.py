"""Put-backs of small rigs, each worked out by hand: what is loosened, in which order, in words."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.line_text import line_text
from model.compare.putback.make import put_back
from model.compare.putback.pages import same_rig
from model.compare.putback.text import put_back_lines
from model.compare.putback.words import toward
from model.rig.page import Page
from model.rig.setting import Setting
from tests.rigs_small import bar, disc, mount, piece, post, small_page, standing

NAMES = ("after", "home")


def read(page: Page, **values: float) -> Page:
    """Return the page with other readings; ``post__x`` stands for ``post.x``."""
    changed = {}
    for name, value in values.items():
        key = name.replace("__", ".").replace("_", "-", name.partition("__")[0].count("_"))
        changed[key] = Setting.model_validate({**dict(page.setting(key)), "value": value})
    return page.with_settings(changed)


def way_home(now: Page, home: Page) -> PutBack:
    return put_back(Asked(now, home, NAMES, everything=True))


def told(answer: PutBack, page: Page) -> list[str]:
    return [line_text(line, page, "mm") for line in answer.lines]


BOOM: Mapping[str, float | int] = {
    **standing("post", 600.0, 500.0, 0.0),
    "boom.place": 900.0,
    "boom.spin": 0.0,
    "boom.tilt": 0,
    "boom.reach": 300.0,
    "boom.lean": 0.0,
}


def boom_rig() -> Page:
    """Return a post to the right of the zero line with a boom that points straight ahead."""
    return small_page(
        post("post"), mount("boom", "boom-on-clamp", "post"), disc("ride", "boom"), values=BOOM
    )


def test_what_slides_goes_out_and_in_and_up_and_down() -> None:
    home = boom_rig()
    assert told(way_home(read(home, boom__reach=320.0), home), home) == [
        "boom, reach: 320 mm -> 300 mm, the boom goes in 20 mm (tilter's face to ride's tilter)"
    ]
    lines = told(way_home(read(home, boom__place=880.0), home), home)
    assert lines[0].startswith("boom, place: 880 mm -> 900 mm, up 20 mm")


def test_a_loosened_clamp_loses_its_spin_too_and_the_list_says_where_it_was() -> None:
    home = boom_rig()
    answer = way_home(read(home, boom__place=880.0), home)
    assert [(line.tick, line.task) for line in answer.lines] == [
        ("boom.place", "set"),
        ("boom.spin", "keep"),
    ]
    assert answer.loosenings == 1
    assert answer.steps[0].hold == ("Hold boom before you loosen: ride is on it.",)


def test_a_turn_round_an_upright_is_seen_from_above() -> None:
    home = boom_rig()
    words = [
        line.way
        for turn in (-90.0, -45.0, 12.0, 180.0)
        for line in way_home(read(home, boom__spin=turn), home).lines
        if line.tick == "boom.spin"
    ]
    # A spin counts clockwise seen from above on a post: home from -90 is a quarter clockwise.
    assert words == [
        "a quarter turn (90°) clockwise seen from above",
        "an eighth of a turn (45°) clockwise seen from above",
        "12° counterclockwise seen from above",
        "half a turn (180°) clockwise seen from above",
    ]


def test_a_lean_is_told_by_the_edge_that_goes_down() -> None:
    home = boom_rig()
    # The boom points ahead, and + raises its far edge: from +10 to 0 the far edge goes down.
    (line,) = way_home(read(home, boom__lean=10.0), home).lines
    assert line.way == "10° far edge down"
    across = read(home, boom__spin=90.0)
    (line,) = way_home(read(across, boom__lean=10.0), across).lines
    assert line.way == "10° right edge down"


def test_a_jaw_on_a_bar_is_told_by_where_its_top_goes() -> None:
    home = bar_rig()
    # A to B runs to the player's right: clockwise seen from B takes the top ahead, and back again.
    line = way_home(read(home, arm__spin=35.0), home).lines[1]
    assert (line.tick, line.way) == ("arm.spin", "15° top toward the player")


def test_a_direction_between_two_is_told_by_both() -> None:
    at, player = np.array([600.0, 500.0, 900.0]), np.zeros(3)
    ways = {
        (1.0, 0.0): "to the player's right",
        (-1.0, 0.3): "to the player's left",
        (0.0, 1.0): "away from the player",
        (0.2, -1.0): "toward the player",
        (0.7, 0.7): "away from the player and to the player's right",
    }
    assert {way: toward(np.array([*way, 0.0]), at, player) for way in ways} == ways
    beside = np.array([600.0, 50.0, 900.0])
    assert toward(np.array([0.0, 1.0, 0.0]), beside, player) == "ahead"
    assert toward(np.array([0.0, -1.0, 0.0]), beside, player) == "back"


def test_teeth_are_counted_in_words_and_say_flatter_or_steeper() -> None:
    home = boom_rig()
    up = read(home, boom__tilt=3)
    (line,) = way_home(up, home).lines
    assert line.way == "three teeth flatter: the cymbal end sinks"
    (line,) = way_home(home, up).lines
    assert line.way == "three teeth steeper: the cymbal end rises"


TWO_POSTS: Mapping[str, float | int] = {
    **standing("left", -500.0, 600.0),
    **standing("right", 500.0, 600.0),
    "clamp-l.height": 700.0,
    "clamp-r.height": 700.0,
    "bar.grip_a": 50.0,
    "bar.grip_b": 1050.0,
    "arm.place": 400.0,
    "arm.spin": 20.0,
}


def bar_rig() -> Page:
    """Return a straight bar through two clamps, and an arm on it."""
    return small_page(
        post("left"),
        post("right"),
        mount("clamp-l", "cross-clamp", "left"),
        mount("clamp-r", "cross-clamp", "right"),
        bar("bar", "bar-in-two-clamps", "clamp-l", "clamp-r", length=1100.0),
        mount("arm", "arm-on-clamp", "bar"),
        values=TWO_POSTS,
        follows=("clamp-l.spin", "clamp-r.spin"),
    )


def test_one_end_of_a_bar_raised_loosens_both_clamps_and_keeps_the_bar_from_rolling() -> None:
    home = bar_rig()
    answer = way_home(read(home, clamp_l__height=680.0), home)
    (step,) = answer.steps
    assert [held.part for held in step.loosen] == ["clamp-l", "clamp-r"]
    assert [(line.tick, line.task) for line in step.lines] == [
        ("clamp-l.height", "set"),
        ("clamp-r.height", "keep"),
        ("bar.grip_a", "keep"),
        ("bar.grip_b", "keep"),
        ("roll.bar", "roll"),
    ]
    assert told(answer, home)[-1].startswith("Turn bar until arm, spin shows 20°")


def test_a_foot_moved_against_the_other_lets_the_bar_go_first() -> None:
    home = bar_rig()
    answer = way_home(read(home, left__x=-512.0, bar__grip_b=1062.0), home)
    grips = [line.way for line in answer.lines if line.tick.startswith("bar.")]
    assert grips == ["", ""], "the clamps come together: nobody slides the bar"
    (step,) = answer.steps
    assert [line.tick for line in step.lines][:3] == ["left.x", "left.y", "left.turn"]
    assert {held.part for held in step.loosen} == {"clamp-l", "clamp-r"}
    assert step.by_hand == ("left",)


def test_both_feet_moved_alike_loosen_nothing() -> None:
    home = bar_rig()
    answer = way_home(read(home, left__y=630.0, right__y=630.0), home)
    assert answer.loosenings == 0
    assert {held.distance for held in answer.remains} <= {0.0, None}
    assert [step.by_hand for step in answer.steps] == [("left",), ("right",)]


def test_what_a_bars_own_grip_says_is_how_the_bar_slides() -> None:
    home = bar_rig()
    answer = way_home(read(home, bar__grip_a=80.0, bar__grip_b=1080.0), home)
    line = next(line for line in answer.lines if line.tick == "bar.grip_a")
    # End A is at the left clamp: a smaller place there means that the bar goes to the right.
    assert (line.by, line.way) == (-30.0, "slide the bar")
    assert line.aside == "to the player's right"


def test_what_nobody_read_tonight_is_looked_at_and_not_moved() -> None:
    home = boom_rig()
    carried = Setting(state="carried", value=320.0, page="before", using="gauge")
    answer = way_home(home.with_settings({"boom.reach": carried}), home)
    assert not answer.lines
    assert [(held.setting, held.to, held.state) for held in answer.unread] == [
        ("boom.reach", 300.0, "carried")
    ]
    (ride,) = answer.remains
    assert ride.unread == ("boom.reach",)


def test_an_unread_joint_of_a_clamp_that_is_loosened_is_set_with_it() -> None:
    home = boom_rig()
    carried = Setting(state="carried", value=4.0, page="before", using="gauge")
    now = read(home, boom__place=880.0).with_settings({"boom.spin": carried})
    answer = way_home(now, home)
    assert not answer.unread
    assert "set to 0°, nobody read it tonight; last known 4°" in told(answer, home)[1]


def test_a_joint_that_home_does_not_know_is_marked_before_its_clamp_is_loosened() -> None:
    home = boom_rig().with_settings({"boom.spin": Setting(state="open")})
    now = read(boom_rig(), boom__place=880.0)
    lines = told(way_home(now, home), home)
    assert "boom, spin: keep at your mark; home does not know it (tonight 0°" in lines[0]
    assert way_home(now, home).steps[0].hold[0] == "Mark boom, spin before you loosen."


def test_a_missing_part_is_put_back_first_and_an_added_one_is_asked_about() -> None:
    home = boom_rig()
    without = small_page(
        post("post"),
        mount("clamp", "side-clamp", "post"),
        values={**standing("post", 600.0, 500.0), "clamp.height": 500.0, "clamp.spin": 0.0},
    )
    answer = way_home(without, home)
    assert [(step.tick, step.task) for step in answer.structure] == [
        ("put.boom", "put back"),
        ("put.ride", "put back"),
        ("ask.clamp", "ask"),
    ]
    assert "Does it stay? It is left as it is." in answer.structure[2].text
    assert {line.tick for line in answer.lines} == {key for key in BOOM if key.startswith("boom.")}
    assert all(line.start is None for line in answer.lines)


def test_what_hangs_elsewhere_is_hung_again_and_set_where_it_is_clamped() -> None:
    def rig(on: str) -> Page:
        own = {key: value for key, value in BOOM.items() if key.startswith("boom.")}
        return small_page(
            post("left"),
            post("right"),
            mount("boom", "boom-on-clamp", on),
            disc("ride", "boom"),
            values={**standing("left", -500.0, 600.0), **standing("right", 500.0, 600.0), **own},
        )

    answer = way_home(rig("left"), rig("right"))
    (step,) = answer.structure
    assert step.text.startswith("Hang boom (boom arm on a rod clamp, on a post) on right; tonight")
    # Its boom was read on either post and is as it was; where it is clamped says nothing here.
    assert [line.tick for line in answer.lines] == ["boom.place", "boom.spin"]
    assert all(line.start is None for line in answer.lines)
    assert [held.distance for held in answer.remains] == [0.0]


def test_a_level_is_told_for_tonights_riser() -> None:
    home = boom_rig().with_settings(
        {"boom.lean": Setting(state="read", value=5.0, using="gauge", read_from="gravity")}
    )
    sloping = {"floor.slope_ahead": Setting(state="read", value=2.0, using="gauge")}
    now = home.with_settings(sloping)
    (line,) = way_home(now, home).lines
    # The boom points ahead: on a riser that rises 2° ahead the same lean shows 2° more.
    assert line.start == 5.0
    assert line.to == pytest.approx(7.0, abs=1e-6)
    assert line.by == pytest.approx(2.0, abs=1e-6)
    assert "the riser slopes otherwise than at home" in way_home(now, home).notes[0]


def test_two_rigs_and_one_page_are_refused() -> None:
    other = small_page(piece("throne", kind="floor-seat"), values={})
    assert not same_rig(boom_rig(), other)
    assert same_rig(boom_rig(), boom_rig())


def test_the_printed_list_is_never_wider_than_a_terminal() -> None:
    home = bar_rig()
    answer = way_home(read(home, left__x=-512.0, bar__grip_b=1062.0), home)
    for unit in ("mm", "in"):
        lines = list(put_back_lines(answer, home, unit))
        assert max(map(len, lines)) <= 80
        assert any("it can drop" in line for line in lines)
        assert any('1/16"' in line for line in lines) == (unit == "in")


def test_what_was_seen_at_its_mark_did_not_move_whatever_the_riser_does() -> None:
    lean = Setting(state="read", value=5.0, using="gauge", read_from="gravity")
    home = boom_rig().with_settings({"boom.lean": lean})
    seen = Setting(state="seen", value=5.0, page="home", using="gauge", read_from="gravity")
    sloping = {"floor.slope_ahead": Setting(state="read", value=2.0, using="gauge")}
    now = home.with_settings({**sloping, "boom.lean": seen})
    assert not way_home(now, home).something


def test_parts_that_hang_on_each_other_end_no_list() -> None:
    home = small_page(
        post("post"),
        mount("one", "extension-shaft", "two"),
        mount("two", "extension-shaft", "one"),
        values={**standing("post", 600.0, 500.0), "one.slide": 10.0, "two.slide": 10.0},
    )
    answer = way_home(read(home, one__slide=20.0), home)
    assert "one.slide" in [line.tick for line in answer.lines]


def test_a_place_of_another_frame_is_not_taken_for_tonights() -> None:
    def rig(end: str, place: float) -> Page:
        return small_page(
            post("left"),
            post("right"),
            mount("clamp-l", "cross-clamp", "left"),
            mount("clamp-r", "cross-clamp", "right"),
            bar("bar", "bar-in-two-clamps", "clamp-l", "clamp-r", length=1100.0),
            mount("arm", "arm-on-clamp", "bar", **{"from": end}),
            values={**TWO_POSTS, "arm.place": place},
            follows=("clamp-l.spin", "clamp-r.spin"),
        )

    # Beyond the end of its tube: it cannot be put into its own value, and 1500 from B is no 1500
    # from A.
    answer = way_home(rig("B", 1500.0), rig("A", 400.0))
    told_places = {line.tick: (line.start, line.to) for line in answer.lines}
    assert told_places.get("arm.place", (None, 400.0)) == (None, 400.0)
    assert way_home(rig("B", 700.0), rig("A", 400.0)).lines == ()


def test_a_clamp_waits_for_the_one_it_is_measured_from_at_home() -> None:
    def rig(place: float, **told: object) -> Page:
        values = {key: v for key, v in TWO_POSTS.items() if not key.startswith("arm.")}
        values |= {"after.place": place, "before.place": 700.0}
        return small_page(
            post("left"),
            post("right"),
            mount("clamp-l", "cross-clamp", "left"),
            mount("clamp-r", "cross-clamp", "right"),
            bar("bar", "bar-in-two-clamps", "clamp-l", "clamp-r", length=1100.0),
            mount("after", "arm-on-clamp", "bar", **told),
            mount("before", "arm-on-clamp", "bar"),
            values=values,
            follows=("clamp-l.spin", "clamp-r.spin"),
        )

    home = rig(-300.0, **{"from": "before"})
    answer = way_home(read(rig(300.0), before__place=650.0), home)
    assert [line.tick for line in answer.lines if line.task == "set"] == [
        "before.place",
        "after.place",
    ]


def test_a_dial_follows_its_readings_and_a_missing_parts_dial_is_set() -> None:
    def rig(gap: float, *parts: str) -> Page:
        pieces = [piece(part, "post", dials=({"id": "gap", "unit": "mm"},)) for part in parts]
        told = {f"{part}.dial.gap": gap for part in parts}
        return small_page(post("post"), *pieces, values={**standing("post", 0.0, 500.0), **told})

    home = rig(5.0, "hats", "bell")
    # Two readings of 1 mm each cannot tell 1.5 mm from nothing.
    near = put_back(Asked(rig(6.5, "hats", "bell"), home, NAMES))
    assert (near.lines, near.left_within) == ((), 2)
    far = put_back(Asked(rig(9.0, "hats"), home, NAMES))
    assert [(line.tick, line.part_name, line.start, line.to) for line in far.lines] == [
        ("hats.dial.gap", "hats", 9.0, 5.0),
        ("bell.dial.gap", "bell", None, 5.0),
    ]
