"""The building screen as a pure state, and two people building at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from model.book.build import build
from model.book.edits import ClosedEdit
from model.book.page_file import open_page
from model.book.recording import record
from model.book.take import Hand
from model.readings.quantity import Refusal
from model.rig.building.grips import BarWish, gripped
from model.rig.building.steps import Wish, added, removed
from model.rig.building.steps import changed as set_of
from model.rig.page import Page
from model.rig.part import NOT_HUNG
from tests.building import KINDS, counted, empty_rig
from tests.journals import full
from tui.keys import Keys
from tui.screens.building import asking
from tui.screens.building.cells import prompt_cells, row_cells, title_cells
from tui.screens.building.choices import (
    bar_choices,
    field_choices,
    kind_choices,
    other_kind_choices,
    place_choices,
    spot_choices,
)
from tui.screens.building.joints import joint_picture
from tui.screens.building.press import press
from tui.screens.building.state import BuildState, start_building, with_rack
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import Save, start
from tui.screens.seek import Sought, matching
from tui.widgets.line import line_text

NAMED = {"Enter": "enter", "Esc": "escape", "Up": "up", "Down": "down", "Space": "space"}


@pytest.fixture
def state(tmp_path: Path) -> BuildState:
    """Return the screen's state on two posts with a curved bar, a boom on it, and a drum."""
    file = empty_rig(tmp_path)
    pair = counted()
    for name in ("Post left", "Post right"):
        file, _ = built_on(file.path, lambda page, n=name: added(page, Wish(n, "foot-post"), KINDS))
    posts = tuple(file.page.by_id)
    wish = BarWish("Front bar", posts, "right", curved=True)
    file, bar = built_on(file.path, lambda page: gripped(page, wish, KINDS, pair=pair))
    file, boom = built_on(
        file.path, lambda page: added(page, Wish("Boom", "boom-on-clamp", on=(bar,)), KINDS)
    )
    piece = Wish("Ride", type="piece", on=(boom,), fields={"size": "disc 508", "role": "ride"})
    file, _ = built_on(file.path, lambda page: added(page, piece, KINDS))
    return start_building(start(file, Hand(by="AK"), None, ()), KINDS, counted())


def built_on(path: Path, step):  # type: ignore[no-untyped-def]
    """Make a step on the page as it is on the disk; return it, and the part to look at."""
    made = build(open_page(path), step)
    assert not isinstance(made, Refusal), made.text()
    return made[0], made[1].at


def saved(state: BuildState) -> BuildState:
    """Save what the state wants, as the screen does."""
    wanted = state.rack.wanted
    if not isinstance(wanted, Save):
        return state
    rack = put_on_disk(state.rack, wanted)
    after = with_rack(state, rack, getattr(wanted.step.edit, "at", ""))
    return after if rack.message.sort == "refused" else replace(after, asking=None, marked=())


def keyed(state: BuildState, *keys: str) -> BuildState:
    """Press keys; a longer word is typed letter by letter."""
    for key in keys:
        names = [(NAMED[key], None)] if key in NAMED else [(c, c) for c in key]
        for name, char in names:
            state = saved(press(state, name, char, Keys(), 20))
    return state


def on(state: BuildState, name: str) -> BuildState:
    """Put the cursor on the part of that name."""
    return state.at(next(part.id for part in state.page.parts if part.name == name))


def disk(state: BuildState) -> Page:
    return open_page(state.rack.file.path).page


def words(choices: list[Sought]) -> list[str]:
    return [choice.words for choice in choices]


def test_the_tree_is_shown_without_settings(state: BuildState) -> None:
    assert [row.name for row in state.rows] == [
        "Floor", "Post left", "Front bar's clamp, Post left", "Front bar", "Boom", "Ride",
        "Post right", "Front bar's clamp, Post right",
    ]  # fmt: skip
    assert "7 parts" in line_text(title_cells(state), 80)
    assert line_text(row_cells(on(state, "Ride"), 5, 80), 80).split() == [
        "Ride", "piece", "ride,", "disc", "508", "mm",
    ]  # fmt: skip


def test_what_can_be_added_depends_on_where_the_cursor_is(state: BuildState) -> None:
    floor = words(kind_choices(state.at("floor")))
    assert "post on a T-foot or straight foot" in floor
    assert "drum" not in floor
    bar = words(kind_choices(on(state, "Front bar")))
    assert bar.index("leg-less stand clamped to a bar") < bar.index(
        "hinged clamp on a post, the bar beside it"
    )
    assert words(kind_choices(on(state, "Boom")))[:4] == ["drum", "cymbal", "pad", "percussion"]
    clamp = on(state, "Front bar's clamp, Post left")
    assert {KINDS[choice.id].fits for choice in kind_choices(clamp)} == {"bar"}
    assert bar_choices(on(state, "Post left"))[0].id == "right"
    assert len(bar_choices(keyed(on(state, "Post left"), "Space"))) == 7
    assert words(place_choices(on(state, "Ride")))[-1].startswith("not hung")
    assert spot_choices(on(state, "Boom")) == []
    assert len(spot_choices(on(state, "Ride"))) == 4
    assert "boom arm on a rod clamp, on a post" in words(other_kind_choices(on(state, "Boom")))


def test_what_is_typed_narrows_the_list() -> None:
    found = [Sought("a", "drum on three legs"), Sought("b", "throne"), Sought("c", "a third thing")]
    assert words(matching(found, "th")) == ["throne", "drum on three legs", "a third thing"]
    assert words(matching(found, "three drum")) == ["drum on three legs"]
    assert matching(found, "xyz") == []


def test_a_kind_is_drawn_from_root_to_tip() -> None:
    assert joint_picture(KINDS["boom-on-clamp"]) == (
        "tube ─ place ↔ ─ spin ↻ ─ tilt ↻24 ─ reach ↔ ─ lean ↻ ─> tip"
    )
    assert joint_picture(KINDS["side-clamp"]) == ("tube ─ height ↔ ─ spin ↻ ─> jaw [bar beside]")
    assert joint_picture(KINDS["floor-brace"]) == "clamp ─ grip ↔ ─ (slope ↻)"


def test_a_part_is_added_with_its_name_and_size(state: BuildState) -> None:
    state = asking.ask_for(on(state, "Boom"), "piece:cymbal")
    state = keyed(state, "Splash", "Enter")
    assert "how large" in line_text(prompt_cells(state, 80), 80)
    state = keyed(state, "big", "Enter")
    assert "not a number" in state.rack.message.text
    assert state.asking is not None
    for _ in range(3):
        state = replace(state)
        state = saved(press(state, "backspace", None, Keys(), 20))
    state = keyed(state, '8"', "Enter")
    splash = next(part for part in disk(state).parts if part.name == "Splash")
    assert (splash.role, splash.disc.diameter) == ("splash", 203.2)  # type: ignore[union-attr]
    assert state.row.name == "Splash"


def test_taking_off_undoing_and_doing_again(state: BuildState) -> None:
    before = disk(state)
    state = keyed(on(state, "Front bar"), "x")
    assert "not hung now: Boom" in state.rack.message.text
    assert [row.name for row in state.rows][-3:] == ["Not hung", "Boom", "Ride"]
    state = keyed(state, "u")
    assert disk(state) == before
    state = keyed(state, "r")
    assert "Front bar" not in {part.name for part in disk(state).parts}
    state = keyed(state, "uu")
    assert state.rack.message.text == "nothing to undo"


def test_marks_copy_several_and_hang_a_bar_on_two(state: BuildState) -> None:
    state = keyed(on(state, "Post left"), "Space")
    state = keyed(on(state, "Post right"), "Space")
    state = keyed(state, "y")
    assert {"Post left 2", "Post right 2", "Front bar 2", "Boom 2", "Ride 2"} <= {
        part.name for part in disk(state).parts
    }
    assert state.marked == ()
    clamps = [p.id for p in state.page.parts if p.name.startswith("Front bar's clamp, Post") and
              p.name.endswith("2")]  # fmt: skip
    state = keyed(on(state, "Front bar 2"), "x")
    bar = next(part for part in state.page.parts if part.name == "Front bar")
    state = asking.hang_on(replace(state.at(bar.id), marked=(clamps[0],)), clamps[1], None)
    state = saved(state)
    assert disk(state).by_id[bar.id].on == (clamps[0], clamps[1])
    assert {disk(state).setting(f"{clamp}.spin").state for clamp in clamps} == {"follows"}


def test_a_field_taken_as_it_was_changes_nothing(state: BuildState) -> None:
    before = disk(state)
    ride = on(state, "Ride")
    state = keyed(asking.ask_field(ride, "size", "disc 508 mm"), "Enter")
    assert (state.rack.message.text, disk(state)) == ("left as it was", before)
    state = keyed(asking.ask_field(ride, "weight", ""), "2.2?", "Enter")
    assert disk(state).by_id[state.row.id].weight is not None
    assert "size" in {choice.id for choice in field_choices(state)}


def test_a_kind_of_ones_own(state: BuildState) -> None:
    state = keyed(on(state, "Boom"), "K", "Long boom", "Enter")
    kind = disk(state).by_kind[str(disk(state).by_id[state.row.id].kind)]
    assert kind.name == "Long boom"
    ids = {choice.id for choice in field_choices(state)}
    assert {"kind:reach.limit", "kind:end.tip", "kind:JOINT"} <= ids
    state = keyed(asking.ask_field(state, "kind:reach.limit", ""), "0..600", "Enter")
    assert disk(state).by_kind[kind.id].by_joint["reach"].limit == (0.0, 600.0)
    state = keyed(asking.ask_field(state, "kind:JOINT", ""), "swivel turns z", "Enter")
    assert f"{state.row.id}.swivel" in disk(state).settings
    assert keyed(state, "K").rack.message.text.startswith("it is of a kind of your own")


def test_what_was_typed_stays_while_the_disk_refuses(
    state: BuildState, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = asking.ask_for(state.at("floor"), "foot-post")
    with monkeypatch.context() as refusing:
        full(refusing)
        state = keyed(state, "My long typed name", "Enter")
        assert state.rack.message.text.startswith("not saved; the old file is whole")
        assert state.asking is not None
        assert state.asking.typed.text == "My long typed name"
    state = keyed(state, "Enter")
    assert "My long typed name" in {part.name for part in disk(state).parts}


def test_a_closed_page_is_told_before_anything_is_typed(state: BuildState) -> None:
    file = record(state.rack.file, ClosedEdit(closed=True))
    state = replace(state, rack=replace(state.rack, file=file))
    for key in ("a", "b", "h", "Enter", "n", "c", "y", "x", "s", "u"):
        state = keyed(on(state, "Boom"), key)
        assert "closed for the show" in state.rack.message.text
        assert (state.wanted, state.asking) == (None, None)


def test_what_another_builds_meanwhile_stands_beside(state: BuildState) -> None:
    built_on(state.rack.file.path, lambda page: added(page, Wish("Theirs", "foot-post"), KINDS))
    state = keyed(asking.ask_for(state.at("floor"), "foot-post"), "Mine", "Enter")
    assert "someone else's changes came in as well" in state.rack.message.text
    assert {"Theirs", "Mine"} <= {part.name for part in disk(state).parts}
    built_on(state.rack.file.path, lambda page: added(page, Wish("More", "foot-post"), KINDS))
    state = keyed(state, "u")
    names = {part.name for part in disk(state).parts}
    assert "Mine" not in names
    assert {"Theirs", "More"} <= names
    state = keyed(state, "r")
    assert "Mine" in {part.name for part in disk(state).parts}


def test_a_field_that_another_set_meanwhile_is_asked_once_more(state: BuildState) -> None:
    post = state.page.parts[0].id
    built_on(state.rack.file.path, lambda page: set_of(page, post, {"tube": "38"}))
    state = keyed(asking.ask_field(state.at(post), "tube", ""), "31.8", "Enter")
    assert "someone else changed Post left" in state.rack.message.text
    assert disk(state).by_id[post].tube == 38.0  # type: ignore[union-attr]
    state = keyed(state, "Enter")
    assert disk(state).by_id[post].tube == 31.8  # type: ignore[union-attr]


def test_a_part_that_another_took_off_ends_nothing(state: BuildState) -> None:
    ride = next(part.id for part in state.page.parts if part.name == "Ride")
    built_on(state.rack.file.path, lambda page: removed(page, ride))
    after = keyed(state.at(ride), "x")
    assert "not on the page any more" in after.rack.message.text
    acts: list[Callable[[BuildState], BuildState]] = [
        lambda s: asking.hang_on(s, NOT_HUNG, None),
        lambda s: asking.give_kind(s, "turned-piece"),
        lambda s: asking.add_spot(s, "near"),
    ]
    for act in acts:
        told = saved(act(state.at(ride))).rack.message
        assert (told.sort, "not on the page any more" in told.text) == ("refused", True)
    assert ride not in disk(state).by_id


def test_spots_are_shown_and_taken_off(state: BuildState) -> None:
    state = saved(asking.add_spot(on(state, "Ride"), "near"))
    assert [row.name for row in state.rows][-2:] == ["Spots", "Ride, near edge"]
    assert state.row.name == "Ride, near edge"
    state = keyed(state, "x")
    assert disk(state).spots == ()


def test_by_hand_one_stands_before_another(state: BuildState) -> None:
    state = saved(press(on(state, "Post right"), "less_than_sign", "<", Keys(), 20))
    assert next(iter(disk(state).by_id.values())).name == "Post right"
    state = saved(press(state, "less_than_sign", "<", Keys(), 20))
    assert state.rack.message.text == "it is the first of them"
