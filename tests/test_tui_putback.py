"""The checklist as a pure state: every key, and what it leaves beside the pages."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.book.book import read_book
from model.book.edits import SettingEdit
from model.book.page_file import open_page
from model.book.recording import record
from model.book.take import Hand
from model.book.ticks import read_ticks
from model.compare.putback.answer import Unread
from model.compare.putback.desk import Desk, list_behind, open_desk, shortened, strangers
from model.compare.putback.pages import choices_of
from model.errors import CannotDo
from model.rig.setting import Setting
from tests.test_tui_tmux import SAMPLE
from tui.keys import Keys
from tui.screens.putback.cells import bottom_cells, row_cells
from tui.screens.putback.press import press
from tui.screens.putback.rows import LineRow, StepRow, ticks_at
from tui.screens.putback.saving import (
    adopt_on_disk,
    read_on_disk,
    someone_elses,
    tick_on_disk,
    up_to_date,
)
from tui.screens.putback.state import (
    Adopt,
    PutBackState,
    Reading,
    Shorten,
    Ticking,
    start,
    to_next_left,
)
from tui.widgets.line import line_text

NOW, HOME = "2026-03-21-after-fill-in", "2026-03-08-soundcheck"
BEGAN = datetime(2026, 3, 22, 11, 0, tzinfo=UTC)
HEIGHT = 17


def desk_of(folder: Path) -> Desk:
    now, home = (open_page(folder / f"{name}.toml") for name in (NOW, HOME))
    return open_desk(now, home, choices_of(read_book(folder).book))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SAMPLE, tmp_path / "tour"))


@pytest.fixture
def state(folder: Path) -> PutBackState:
    return start(desk_of(folder), Hand(unit="mm", by="KD"), "home main")


def keyed(state: PutBackState, *keys: str) -> PutBackState:
    """Press keys, doing what they ask of the disk; a longer word is typed letter by letter."""
    table = Keys()
    for word in keys:
        for key in [word] if word in NAMED else list(word):
            char = key if len(key) == 1 else None
            state = press(state, NAMED.get(key, key), char, table, HEIGHT)
            match state.wanted:
                case Ticking():
                    state = tick_on_disk(state, state.wanted)
                case Reading():
                    state = read_on_disk(state, state.wanted, BEGAN)
                case Adopt():
                    state = adopt_on_disk(state, state.wanted, BEGAN)
    return state


NAMED = {"Enter": "enter", "Space": "space", "Esc": "escape", "up": "up", "down": "down"}


def on(state: PutBackState, tick: str) -> PutBackState:
    """Put the cursor on a line."""
    rows = enumerate(state.rows)
    at = next(i for i, row in rows if isinstance(row, LineRow) and row.line.tick == tick)
    return replace(state, cursor=at)


def done_in(folder: Path) -> frozenset[str]:
    return read_ticks(folder / f"{NOW}--{HOME}.putback").ticks.done


def test_enter_ticks_and_goes_on_and_looking_leaves_no_file(
    state: PutBackState, folder: Path
) -> None:
    looked = keyed(state, "down", "down", "p", "p", "h", "h", "h")
    assert not list(folder.glob("*.putback"))
    ticked = keyed(looked, "g", "Enter")
    assert len(done_in(folder)) == 1
    assert ticked.line is not None
    assert ticked.line.tick not in ticked.work.done


def test_space_takes_a_tick_away_and_u_undoes_the_last(state: PutBackState, folder: Path) -> None:
    one = keyed(on(state, "throne.x"), "Space")
    assert done_in(folder) == {"throne.x"}
    assert done_in(folder) == one.work.done
    none = keyed(on(one, "throne.x"), "Space")
    assert done_in(folder) == frozenset()
    again = keyed(none, "u")
    assert done_in(folder) == {"throne.x"}
    assert keyed(again, "u").work.done == frozenset()
    assert "nothing to undo" in keyed(state, "u").message


def test_a_steps_head_ticks_all_its_lines(state: PutBackState, folder: Path) -> None:
    head = next(i for i, row in enumerate(state.rows) if isinstance(row, StepRow))
    ticked = keyed(replace(state, cursor=head), "Enter")
    assert done_in(folder) == set(ticks_at(state.rows[head])) == {"throne.x", "throne.y"}
    assert ticked.message == "2 lines: done"


def test_the_pieces_come_nearer_as_lines_are_ticked(state: PutBackState) -> None:
    def off(at: PutBackState) -> float:
        throne = next(held for held in at.work.standing if held.piece == "throne")
        assert throne.distance is not None
        return throne.distance

    places = [off(state)]
    for tick in ("throne.x", "throne.y", "throne.height"):
        state = keyed(on(state, tick), "Enter")
        places.append(off(state))
    assert places == sorted(places, reverse=True)
    assert places[-1] == pytest.approx(0.0, abs=1e-6)


def test_a_reading_that_agrees_ticks_its_line_and_one_that_does_not_is_told(
    state: PutBackState, folder: Path
) -> None:
    before = (folder / f"{NOW}.toml").read_bytes()
    off = keyed(on(state, "throne.height"), "530", "Enter")
    assert off.message == "read 530 mm, +4.5 mm off home; on 2026-03-21-put-back"
    assert off.work.done == frozenset()
    throne = next(held for held in off.work.standing if held.piece == "throne")
    assert throne.by is not None
    assert throne.by[2] == pytest.approx(530.0 - 525.4625)
    home = keyed(on(off, "throne.height"), "525.5", "Enter")
    assert home.message == "read 525.5 mm, home: done; on 2026-03-21-put-back"
    assert done_in(folder) == {"throne.height"}
    page = open_page(folder / "2026-03-21-put-back.toml").page
    assert (page.head.begun_from, page.setting("throne.height").by) == (NOW, "KD")
    assert page.setting("throne.x").state == "carried"
    assert (folder / f"{NOW}.toml").read_bytes() == before
    assert read_ticks(folder / f"{NOW}--{HOME}.putback").ticks.readings == "2026-03-21-put-back"


def test_a_level_is_read_again_where_what_is_above_it_stands_now(state: PutBackState) -> None:
    ticked = keyed(on(state, "snare-basket.spin"), "Space")
    line = next(line for line in ticked.work.answer.lines if line.tick == "snare-basket.tilt")
    assert isinstance(line.to, float)
    read = keyed(on(ticked, "snare-basket.tilt"), f"{line.to:.1f}", "Enter")
    assert "home: done" in read.message


def test_refused_entries_stay_to_be_seen(state: PutBackState, folder: Path) -> None:
    typed = keyed(on(state, "throne.height"), "1,016", "Enter")
    assert typed.refused
    assert typed.asking is not None
    assert "1,016" in typed.message
    assert not list(folder.glob("*put-back*"))
    assert keyed(typed, "Esc").asking is None


def test_rows_without_a_box_say_so(state: PutBackState) -> None:
    words = next(i for i, row in enumerate(state.rows) if not ticks_at(row))
    assert keyed(replace(state, cursor=words), "Enter").message == "there is no box on this line"
    assert "belongs to a line" in keyed(replace(state, cursor=words), "5").message


def test_minutes_are_asked_for_and_bad_ones_refused(state: PutBackState) -> None:
    for text in ("x", "0", "-3", "1e9", "nan"):
        refused = keyed(state, "t", text, "Enter")
        assert refused.refused, text
        assert refused.asking is not None
    asked = press(keyed(state, "t", "7,5"), "enter", None, Keys(), HEIGHT)
    assert asked.wanted == Shorten(7.5)


def test_a_short_list_ticks_the_whole_lists_file(state: PutBackState, folder: Path) -> None:
    desk = shortened(state.desk, 6.0)
    short = start(desk, state.hand, "home main")
    assert 0 < len(short.work.answer.lines) < len(state.work.answer.lines)
    keyed(short, "Enter")
    held = read_ticks(folder / f"{NOW}--{HOME}.putback").ticks
    assert len(held.moves) == len(state.work.answer.lines)
    assert len(held.done) == 1


def test_what_someone_else_ticks_is_seen_before_the_next_key(
    state: PutBackState, folder: Path
) -> None:
    other = start(desk_of(folder), Hand(by="MO"), "home main")
    keyed(on(other, "kick.y"), "Enter")
    mine = keyed(on(state, "throne.x"), "Enter")
    assert done_in(folder) == {"kick.y", "throne.x"}
    assert up_to_date(mine).work.done == {"kick.y", "throne.x"}


def test_a_list_whose_pages_changed_keeps_the_ticks_of_what_did_not(
    state: PutBackState, folder: Path
) -> None:
    keyed(on(state, "throne.x"), "Enter")
    home = open_page(folder / f"{HOME}.toml")
    text = home.text.replace("closed = true", "closed = false")
    home.path.write_text(text, "utf-8")
    home = open_page(home.path)
    held = home.page.setting("throne.height")
    moved = Setting.model_validate({**dict(held), "value": 540.0})
    record(home, SettingEdit("throne.height", moved))
    desk = desk_of(folder)
    assert strangers(desk) == ("throne.height",)
    again = start(desk, state.hand, "home main")
    assert "the pages changed since this was begun" in again.message
    keyed(on(again, "throne.height"), "Enter")
    ticks = read_ticks(folder / f"{NOW}--{HOME}.putback").ticks
    assert ticks.done == {"throne.x", "throne.height"}
    assert ticks.move("throne.height").to == 540.0


def test_all_done_says_what_is_home_and_what_is_not(state: PutBackState) -> None:
    every = frozenset(line.tick for line in state.work.answer.lines)
    desk = replace(state.desk, work=state.work.with_done(every))
    said = line_text(bottom_cells(replace(state, desk=desk), 120)[3], 120)
    assert said.startswith("all done, and not home: Ride 26 mm, Crash 2 not known; p tells")


def test_chosen_pieces_become_the_new_normal(state: PutBackState, folder: Path) -> None:
    assert "choose the pieces first" in keyed(state, "n").message
    pieces = keyed(state, "p")
    throne = next(i for i, held in enumerate(pieces.work.standing) if held.piece == "throne")
    chosen = keyed(replace(pieces, cursor=throne), "Space", "n", "sits lower now", "Enter")
    assert chosen.message.startswith("new home main 2026-03-21: ")
    homes = dict(read_book(folder).book.homes)
    page = open_page(folder / f"{homes['main 2026-03-21']}.toml").page
    assert page.setting("throne.height").value == 485.775
    assert homes["main"] == HOME
    assert keyed(replace(pieces, cursor=throne), "n", "Enter").refused


def test_every_row_fits_80_columns_and_none_is_empty(state: PutBackState) -> None:
    for index in range(len(state.rows)):
        text = line_text(row_cells(state, index, 80), 80)
        assert text.strip()
        assert len(text) == 80


def test_g_goes_to_the_next_that_is_left_round_and_round(state: PutBackState) -> None:
    last = to_next_left(replace(state, cursor=len(state.rows) - 1))
    assert last.line is not None
    assert last.line.tick == "throne.x"


def test_two_who_read_again_keep_both_readings(state: PutBackState, folder: Path) -> None:
    mine = keyed(on(state, "throne.x"), "3", "Enter")
    other = start(desk_of(folder), Hand(unit="mm", by="MO"), "home main")
    keyed(on(other, "kick.y"), "770", "Enter")
    again = keyed(on(mine, "throne.y"), "4", "Enter")
    page = open_page(folder / "2026-03-21-put-back.toml").page
    read = {key: held.value for key, held in page.record if held.state == "read"}
    assert read == {"throne.x": 3.0, "kick.y": 770.0, "throne.y": 4.0}
    assert again.work.again.keys() == read.keys()


def test_a_page_of_re_readings_that_is_gone_is_told(state: PutBackState, folder: Path) -> None:
    keyed(on(state, "throne.x"), "3", "Enter")
    (folder / "2026-03-21-put-back.toml").rename(folder / "elsewhere.txt")
    with pytest.raises(CannotDo, match="that page is gone"):
        desk_of(folder)


def test_a_re_reading_tells_what_is_left_and_not_the_old_move(state: PutBackState) -> None:
    read = keyed(on(state, "throne.height"), "530", "Enter")
    row = line_text(row_cells(read, on(read, "throne.height").cursor, 80), 80)
    assert "read 530 mm" in row
    assert "+4.5 mm off home" in row
    out = keyed(on(state, "throne.height"), "40", "Enter")
    assert "outside its limits" in out.message


def test_a_number_typed_on_a_steps_head_ticks_nothing(state: PutBackState, folder: Path) -> None:
    head = next(i for i, row in enumerate(state.rows) if isinstance(row, StepRow))
    typed = keyed(replace(state, cursor=head), "525", "Enter")
    assert typed.work.done == frozenset()
    assert not list(folder.glob("*.putback"))


def test_undo_goes_back_to_the_line(state: PutBackState) -> None:
    ticked = keyed(on(state, "throne.x"), "Enter", "Enter")
    undone = keyed(ticked, "u")
    assert undone.line is not None
    assert undone.line.tick == "throne.y"


def test_the_list_behind_a_page_of_re_readings_is_found(state: PutBackState, folder: Path) -> None:
    page = folder / "2026-03-21-put-back.toml"
    assert list_behind(page) is None
    keyed(on(state, "throne.x"), "3", "Enter")
    assert list_behind(page) == (folder / f"{NOW}.toml", folder / f"{HOME}.toml")
    assert list_behind(folder / f"{NOW}.toml") is None


def test_a_reading_that_is_off_takes_the_tick_away(state: PutBackState) -> None:
    ticked = keyed(on(state, "throne.x"), "Enter")
    off = keyed(on(ticked, "throne.x"), "50", "Enter")
    assert off.work.done == frozenset()
    assert "its tick is taken away" in off.message


def test_a_box_that_someone_else_ticked_is_not_unticked(state: PutBackState, folder: Path) -> None:
    other = start(desk_of(folder), Hand(by="MO"), "home main")
    keyed(on(other, "throne.x"), "Enter")
    mine = on(state, "throne.x")
    assert someone_elses(mine, up_to_date(mine))
    assert not someone_elses(up_to_date(mine), up_to_date(mine))


def test_home_and_end_reach_the_first_and_the_last_line(state: PutBackState) -> None:
    last = press(state, "end", None, Keys(), HEIGHT)
    first = press(last, "home", None, Keys(), HEIGHT)
    assert isinstance(first.row, Unread)  # what nobody read is looked at first
    assert not any(isinstance(row, StepRow) for row in state.rows[: first.cursor])
    assert last.cursor == len(state.rows) - 1


def test_keys_do_nothing_where_nothing_is_to_be_put_back(folder: Path) -> None:
    home = open_page(folder / f"{HOME}.toml")
    twin = folder / "2026-03-29-soundcheck.toml"
    twin.write_text(home.text, "utf-8")
    desk = open_desk(open_page(twin), home, choices_of(read_book(folder).book))
    state = start(desk, Hand(), "home main")
    state = replace(state, rows=())
    for key in ("down", "up", "pagedown", "home", "end", "h", "enter", "space", "g"):
        state = press(state, key, None, Keys(), HEIGHT)
    assert bottom_cells(state, 80)


def test_a_tick_of_a_move_that_goes_elsewhere_now_does_not_count(
    state: PutBackState, folder: Path
) -> None:
    keyed(on(state, "throne.height"), "Enter")
    path = folder / f"{NOW}--{HOME}.putback"
    text = path.read_text("utf-8")
    path.write_text(re.sub(r"(throne\.height = .* to = )[\d.]+", r"\g<1>500.0", text), "utf-8")
    again = start(desk_of(folder), state.hand, "home main")
    assert "throne.height" in again.work.left
    assert "throne.height" not in again.work.done


def test_a_number_read_as_the_line_does_not_measure_is_refused(
    state: PutBackState, folder: Path
) -> None:
    now = folder / f"{NOW}.toml"
    text = now.read_text("utf-8")
    arm = text.index("[part.tom-3-arm]")
    text = text[:arm] + text[arm:].replace("on =", 'from = "B"\non =', 1)
    now.write_text(text, "utf-8")
    again = start(desk_of(folder), state.hand, "home main")
    typed = keyed(on(again, "tom-3-arm.place"), "312.7", "Enter")
    assert "measures it otherwise than the line: end B" in typed.message
    assert typed.refused
    assert not (folder / "2026-03-21-put-back.toml").exists()


def test_a_re_reading_is_by_the_instrument_that_the_line_names(
    state: PutBackState, folder: Path
) -> None:
    home = folder / f"{HOME}.toml"
    text = home.read_text("utf-8")
    key = "hat-pedal.turn = { read = -26.0, using = "
    home.write_text(text.replace(f'{key}"protractor"', f'{key}"eye"'), "utf-8")
    again = start(desk_of(folder), state.hand, "home main")
    assert again.work.answer_page.declared["hat-pedal.turn"].usually == "protractor"
    keyed(on(again, "hat-pedal.turn"), "-26", "Enter")
    page = open_page(folder / "2026-03-21-put-back.toml").page
    assert page.setting("hat-pedal.turn").using == "eye"


def test_what_is_typed_names_the_line_that_takes_it(state: PutBackState) -> None:
    asked = keyed(on(state, "throne.x"), "4")
    moved = on(asked, "kick.y")
    assert "read again, Throne, x: 4" in line_text(bottom_cells(moved, 80)[3], 80)
