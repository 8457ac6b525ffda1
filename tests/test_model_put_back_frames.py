"""Put-backs of pages that do not say the same: parts missing, places measured otherwise, dials."""

from __future__ import annotations

from collections.abc import Mapping

from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.enough import enough_put_back
from model.compare.putback.make import Choices, put_back
from model.compare.putback.text import put_back_lines
from model.compare.putback.wanted_rig import wanted_rig
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.setting import OPEN, Setting
from tests.rigs_small import bar, disc, mount, piece, post, small_page, standing

NAMES = ("after", "home")
BETWEEN: Mapping[str, float] = {
    **standing("left", -500.0, 600.0),
    **standing("right", 500.0, 600.0),
    "clamp-l.height": 700.0,
    "clamp-r.height": 700.0,
    "bar.grip_a": 50.0,
    "bar.grip_b": 1050.0,
}


def between(*more: AnyPart, **changed: object) -> Page:
    """Return a bar between two posts with more on it; ``values`` are more than the bar's own."""
    values = changed.pop("values", {})
    assert isinstance(values, Mapping)
    clamps = [mount(f"clamp-{end[0]}", "cross-clamp", end, **changed) for end in ("left", "right")]
    return small_page(
        post("left"),
        post("right"),
        *clamps,
        bar("bar", "bar-in-two-clamps", "clamp-l", "clamp-r", length=1100.0),
        *more,
        values={**BETWEEN, **values},
        follows=("clamp-l.spin", "clamp-r.spin"),
    )


def without(page: Page, *ids: str) -> Page:
    fields = {name: getattr(page, name) for name in Page.model_fields}
    parts = tuple(part for part in page.parts if part.id not in ids)
    record = tuple(
        (key, setting) for key, setting in page.record if key.partition(".")[0] not in ids
    )
    return Page.model_validate({**fields, "parts": parts, "record": record})


def way_home(now: Page, home: Page) -> PutBack:
    return put_back(Asked(now, home, NAMES, everything=True))


def printed(now: Page, home: Page) -> str:
    rig = wanted_rig(now, home)
    return " ".join(" ".join(put_back_lines(way_home(now, home), rig, "mm")).split())


def test_a_missing_part_whose_joint_home_does_not_know_is_put_back_all_the_same() -> None:
    arm = mount("arm", "arm-on-clamp", "bar")
    home = between(arm, values={"arm.place": 400.0, "arm.spin": 20.0})
    assert home.setting("arm.slide").state == "open"
    answer = way_home(without(home, "arm"), home)
    assert [step.tick for step in answer.structure] == ["put.arm"]
    assert {"arm.place", "arm.spin"} <= {line.tick for line in answer.lines}


def test_a_missing_bar_with_its_clamps_has_no_line_for_what_follows() -> None:
    home = between()
    now = without(home, "clamp-l", "clamp-r", "bar")
    answer = way_home(now, home)
    assert len(answer.structure) == 3
    ticks = {line.tick for line in answer.lines}
    assert {"clamp-l.height", "bar.grip_a"} <= ticks
    assert not {"clamp-l.spin", "clamp-r.spin"} & ticks


def test_a_place_is_the_same_whether_its_frame_is_said_or_not() -> None:
    """A clamp's height is open, so that its arm keeps its words; they are the usual ones."""
    arm = mount("arm", "arm-on-clamp", "bar")
    tom = disc("tom", "arm")
    home = between(arm, tom, values={"arm.place": 400.0, "arm.spin": 20.0})
    now = home.with_settings(
        {
            "clamp-r.height": OPEN,
            "arm.place": Setting(state="read", value=300.0, using="gauge"),
        }
    )
    told = {line.tick: (line.start, line.to) for line in way_home(now, home).lines}
    assert told["arm.place"] == (300.0, 400.0)
    enough = enough_put_back(Asked(now, home, NAMES), Choices())
    assert "arm.place" in {line.tick for line in enough.lines}


def test_within_a_step_too_a_clamp_waits_for_the_one_it_is_measured_from() -> None:
    def rig(**values: float) -> Page:
        wing = mount("clamp-w", "cross-clamp", "left", **{"from": "clamp-z"})
        front = mount("clamp-z", "cross-clamp", "left")
        other = [mount(f"other-{end}", "cross-clamp", "right") for end in "wz"]
        bars = [
            bar(f"bar-{end}", "bar-in-two-clamps", f"clamp-{end}", f"other-{end}", length=1100.0)
            for end in "wz"
        ]
        told = {
            **standing("left", values.pop("x"), 600.0),
            **standing("right", 500.0, 600.0),
            "clamp-z.height": values.pop("front"),
            "clamp-w.height": values.pop("wing"),
            "other-w.height": 500.0,
            "other-z.height": 650.0,
            **{f"bar-{end}.grip_a": 50.0 for end in "wz"},
            **{f"bar-{end}.grip_b": 1050.0 for end in "wz"},
        }
        ids = ("clamp-w", "clamp-z", "other-w", "other-z")
        return small_page(
            post("left"),
            post("right"),
            wing,
            front,
            *other,
            *bars,
            values=told,
            follows=[f"{id_}.spin" for id_ in ids],
        )

    home = rig(x=-500.0, front=650.0, wing=-150.0)
    answer = way_home(rig(x=-480.0, front=600.0, wing=-100.0), home)
    (step,) = answer.steps
    order = [line.tick for line in step.lines]
    assert order.index("clamp-z.height") < order.index("clamp-w.height")
    wing = next(line for line in step.lines if line.tick == "clamp-w.height")
    # Tonight it is 500 from the rug: with the front one at home that is 150 below it.
    assert (wing.start, wing.to) == (-150.0, -150.0)
    assert "clamp-w, height: keep at -150 mm (clamp-z to the" in printed(
        rig(x=-480.0, front=600.0, wing=-100.0), home
    )


def test_dials_that_nobody_read_are_to_be_looked_at() -> None:
    drum = piece("tom", "post", dials=({"id": "lug_1", "unit": "Hz"},))
    home = small_page(
        post("post"), drum, values={**standing("post", 0.0, 500.0), "tom.dial.lug_1": 81.0}
    )
    carried = Setting(state="carried", value=70.0, page="home")
    now = home.with_settings({"tom.dial.lug_1": carried})
    assert [(held.setting, held.to, held.state) for held in way_home(now, home).unread] == [
        ("tom.dial.lug_1", 81.0, "carried")
    ]
    assert "tom, lug 1: home is 81 Hz" in printed(now, home)
    assert "tom, lug 1: set to 81 Hz" in printed(without(home, "tom"), home)


def test_a_level_is_told_by_what_is_down_since_it_shows_no_sign() -> None:
    arm = mount("arm", "arm-on-clamp", "bar")
    values = {"arm.place": 400.0, "arm.spin": 92.0}
    gravity = Setting(state="read", value=92.0, using="gauge", read_from="gravity")
    home = between(arm, values=values).with_settings({"arm.spin": gravity})
    now = home.with_settings(
        {"arm.place": Setting(state="read", value=300.0, using="gauge"), "arm.spin": gravity}
    )
    line = next(line for line in way_home(now, home).lines if line.tick == "arm.spin")
    # Clockwise seen from B, the right end: from upright the top goes ahead.
    assert line.task == "keep"
    assert line.leans == "top away from the player, 88.0° on a level, past plumb"
