"""The book screen as a pure state: its rows, the counts as they come in, a page being begun."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from model.book.heads import count_in, list_book
from tests.rack_stage import FIRST, HEIGHT, SECOND, small_book
from tui.keys import Keys
from tui.screens.book.cells import prompt_cells, row_cells
from tui.screens.book.state import BookState, Open, Start, press, start
from tui.widgets.line import line_text

TODAY = date(2025, 3, 16)
MOVES = ("enter", "escape", "backspace", "up", "down", "left", "right")


@pytest.fixture
def book(tmp_path: Path) -> BookState:
    return start(list_book(small_book(tmp_path / "tour")), TODAY, "mm")


def pressed(state: BookState, *keys: str) -> BookState:
    table = Keys()
    for key in keys:
        names = [key] if key in MOVES else list(key)
        for name in names:
            state = press(state, name, name if len(name) == 1 else None, table, HEIGHT)
    return state


def rows(state: BookState, width: int = 80) -> list[str]:
    return [line_text(row_cells(state, i), width).rstrip() for i in range(len(state.rows))]


def test_pages_stand_in_the_order_of_their_beginning_with_their_homes(book: BookState) -> None:
    first, second = rows(book)
    assert first.startswith("2025-03-14 soundcheck *    Old Tram Shed")
    assert "main" in first
    assert second.startswith("2025-03-15 soundcheck *    Corn Hall")
    assert book.cursor == 1


def test_counts_are_dots_until_they_come(book: BookState) -> None:
    assert rows(book)[0].split()[-4:] == ["·"] * 4
    counts = {page.name: count_in(page.path) for page in book.listing.pages}
    counted = replace(book, counts=counts)
    assert rows(counted)[0].split()[-4:] == ["23", "1", "9", "7"]
    assert rows(counted)[1].split()[-4:] == ["0", "0", "33", "7"]


def test_enter_opens_and_n_begins(book: BookState) -> None:
    wanted = pressed(book, "up", "enter").wanted
    assert isinstance(wanted, Open)
    assert wanted.page.name == FIRST
    state = pressed(book, "n")
    assert state.draft is not None
    assert state.draft.source.name == SECOND
    assert "date of the show: 2025-03-16" in line_text(prompt_cells(state), 80)
    wanted = pressed(state, "enter", "enter", "Old Ropewalk", "enter").wanted
    assert isinstance(wanted, Start)
    draft = wanted.draft
    assert (draft.day, draft.moment, draft.venue) == ("2025-03-16", "soundcheck", "Old Ropewalk")


def test_what_is_offered_gives_way_to_what_is_typed(book: BookState) -> None:
    state = pressed(book, "n", "2025-03-17", "enter", "late check", "enter", "enter")
    assert isinstance(state.wanted, Start)
    assert (state.wanted.draft.day, state.wanted.draft.moment) == ("2025-03-17", "late check")


def test_the_second_page_of_a_night_takes_its_house(book: BookState) -> None:
    state = pressed(replace(book, today=date(2025, 3, 15)), "n", "enter", "enter", "enter")
    assert isinstance(state.wanted, Start)
    assert (state.wanted.draft.moment, state.wanted.draft.venue) == ("after the show", "Corn Hall")


def test_a_wrong_date_stays_visible_with_the_reason(book: BookState) -> None:
    state = pressed(book, "n", "right", "x", "enter")
    assert state.draft is not None
    assert state.draft.typed.text == "2025-03-16x"
    assert "is no date; right: 2025-03-16" in state.message
    state = pressed(state, "escape")
    assert state.draft is None


def test_files_that_cannot_be_read_are_listed_and_block_nothing(tmp_path: Path) -> None:
    folder = small_book(tmp_path / "tour")
    (folder / "2025-03-13-broken.toml").write_text("format = 1\nrig = [\n")
    (folder / "2025-03-12-newer.toml").write_text("format = 9\n")
    (folder / "2025-03-11-link.toml").symlink_to(folder / "book.toml")
    before = {path.name: path.read_bytes() for path in folder.glob("*.toml")}
    state = start(list_book(folder), TODAY, "mm")
    assert len(state.listing.pages) == 2
    assert len(state.listing.unreadable) == 3
    assert "3 files cannot be read" in state.message
    assert sum("cannot be read" in row for row in rows(state)) == 3
    assert pressed(state, "down", "enter").wanted == "problems"
    assert before == {path.name: path.read_bytes() for path in folder.glob("*.toml")}


def test_an_empty_book_says_so(tmp_path: Path) -> None:
    (tmp_path / "book.toml").write_text('title = "New"\n')
    state = start(list_book(tmp_path), TODAY, "mm")
    assert state.rows == ()
    assert pressed(state, "up", "enter", "down").wanted is None
    assert "begun from a page" in pressed(state, "n").message
