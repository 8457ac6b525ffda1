"""The rack screen as a pure state: every key, and what it leaves on the disk."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.rig.kind import Joint
from model.rig.naming import settings_named
from model.rig.setting import Setting
from tests.rack_stage import HEIGHT, keyed, rack_on, reread, small_book
from tests.rigs_small import kind_of, mount, small_page
from tui.keys import Keys
from tui.screens.rack.cells import moved_words, row_cells
from tui.screens.rack.press import press
from tui.screens.rack.state import RackState
from tui.widgets.line import line_text


@pytest.fixture
def rack(tmp_path: Path) -> RackState:
    return rack_on(small_book(tmp_path / "book"))


def on(state: RackState, key: str) -> RackState:
    return state.shown_row(key)


def test_digits_begin_an_entry_and_enter_takes_it_and_steps_on(rack: RackState) -> None:
    state = keyed(on(rack, "clamp-l.height"), "32 3/16", "Enter")
    setting = reread(state).page.setting("clamp-l.height")
    assert (setting.state, setting.value, setting.by) == ("read", 817.5625, "AK")
    assert setting.using == "tape"
    # The clamp's spin follows from the loop, so the next one asked for is the bar's first grip.
    assert state.cursor == "bar.grip_a"
    assert state.prompt is None
    assert state.message.sort == "saved"


def test_a_reading_costs_its_digits_and_enter(rack: RackState) -> None:
    state = keyed(on(rack, "throne.x"), "0", "Enter", "1", "Enter", "21½", "Enter")
    page = reread(state).page
    assert [page.setting(f"throne.{k}").value for k in ("x", "y", "height")] == [0.0, 25.4, 546.1]


def test_a_refused_entry_stays_visible_with_its_reason(rack: RackState) -> None:
    before = reread(rack).text
    state = keyed(on(rack, "clamp-l.height"), "1,016", "Enter")
    assert state.prompt is not None
    assert state.prompt.typed.text == "1,016"
    assert state.message.sort == "refused"
    assert "1016 or 1.016" in state.message.text
    assert reread(state).text == before
    state = keyed(state, "BSpace", "BSpace", "BSpace", "BSpace", "6", "Enter")
    assert reread(state).page.setting("clamp-l.height").value == pytest.approx(16 * 25.4)


@pytest.mark.parametrize("leave", [["Esc"], ["BSpace"] * 4])
def test_leaving_an_entry_changes_nothing(rack: RackState, leave: list[str]) -> None:
    before = reread(rack).text
    state = keyed(on(rack, "clamp-l.height"), "123", *leave)
    assert state.prompt is None
    assert reread(state).text == before


def test_relative_entries_and_the_carried_value(rack: RackState) -> None:
    state = keyed(on(rack, "clamp-l.height"), "++1/4", "Enter")
    assert reread(state).page.setting("clamp-l.height").value == pytest.approx(812.8 + 6.35)
    state = keyed(on(state, "clamp-r.height"), "=", "Enter")
    again = reread(state).page.setting("clamp-r.height")
    assert (again.state, again.value) == ("read", 817.5625)


def test_undo_and_redo_go_to_the_disk_and_to_the_row(rack: RackState) -> None:
    start = reread(rack).page
    state = keyed(on(rack, "clamp-l.height"), "30", "Enter")
    state = keyed(on(state, "bar.grip_a"), "1", "Enter", "u")
    assert state.cursor == "bar.grip_a"
    assert reread(state).page.setting("bar.grip_a") == start.setting("bar.grip_a")
    state = keyed(state, "u")
    assert reread(state).page == start
    state = keyed(state, "r", "r")
    assert reread(state).page.setting("bar.grip_a").value == pytest.approx(25.4)
    assert "nothing to do again" in keyed(state, "r").message.text


@pytest.mark.parametrize("key", ["Tab", "⇧Tab", "g", "space", "z", "left", "right", "down"])
def test_what_was_said_of_an_undo_goes_with_the_next_key(rack: RackState, key: str) -> None:
    state = keyed(on(rack, "clamp-l.height"), "30", "Enter", "u")
    assert state.message.text.startswith("undone: ")
    name = {"Tab": "tab", "⇧Tab": "shift+tab"}.get(key, key)
    after = press(state, name, None, Keys(), HEIGHT)
    assert (after.cursor, len(after.rows)) != (state.cursor, len(state.rows))
    assert after.message.text == ""
    assert keyed(state, "u").message.text.startswith("nothing to undo")


def test_undo_all_the_way_is_the_start(rack: RackState) -> None:
    text = reread(rack).text
    state = keyed(on(rack, "clamp-l.height"), "30", "Enter", "s", "n", "stiff", "Enter", "o")
    count = len(state.done)
    assert count >= 3
    state = keyed(state, *["u"] * (count + 2))
    assert reread(state).text == text


def test_seen_is_no_reading_and_never_marks_what_is_read_or_open(rack: RackState) -> None:
    state = keyed(on(rack, "clamp-l.height"), "s")
    seen = reread(state).page.setting("clamp-l.height")
    assert (seen.state, seen.value, seen.by) == ("seen", 812.8, "AK")
    assert seen.page == "2025-03-14-soundcheck"
    refused = keyed(on(state, "post-r.turn"), "s").message
    assert (refused.sort, refused.text.split(": ")[1]) == ("refused", "type its value")
    state = keyed(on(state, "clamp-r.height"), "32", "Enter")
    assert "read tonight" in keyed(on(state, "clamp-r.height"), "s").message.text
    assert "follows" in keyed(on(state, "clamp-r.spin"), "s").message.text


def test_a_following_setting_is_checked_and_keeps_following(rack: RackState) -> None:
    state = keyed(on(rack, "clamp-l.spin"), "44", "Enter")
    check = reread(state).page.setting("clamp-l.spin")
    assert (check.state, check.value) == ("follows", 44.0)


def test_a_word_dial_is_typed_after_enter(rack: RackState) -> None:
    state = keyed(on(rack, "kick.dial.beater_angle"), "Enter", "fourth notch", "Enter")
    assert reread(state).page.setting("kick.dial.beater_angle").value == "fourth notch"


def test_a_value_outside_its_limits_is_recorded_and_flagged(rack: RackState) -> None:
    state = keyed(on(rack, "throne.height"), "900mm", "Enter")
    assert reread(state).page.setting("throne.height").value == 900.0
    assert 'outside ~17 11/16" to ~25 9/16"' in state.message.text  # 450 to 650 mm
    assert "guess" in state.message.text


def test_notes_photos_and_the_page_note(rack: RackState) -> None:
    state = keyed(on(rack, "clamp-l.height"), "n", "stiff # bolt", "Enter")
    state = keyed(state, "p", "a.jpg, b.jpg", "Enter", "N", "rug moved", "Enter")
    page = reread(state).page
    assert page.notes_on["clamp-l"].note == "stiff # bolt"
    assert page.notes_on["clamp-l"].photos == ("a.jpg", "b.jpg")
    assert dict(page.crew)["AK"] == "rug moved"
    refused = keyed(state, "p", "/x", "Enter")
    assert refused.message.sort == "refused"


def test_a_page_note_needs_its_writer(tmp_path: Path) -> None:
    state = keyed(rack_on(small_book(tmp_path / "b"), by=None), "N")
    assert state.prompt is None
    state = keyed(state, "b", "JM", "Enter", "N", "dark", "Enter")
    assert dict(reread(state).page.crew)["JM"] == "dark"


def test_find_goes_to_the_part_as_one_types_and_into_it_on_enter(rack: RackState) -> None:
    state = keyed(rack, "f", "rear")
    assert state.cursor == "rear-boom"
    assert keyed(state, "Enter").cursor == "rear-boom.place"
    assert keyed(state, "Esc").cursor == rack.cursor
    assert "no part" in keyed(rack, "f", "zzz").message.text
    assert keyed(rack, "f", "rez", "Enter").cursor == rack.cursor
    assert keyed(rack, "f", "boom", "down").cursor != keyed(rack, "f", "boom").cursor
    # A role finds its piece too, and what is folded away unfolds.
    folded = keyed(rack, "z")
    assert keyed(folded, "f", "splash", "Enter").row.owner == "splash"


def test_find_goes_to_a_setting_by_its_id(rack: RackState) -> None:
    for typed in ("ride-boom.tilt", "Ride boom.ti"):
        state = keyed(rack, "f", typed)
        assert state.cursor == "ride-boom.tilt"
        assert state.message.text.startswith("Ride boom, tilt")
        state = keyed(state, "Enter")
        assert (state.cursor, state.prompt) == ("ride-boom.tilt", None)
        assert keyed(rack, "z", "f", typed, "Enter").cursor == "ride-boom.tilt"
    dotted = keyed(rack, "f", "ride-boom.")
    assert dotted.message.text == "Ride boom, place, 1 of 5: ↓ for the next"
    assert keyed(dotted, "down").cursor == "ride-boom.spin"
    assert keyed(rack, "f", "ride-boom.zz", "Enter").cursor == rack.cursor


def test_a_setting_s_whole_id_goes_before_one_that_only_begins_so() -> None:
    joints = (Joint(id="tilt_b", turns="x"), Joint(id="tilt", turns="x"))
    page = small_page(mount("arm", "own"), kinds=[kind_of("own", *joints)], values={})
    assert settings_named(page, "arm.til") == ("arm.tilt_b", "arm.tilt")
    assert settings_named(page, "arm.tilt") == ("arm.tilt", "arm.tilt_b")
    assert settings_named(page, "arm") == ()


def test_next_left_skips_what_was_read_or_seen(rack: RackState) -> None:
    state = rack
    visited = []
    for _ in range(60):
        state = keyed(state, "g")
        if state.message.text.startswith("nothing is left"):
            break
        visited.append(state.cursor)
        state = (
            keyed(state, "s")
            if state.page.setting(state.cursor).value is not None
            else keyed(state, "1", "Enter")
        )
    assert state.message.text.startswith("nothing is left")
    assert len(visited) == len(set(visited))
    states = {s.state for _, s in reread(state).page.record}
    assert states <= {"read", "seen", "follows"}


def test_fold_and_unfold(rack: RackState) -> None:
    all_rows = len(rack.rows)
    state = keyed(on(rack, "bar"), "space")
    assert len(state.rows) < all_rows
    assert all(row.owner not in ("ride-boom", "splash") for row in state.rows)
    assert len(keyed(state, "space").rows) == all_rows
    assert len(keyed(rack, "z").rows) < 12
    assert len(keyed(rack, "z", "z").rows) == all_rows
    assert keyed(on(rack, "ride-boom.place"), "left").cursor == "ride-boom"
    assert keyed(on(rack, "ride-boom.place"), "left", "left", "left").cursor == "bar"


def test_another_instrument_is_named_in_the_reading(rack: RackState) -> None:
    state = keyed(on(rack, "ride-boom.spin"), "i", "12", "Enter")
    first = reread(state).page.setting("ride-boom.spin").using
    state = keyed(on(state, "ride-boom.lean"), "i", "12", "Enter")
    second = reread(state).page.setting("ride-boom.lean").using
    assert first != second
    assert {first, second} <= {"eye", "level", "protractor"}


def test_a_closed_page_changes_only_after_it_is_opened_again(rack: RackState) -> None:
    state = keyed(rack, "x")
    assert not reread(state).page.head.closed
    state = keyed(state, "x")
    assert reread(state).page.head.closed
    text = reread(state).text
    refused = keyed(on(state, "clamp-l.height"), "3")
    assert refused.prompt is None
    assert refused.message.sort == "refused"
    assert "closed" in refused.message.text
    assert reread(refused).text == text
    opened = keyed(refused, "x", "x")
    assert not reread(opened).page.head.closed
    state = keyed(on(opened, "clamp-l.height"), "30", "Enter")
    assert reread(state).page.setting("clamp-l.height").value == 762.0


def test_what_someone_else_recorded_meanwhile_stays_and_ours_comes_in(rack: RackState) -> None:
    theirs = keyed(on(rack, "throne.height"), "20", "Enter")
    assert theirs.message.sort == "saved"
    ours = keyed(on(rack, "clamp-l.height"), "30", "Enter")  # from the page as it was before
    assert ours.message.sort == "saved"
    assert "someone else" in ours.message.text
    page = reread(ours).page
    assert page.setting("throne.height").value == 508.0
    assert page.setting("clamp-l.height").value == 762.0
    again = keyed(ours, "5", "Enter")
    assert again.message.sort == "saved"


def test_the_same_line_changed_by_someone_else_is_not_written_over_unasked(
    rack: RackState,
) -> None:
    keyed(on(rack, "clamp-l.height"), "29", "Enter")
    ours = keyed(on(rack, "clamp-l.height"), "30", "Enter")
    assert ours.message.sort == "refused"
    assert reread(ours).page.setting("clamp-l.height").value == pytest.approx(29 * 25.4)
    assert ours.prompt is not None  # what was typed is still there to be seen
    taken = keyed(ours, "Enter")
    assert reread(taken).page.setting("clamp-l.height").value == 762.0


def test_undo_does_not_write_over_what_someone_else_wrote_since(rack: RackState) -> None:
    mine = keyed(on(rack, "clamp-l.height"), "30", "Enter")
    theirs = keyed(on(rack_on(mine.file.path.parent), "clamp-l.height"), "29", "Enter")
    assert theirs.message.sort == "saved"
    mine = keyed(on(mine, "throne.height"), "20", "Enter")  # reads the page again
    mine = keyed(mine, "u", "u")
    assert "someone else changed height since" in mine.message.text
    assert reread(mine).page.setting("clamp-l.height").value == pytest.approx(29 * 25.4)


def test_saved_is_said_only_of_what_the_disk_holds(rack: RackState) -> None:
    mine = keyed(on(rack, "clamp-l.height"), "30", "Enter")
    keyed(on(rack_on(mine.file.path.parent), "clamp-l.height"), "29", "Enter")
    again = keyed(on(mine, "clamp-l.height"), "30", "Enter")  # no text of ours would change
    assert again.message.sort == "refused"
    again.file.path.unlink()
    gone = keyed(on(mine, "clamp-l.height"), "30", "Enter")
    assert gone.message.sort == "refused"


def test_a_part_that_someone_took_off_meanwhile(rack: RackState) -> None:
    path = rack.file.path
    text = path.read_text()
    start = text.index("[part.splash]")
    lines = text[:start] + text[text.index("[part.kick]") :]
    start = lines.index("[part.rear-boom]")
    path.write_text(lines[:start] + lines[lines.index("[part.kick]") :])
    state = keyed(on(rack, "rear-boom.place"), "2", "Enter")
    assert state.prompt is None
    assert "took that part off" in state.message.text
    assert all(row.owner != "rear-boom" for row in state.rows)


def test_a_dial_that_was_a_number_stands_beside_one_in_words(rack: RackState) -> None:
    assert rack.beside is not None
    path = rack.file.path.parent / f"{rack.beside.name}.toml"
    text = path.read_text().replace('beater_angle = "word"', 'beater_angle = "turns"')
    path.write_text(text.replace('"third notch"', "3.5"))
    state = rack_on(path.parent)
    index = state.at["kick.dial.beater_angle"]
    assert "3.5 turns" in line_text(row_cells(state, index, 120), 120)


def test_a_file_that_is_gone_is_told_and_the_entry_stays(rack: RackState) -> None:
    rack.file.path.unlink()
    state = keyed(on(rack, "clamp-l.height"), "30", "Enter")
    assert state.message.sort == "refused"
    assert "gone" in state.message.text
    assert state.prompt is not None


def test_letters_on_a_word_row_throw_nothing_away(rack: RackState) -> None:
    # Moving on disarms it.
    moved = keyed(on(rack, "kick.dial.beater_angle"), "o", "up", "down", "o")
    assert reread(moved).page.setting("kick.dial.beater_angle").state == "carried"
    state = keyed(on(rack, "kick.dial.beater_angle"), "o")
    assert reread(state).page.setting("kick.dial.beater_angle").state == "carried"
    assert "press o again" in state.message.text
    open_ = keyed(state, "o")
    assert keyed(on(open_, "kick.dial.beater_angle"), "s").message.text.endswith("its words")
    assert reread(open_).page.setting("kick.dial.beater_angle").state == "open"


def test_closing_is_disarmed_by_moving_on(rack: RackState) -> None:
    state = keyed(rack, "x", "down", "x")
    assert not reread(state).page.head.closed


def test_units_change_what_a_bare_number_means(rack: RackState) -> None:
    state = keyed(rack, "m", "m")
    assert state.hand.unit == "mm"
    state = keyed(on(state, "clamp-l.height"), "810", "Enter")
    assert reread(state).page.setting("clamp-l.height").value == 810.0


def test_rows_do_not_walk_away_under_the_hand(rack: RackState) -> None:
    order = [row.id for row in rack.rows]
    state = keyed(on(rack, "ride-boom.place"), "39", "Enter")
    assert [row.id for row in state.rows] == order


def test_an_entry_on_a_part_is_refused_in_words(rack: RackState) -> None:
    state = keyed(on(rack, "clamp-l"), "3")
    assert state.prompt is None
    assert "is a part" in state.message.text


def test_what_a_home_carries_is_wanted_all_the_same(rack: RackState) -> None:
    key = "clamp-l.height"
    state = keyed(on(rack, key), "32", "Enter")
    beside = state.beside
    assert beside is not None
    declared, held = state.page.declared[key], state.page.setting(key)
    carried = Setting.model_validate({**dict(held), "state": "carried", "page": "before"})
    beside = replace(beside, page=beside.page.with_setting(key, carried))
    assert moved_words(beside, key, declared, state) == ("", "quiet")
    assert moved_words(replace(beside, is_home=True), key, declared, state) == ("same", "quiet")
