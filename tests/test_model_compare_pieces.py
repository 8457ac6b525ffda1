"""Pieces of two pages by hand: what moved them, what that is worth, and what nobody measured."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from model.book.book import Tolerance
from model.compare.answer import Compared, ComparedSetting
from model.compare.judging import judged
from model.compare.piece_answer import ComparedPiece, Limit
from model.compare.whole import whole_comparison
from model.readings.angles import ReadFrom
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Page
from model.rig.setting import OPEN, Setting
from tests.rigs_small import disc, kind_of, mount, post, small_page, standing

FIRST, SECOND = "first", "second"
ARM = kind_of(
    "arm",
    Joint(id="place", slides="rail"),
    Joint(id="spin", turns="rail"),
    Joint(id="roll", turns="x"),
    outlets=[Outlet(id="tip", offset=(0.0, 300.0, 0.0))],
)
BOOM = kind_of(
    "boom",
    Joint(id="reach", slides="y"),
    Joint(id="lean", turns="x"),
    outlets=[Outlet(id="tip", offset=(0.0, 200.0, 0.0))],
)
LEVELLED: dict[str, ReadFrom] = {"arm.roll": "gravity", "boom.lean": "gravity"}
VALUES = {
    **standing("post", 0.0, 0.0),
    "arm.place": 800.0,
    "arm.spin": 0.0,
    "arm.roll": 5.0,
    "boom.reach": 100.0,
    "boom.lean": 20.0,
}


def page(
    changes: Mapping[str, float] | None = None,
    slope: tuple[float, float] = (0.0, 0.0),
    boom: Kind = BOOM,
) -> Page:
    """Return a post with an arm that points ahead, a boom on it, and a crash: levels read both."""
    return small_page(
        post("post"),
        mount("arm", "arm", "post"),
        mount("boom", "boom", "arm"),
        disc("crash", "boom", role="Crash  1"),
        kinds=[ARM, boom],
        values={**VALUES, **(changes or {})},
        slope=slope,
        read_from=LEVELLED,
    )


def compared(before: Page, after: Page, *limits: Tolerance, wanted: bool = False) -> Compared:
    return whole_comparison((before, after), (FIRST, SECOND), tolerances=limits, wanted=wanted)


def crash(answer: Compared) -> ComparedPiece:
    (found,) = answer.pieces
    return found


def setting(answer: Compared, key: str) -> ComparedSetting:
    return next(found for found in answer.settings if found.setting == key)


def seen(of: Page, *keys: str) -> Page:
    """Return the page with settings seen at the mark of the first page's reading."""
    return of.with_settings(
        {
            key: Setting.model_validate({**dict(of.setting(key)), "state": "seen", "page": FIRST})
            for key in keys
        }
    )


def carried(of: Page, *keys: str, source: str = FIRST) -> Page:
    return of.with_settings(
        {
            key: Setting.model_validate(
                {**dict(of.setting(key)), "state": "carried", "page": source}
            )
            for key in keys
        }
    )


def test_what_rolled_the_arm_is_not_blamed_on_its_boom() -> None:
    answer = compared(page(), page({"arm.roll": 15.0, "boom.lean": 30.0}))
    lean, roll = setting(answer, "boom.lean"), setting(answer, "arm.roll")
    assert (lean.before.value, lean.after.value) == (20.0, 30.0)
    assert lean.own_before == pytest.approx(15.0)
    assert lean.own_after == pytest.approx(15.0)
    assert (lean.verdict, lean.converted) == ("same", True)
    # Two levels on each page: u = √(2·0.5² + 2·0.5²) of the lean, √(2·0.5²) of the roll.
    assert lean.u == pytest.approx(1.0, abs=1e-4)
    assert roll.verdict == "moved"
    assert roll.difference == pytest.approx(10.0)
    assert roll.u == pytest.approx(math.hypot(0.5, 0.5), abs=1e-4)
    piece = crash(answer)
    assert [(cause.setting, cause.share) for cause in piece.causes.of] == [("arm.roll", 1.0)]
    assert [cause.setting for cause in piece.tilt_causes.of] == ["arm.roll"]
    assert piece.tilt_causes.of[0].amount == pytest.approx(10.0)
    # The middle by hand: 400 out at 5°, then 200 at 20°; at 15° and 30° after.
    out = [400 * math.cos(math.radians(a)) + 200 * math.cos(math.radians(a + 15)) for a in (5, 15)]
    up = [400 * math.sin(math.radians(a)) + 200 * math.sin(math.radians(a + 15)) for a in (5, 15)]
    assert piece.move is not None
    assert piece.move.right == pytest.approx(0.0, abs=1e-9)
    assert piece.move.ahead == pytest.approx(out[1] - out[0])
    assert piece.move.up == pytest.approx(up[1] - up[0])


def test_what_is_seen_at_its_mark_stands_where_it_stood_on_another_riser() -> None:
    """Tonight's riser slopes by 2° more, and nothing else was touched: all is seen at its mark."""
    marked = seen(page(slope=(2.0, 0.0)), *VALUES)
    answer = compared(page(), marked)
    for key in LEVELLED:
        found = setting(answer, key)
        assert (found.verdict, found.difference) == ("same", 0.0)
        assert found.own_before == found.own_after
    assert crash(answer).verdict == "same"
    # Had a level shown the same on that riser, the arm would have gone down by 2°.
    read = compared(page(), page(slope=(2.0, 0.0)))
    assert setting(read, "arm.roll").difference == pytest.approx(-2.0)
    assert setting(read, "boom.lean").difference == pytest.approx(0.0, abs=1e-6)


def test_two_causes_and_what_they_do_together() -> None:
    piece = crash(compared(page(), page({"arm.place": 830.0, "boom.reach": 140.0})))
    assert piece.move is not None
    whole = math.hypot(piece.move.ahead, piece.move.up)
    assert piece.move.distance == pytest.approx(whole)
    causes = {cause.setting: cause.amount for cause in piece.causes.of}
    # Two slides add up: each accounts for its own part along the move.
    reach = 40.0 * math.cos(math.radians(5.0)), 40.0 * math.sin(math.radians(5.0))
    along = (piece.move.ahead / whole, piece.move.up / whole)
    assert causes["boom.reach"] == pytest.approx(reach[0] * along[0] + reach[1] * along[1])
    assert causes["arm.place"] == pytest.approx(30.0 * along[1])
    assert sum(causes.values()) + piece.causes.rest == pytest.approx(whole)


def test_another_boom_is_a_cause_as_well() -> None:
    longer = kind_of("boom", *BOOM.joints, outlets=[Outlet(id="tip", offset=(0.0, 250.0, 0.0))])
    piece = crash(compared(page(), page({"arm.place": 810.0}, boom=longer)))
    causes = {cause.setting: cause.amount for cause in piece.causes.of}
    assert set(causes) == {"structure", "arm.place"}
    assert piece.move is not None
    assert sum(causes.values()) == pytest.approx(piece.move.distance)


def test_what_was_carried_counts_as_not_moved_and_is_named() -> None:
    before = page()
    after = carried(page({"arm.place": 830.0, "arm.spin": 2.0}), "arm.spin", source="older")
    piece = crash(compared(before, after))
    # The spin's number is not tonight's: only the place moved it.
    assert piece.move is not None
    assert piece.move.right == pytest.approx(0.0)
    assert piece.move.up == pytest.approx(30.0)
    assert piece.not_measured == ("arm.spin",)
    assert piece.why == "carried on the second: arm.spin"
    assert piece.verdict == "moved (no tolerance)"
    # Nor does how sure the spin is count: what is left sideways is the post's place and turn.
    out = 400.0 * math.cos(math.radians(5.0)) + 200.0 * math.cos(math.radians(20.0))
    assert piece.u is not None
    turn = out * math.radians(0.5)
    assert piece.u.right == pytest.approx(math.sqrt(2.0) * math.hypot(1.0, turn), rel=2e-3)
    still = crash(compared(before, carried(page(), *VALUES)))
    assert (still.verdict, still.beyond) == ("not measured", False)


def test_what_a_home_carries_is_wanted() -> None:
    home, after = carried(page(), *VALUES, source="older"), page({"arm.spin": 9.0})
    plain, wanted = compared(home, after), compared(home, after, wanted=True)
    assert crash(plain).verdict == "not measured"
    assert setting(plain, "arm.spin").verdict == "not comparable"
    assert setting(wanted, "arm.spin").verdict == "moved"
    found = crash(wanted)
    assert found.not_measured == ()
    assert [cause.setting for cause in found.causes.of] == ["arm.spin"]
    # What was not measured tonight is not compared, home or not.
    back = compared(after, home, wanted=True)
    assert setting(back, "arm.spin").why == "carried on the second"


def test_an_unknown_place_says_why() -> None:
    answer = compared(page(), page().with_setting("boom.reach", OPEN))
    piece = crash(answer)
    assert (piece.verdict, piece.move) == ("unknown", None)
    assert piece.why == "on the second: open: boom.reach"
    both = page().with_setting("boom.reach", OPEN)
    assert crash(compared(both, both)).why == "on both: open: boom.reach"


def test_a_piece_on_one_page_only() -> None:
    without = small_page(post("post"), values=standing("post", 0.0, 0.0))
    assert crash(compared(page(), without)).verdict == "only on the first"
    assert crash(compared(without, page())).verdict == "only on the second"


def test_without_an_instrument_a_move_is_not_called_sure() -> None:
    key = "boom.reach"

    def by_nobody(of: Page) -> Page:
        return of.with_setting(key, Setting(state="read", value=of.setting(key).value))

    piece = crash(compared(by_nobody(page()), by_nobody(page({key: 180.0}))))
    assert (piece.verdict, piece.unsure) == ("unsure", (key,))


def test_a_slope_that_one_night_nobody_measured_is_named() -> None:
    piece = crash(compared(page(), page(slope=(1.0, 0.0))))
    assert "floor.slope_ahead" in piece.not_measured
    assert piece.why == "open on the first: floor.slope_ahead"
    assert "floor.slope_right" in piece.assumed


@pytest.mark.parametrize("role", ["crash 1", "CRASH 1"])
def test_the_tolerance_is_the_roles(role: str) -> None:
    after = page({"boom.reach": 130.0})
    near = crash(compared(page(), after, Tolerance(id=role, mm=40.0, guess=True)))
    assert near.tolerance == Limit(mm=40.0, guess=True)
    assert near.verdict == "within tolerance"
    assert crash(compared(page(), after, Tolerance(id=role, mm=29.0))).verdict == "beyond tolerance"


@pytest.mark.parametrize(
    ("by", "turned", "limit", "verdict"),
    [
        ((0.0, 0.0, 0.0), 0.0, Limit(mm=5.0), "same"),
        ((0.0, 0.0, 4.0), 0.0, Limit(mm=5.0), "within tolerance"),
        ((0.0, 0.0, 6.0), 0.0, Limit(mm=5.0), "beyond tolerance"),
        ((0.0, 0.0, 1.9), 0.0, Limit(mm=5.0), "not told apart"),
        # Sideways nobody can tell 19 mm from none; what can be told is within.
        ((19.0, 0.0, 4.0), 0.0, Limit(mm=5.0), "not told apart"),
        ((21.0, 0.0, 4.0), 0.0, Limit(mm=5.0), "beyond tolerance"),
        ((0.0, 0.0, 6.0), 0.0, None, "moved (no tolerance)"),
        ((0.0, 0.0, 1.0), 0.0, None, "not told apart"),
        ((0.0, 0.0, 0.0), 3.0, Limit(mm=5.0, deg=2.0), "beyond tolerance"),
        ((0.0, 0.0, 0.0), 1.5, Limit(mm=5.0, deg=2.0), "within tolerance"),
        ((0.0, 0.0, 0.0), 0.9, Limit(mm=5.0, deg=0.5), "not told apart"),
        ((0.0, 0.0, 0.0), 3.0, Limit(mm=5.0), "within tolerance"),
        ((0.0, 0.0, 6.0), 0.0, Limit(deg=2.0), "within tolerance"),
    ],
)
def test_what_a_move_is_worth(
    by: tuple[float, float, float], turned: float, limit: Limit | None, verdict: str
) -> None:
    u = (10.0, 1.0, 1.0, 0.5, 0.5)
    assert judged((*by, turned, 0.0), u, turned, limit, is_unsure=False) == verdict
    unsure = judged((*by, turned, 0.0), u, turned, limit, is_unsure=True)
    assert unsure == ("same" if verdict == "same" else "unsure")
