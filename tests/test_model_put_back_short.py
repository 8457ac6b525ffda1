"""The short changeover on small rigs, each worked out by hand, and its parts on their own."""

from __future__ import annotations

import math
import random

import pytest

from model.book.book import Tolerance
from model.compare.putback import short_exact, short_sum
from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.goal import goal_of
from model.compare.putback.make import Choices, put_back
from model.compare.putback.minutes import Minutes
from model.compare.putback.short import short_put_back
from model.compare.putback.short_goals import ShortGoals
from model.compare.putback.short_moves import Moves
from model.compare.putback.text import put_back_lines
from model.errors import CannotDo
from model.rig.kind import Joint
from model.rig.page import Page
from model.rig.part import Dial
from model.rig.setting import OPEN, Setting
from tests.rigs_small import bar, disc, kind_of, mount, piece, post, small_page, standing
from tests.short_cases import NAMES, random_cases, read, two_booms


def short(now: Page, home: Page, minutes: float, choices: Choices | None = None) -> PutBack:
    asked = Asked(now, home, NAMES, everything=True)
    return short_put_back(asked, choices or Choices(), minutes)


def set_keys(answer: PutBack) -> list[str]:
    return [line.tick for line in answer.lines if line.task in ("set", "dial")]


MOVED: dict[str, float | int] = {"boom-l.reach": 340.0, "boom-r.reach": 360.0}


def test_what_is_farther_off_comes_first() -> None:
    home = two_booms()
    answer = short(read(home, MOVED), home, 0.9)
    assert set_keys(answer) == ["boom-r.reach"]
    assert answer.minutes == pytest.approx(0.8)
    assert [(held.title, held.settings) for held in answer.left_out] == [
        ("boom-l", ("boom-l.reach",))
    ]
    # 40 mm and 60 mm of 20 mm, and a twentieth for each setting that is not home.
    assert answer.off_before == pytest.approx(5.1, abs=1e-6)
    assert answer.off_after == pytest.approx(2.05, abs=1e-6)
    crash = next(held for held in answer.remains if held.piece == "crash")
    assert crash.distance == pytest.approx(40.0, abs=1e-6)


def test_a_role_that_counts_twice_comes_before_what_is_farther_off() -> None:
    home = two_booms()
    twice = Tolerance(id="Crash", mm=20.0, deg=3.0, counts=2.0)
    answer = short(read(home, MOVED), home, 0.9, Choices(tolerances=(twice,)))
    assert set_keys(answer) == ["boom-l.reach"]


def test_a_tolerance_that_is_finer_comes_before_what_is_farther_off() -> None:
    home = two_booms()
    finer = Tolerance(id="crash", mm=5.0)
    assert set_keys(short(read(home, MOVED), home, 0.9, Choices(tolerances=(finer,)))) == [
        "boom-l.reach"
    ]


def test_what_a_crew_is_slow_at_is_left_out() -> None:
    home = two_booms()
    now = read(home, {"boom-l.lean": 12.0, "boom-r.reach": 400.0})
    assert set_keys(short(now, home, 0.9)) == ["boom-r.reach"]
    slow = Choices(minutes=Minutes(slide=1.0))
    assert set_keys(short(now, home, 0.9, slow)) == ["boom-l.lean"]


def test_two_moves_that_help_only_together_are_taken_together() -> None:
    home = two_booms()
    # The boom one tooth up and the cymbal as much back: the cymbal is level, 78 mm too high.
    now = read(home, {"boom-l.tilt": 1, "boom-l.lean": -15.0, "boom-r.reach": 310.0})
    alone = [read(now, {key: 0}) for key in ("boom-l.tilt", "boom-l.lean")]
    before, *worse = (short(page, home, 0.1).off_before for page in (now, *alone))
    assert before is not None
    assert all(off is not None and off > before for off in worse)
    assert set_keys(short(now, home, 0.9)) == ["boom-r.reach"]
    assert set_keys(short(now, home, 1.5)) == ["boom-l.tilt", "boom-l.lean"]


def test_with_time_for_all_it_is_the_whole_list() -> None:
    home = two_booms()
    now = read(home, {**MOVED, "boom-l.spin": 20.0, "boom-r.lean": 4.0, "post-l.x": -640.0})
    answer = short(now, home, 60.0)
    whole = put_back(Asked(now, home, NAMES, everything=True))
    assert answer.steps == whole.steps
    assert answer.minutes == whole.minutes
    assert answer.left_out == ()
    assert answer.off_after == pytest.approx(0.0, abs=1e-6)


def dialled(word: str, reach: float, turn: float) -> Page:
    """Return a boom with a dial, and a drum whose badge is turned."""
    page = two_booms(dials=(Dial(id="felts", unit="word"),))
    values = {"boom-r.reach": reach, "boom-r.lean": turn}
    felts = Setting(state="read", value=word, using="gauge")
    return read(page, values).with_setting("crash.dial.felts", felts)


def test_a_dial_is_set_when_there_is_time_left() -> None:
    now, home = dialled("two", 320.0, 3.0), dialled("three", 300.0, 0.0)
    assert set_keys(short(now, home, 1.6)) == ["boom-r.reach", "boom-r.lean"]
    answer = short(now, home, 2.0)
    assert set(set_keys(answer)) == {"crash.dial.felts", "boom-r.reach", "boom-r.lean"}
    assert set_keys(short(now, home, 0.5)) == ["crash.dial.felts"]


@pytest.mark.parametrize("minutes", [0.0, -3.0, math.nan, math.inf, -math.inf])
def test_minutes_that_are_none_are_refused(minutes: float) -> None:
    home = two_booms()
    with pytest.raises(CannotDo, match="number of minutes") as error:
        short(read(home, MOVED), home, minutes)
    assert error.value.problems[0].right


def test_too_little_time_for_any_move_is_said() -> None:
    home = two_booms()
    answer = short(read(home, MOVED), home, 0.7)
    assert answer.steps == ()
    assert "no move fits into 0.7 min: the shortest, at boom-l, takes about 0.8 min" in answer.notes
    lines = list(put_back_lines(answer, home, "mm"))
    assert "nothing is done in that time" in lines
    assert "LEFT FOR LATER" in lines


def test_nothing_moved_is_nothing_to_do() -> None:
    home = two_booms()
    answer = short(home, home, 5.0)
    assert (answer.steps, answer.left_out, answer.off_after) == ((), (), 0.0)
    assert any("nothing moved" in line for line in put_back_lines(answer, home, "mm"))


def test_what_is_missing_comes_first_whatever_the_time() -> None:
    home = two_booms()
    now = read(home, MOVED)
    gone = ("boom-l", "crash")
    now = Page.model_construct(
        **{
            **{name: getattr(now, name) for name in Page.model_fields},
            "parts": tuple(part for part in now.parts if part.id not in gone),
            "record": tuple(held for held in now.record if not held[0].startswith("boom-l.")),
        }
    )
    answer = short(now, home, 1.0)
    assert [step.part for step in answer.structure] == ["boom-l", "crash"]
    assert any("what is missing comes first" in note for note in answer.notes)
    assert {line.part for line in answer.lines} == {"boom-l"}
    more = short(now, home, answer.minutes + 0.8)
    assert "boom-r.reach" in set_keys(more)


def test_a_piece_whose_place_is_not_known_does_not_count_and_is_told() -> None:
    home = two_booms()
    now = read(home, MOVED).with_setting("boom-r.place", OPEN)
    unknown = home.with_setting("boom-r.place", OPEN)
    answer = short(now, unknown, 0.9)
    assert set_keys(answer) == ["boom-l.reach"]
    assert "not counted, their place is not known: ride" in answer.notes


def test_a_piece_clamped_to_a_post_counts_from_where_its_page_measures_it() -> None:
    parts = (
        post("post", length=1100.0),
        piece("block", "post", kind="pad-clamp", **{"from": "B"}, edge="near"),
    )
    kind = kind_of("pad-clamp", Joint(id="place", slides="rail"), body=40.0)
    values = {**standing("post", 0.0, 500.0), "block.place": 800.0}
    home = small_page(*parts, kinds=(kind,), values=values)
    answer = short(read(home, {"block.place": 840.0}), home, 5.0)
    assert answer.off_before == pytest.approx(40.0 / 20.0 + 0.05, abs=1e-6)
    assert answer.off_after == pytest.approx(0.0, abs=1e-6)


def loop() -> Page:
    """Return two posts with a straight bar in two clamps, and a pad's boom on it."""
    return small_page(
        post("post-l"),
        post("post-r"),
        mount("clamp-l", "side-clamp", "post-l"),
        mount("clamp-r", "side-clamp", "post-r"),
        bar("bar", "bar-in-two-clamps", "clamp-l", "clamp-r", length=1200.0),
        mount("boom", "boom-on-clamp", "bar"),
        disc("pad", "boom"),
        piece("seat", kind="floor-seat", role="throne"),
        values={
            **standing("post-l", -500.0, 500.0),
            **standing("post-r", 500.0, 500.0),
            "clamp-l.height": 800.0,
            "clamp-r.height": 800.0,
            "bar.grip_a": 100.0,
            "bar.grip_b": 1100.0,
            "boom.place": 600.0,
            "boom.spin": 0.0,
            "boom.tilt": 0,
            "boom.reach": 300.0,
            "boom.lean": 0.0,
            "seat.x": 0.0,
            "seat.y": 0.0,
            "seat.height": 500.0,
        },
        follows=("clamp-l.spin", "clamp-r.spin"),
    )


def test_a_bars_two_clamps_are_one_move_and_take_the_minutes_of_both() -> None:
    home = loop()
    now = read(home, {"clamp-l.height": 840.0, "boom.reach": 310.0})
    loosen_and_set = 2 * (0.4 + 0.4) + 2 * 0.4  # two clamps, their heights, the bar's two grips
    turned = 0.4  # the bar rolls: it is turned until the boom's jaw shows what it is to show
    answer = short(now, home, loosen_and_set + turned)
    assert "clamp-l.height" in set_keys(answer)
    assert answer.minutes == pytest.approx(loosen_and_set + turned)
    assert set_keys(short(now, home, loosen_and_set + turned - 0.1)) == ["boom.reach"]


@pytest.mark.parametrize("first", range(20, 32, 4))
def test_minutes_are_those_of_the_steps(first: int) -> None:
    tried = 0
    for seed, case in random_cases(range(first, first + 4), 12):
        rng = random.Random(seed)
        whole = goal_of(case.basis)
        goals, moves = ShortGoals(whole), Moves(whole, (), case.choices.minutes)
        for _ in range(4):
            keys = rng.sample(sorted(case.basis.moved), rng.randint(1, len(case.basis.moved)))
            goal = goal_of(case.basis, keys)
            steps = case.minutes(goal, frozenset())
            kept = goals.goal_of(keys)
            assert (kept.keys, kept.opened, kept.own) == (goal.keys, goal.opened, goal.own)
            assert case.choices.minutes.of(moves.kinds_in(kept)) == pytest.approx(steps)
            tried += 1
    assert tried


@pytest.mark.parametrize("bound", ["tries", "wide"])
def test_where_not_all_can_be_tried_it_is_said_and_is_no_worse_than_root_to_tip(
    bound: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # More moves than can be tried are rare: here the bounds are set so low that few can.
    if bound == "tries":
        monkeypatch.setattr(short_exact, "TRIES", 2)
    else:
        monkeypatch.setattr(short_sum, "WIDEST", 0)
    tried = 0
    for _, case in random_cases(range(40, 52), 8, 3):
        longest = case.came(case.basis.moved)[0]
        for share in (0.3, 0.7):
            limit = longest * share
            answer = short_put_back(case.asked, case.choices, limit)
            assert answer.minutes <= limit + 0.005
            assert answer.off_after is not None
            assert answer.off_after <= case.root_to_tip(limit) + 1e-5
            assert any("not surely the best" in note for note in answer.notes)
        tried += 1
    assert tried


def test_the_same_question_has_the_same_answer() -> None:
    _, case = next(random_cases(range(60, 80), 8, 5))
    first, second = (short_put_back(case.asked, case.choices, 3.0) for _ in range(2))
    assert first == second


def test_the_list_says_what_it_is_of_and_fits_on_80_columns() -> None:
    home = two_booms()
    answer = short(read(home, MOVED), home, 1.0)
    lines = list(put_back_lines(answer, home, "mm"))
    assert max(map(len, lines)) <= 80
    assert "WHEN THIS IS DONE, from home" in lines
    assert "  boom-l: reach" in lines
    assert "about 0.8 of 1 min; off home by 2.0" in " ".join(lines[:5])
