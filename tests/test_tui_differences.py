"""The differences as a pure state: what moved or all, by part or by size, and to the rack."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.book.book import read_book
from model.book.page_file import open_page
from model.compare.answer import ComparedSetting, compare_pages
from model.compare.piece_answer import ComparedPiece
from tests.goldens import same_as_golden
from tests.plain_compare import moved_settings
from tests.rack_stage import HEIGHT
from tui.keys import Keys
from tui.screens.differences.cells import (
    count_cells,
    detail_cells,
    heading_cells,
    row_cells,
    title_cells,
)
from tui.screens.differences.filling import whole_answer
from tui.screens.differences.state import (
    WORKING,
    DifferencesState,
    Heading,
    Show,
    far,
    filled,
    press,
    size_of,
    start,
)
from tui.widgets.grid import rows_as_text
from tui.widgets.line import line_text

BOOK = Path(__file__).parent.parent / "sample_rigs" / "harbour-dance"
BEFORE, AFTER = "2026-03-21-soundcheck", "2026-03-21-after-fill-in"


def state_of(before: str, after: str) -> DifferencesState:
    pages = [open_page(BOOK / f"{name}.toml").page for name in (before, after)]
    answer = compare_pages(pages[0], pages[1], (before, after))
    return start(answer, pages[0], pages[1], before, "in")


@pytest.fixture
def fill_in() -> DifferencesState:
    return state_of(BEFORE, AFTER)


def keyed(state: DifferencesState, *keys: str) -> DifferencesState:
    for key in keys:
        state = press(state, key, Keys(), HEIGHT)
    return state


def shown(state: DifferencesState) -> list[str]:
    return [row.setting for row in state.rows if isinstance(row, ComparedSetting)]


def test_what_moved_is_what_the_readings_can_tell(fill_in: DifferencesState) -> None:
    expected = moved_settings(BOOK / f"{BEFORE}.toml", BOOK / f"{AFTER}.toml")
    assert set(shown(fill_in)) == expected
    assert not isinstance(fill_in.rows[fill_in.cursor], Heading)


def test_all_of_them_and_back(fill_in: DifferencesState) -> None:
    every = keyed(fill_in, "a")
    assert len(shown(every)) == len(fill_in.answer.settings)
    # The cursor stays on its row where that is still shown.
    assert every.rows[every.cursor] == fill_in.rows[fill_in.cursor]
    assert keyed(every, "a").rows == fill_in.rows


def test_by_size_the_largest_first(fill_in: DifferencesState) -> None:
    sized = keyed(fill_in, "s")
    sizes = [size_of(row) for row in sized.rows if isinstance(row, ComparedSetting)]
    assert sizes == sorted(sizes, reverse=True)
    assert set(shown(sized)) == set(shown(fill_in))


def test_enter_goes_to_the_setting_on_the_rack(fill_in: DifferencesState) -> None:
    wanted = keyed(fill_in, "enter").wanted
    assert isinstance(wanted, Show)
    assert wanted.id == shown(fill_in)[0]
    # A part's own row leads to the part.
    assert keyed(fill_in, "up", "enter").wanted == Show("floor")
    assert keyed(fill_in, "q").wanted == "back"


def test_structure_stands_first_and_leads_to_what_is_there() -> None:
    state = state_of("2026-03-22-after-show", "2026-03-26-soundcheck")
    words = rows_as_text(len(state.rows), lambda i, w: row_cells(state, i, w), 100)
    assert words[0].strip() == "structure"
    assert any("is new, on" in line for line in words)
    assert any("is gone; it was on" in line for line in words)
    assert any("hangs on" in line for line in words)
    gone = next(i for i, line in enumerate(words) if "is gone" in line)
    at_gone = keyed(state, *["down"] * (gone - state.cursor))
    assert keyed(at_gone, "enter").wanted is None
    new = next(i for i, line in enumerate(words) if "is new" in line)
    assert isinstance(keyed(state, "home", *["down"] * new, "enter").wanted, Show)


def test_a_page_with_itself_says_so() -> None:
    state = state_of(AFTER, AFTER)
    assert state.rows == ()
    assert keyed(state, "enter", "down", "s").wanted is None
    assert "0 moved" not in line_text(count_cells(state), 80)


def drawn(state: DifferencesState, width: int) -> str:
    lines = [line_text(title_cells(state), width), line_text(heading_cells(state, width), width)]
    lines += rows_as_text(len(state.rows), lambda i, w: row_cells(state, i, w), width)
    lines += [line_text(cells, width) for cells in (*detail_cells(state), count_cells(state))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


@pytest.mark.parametrize("width", [80, 120])
def test_how_it_looks(fill_in: DifferencesState, width: int) -> None:
    same_as_golden(f"screens/differences_{width}.txt", drawn(fill_in, width))


@pytest.fixture(scope="module")
def whole() -> DifferencesState:
    state = state_of(BEFORE, AFTER)
    return filled(state, whole_answer(state, read_book(BOOK).book))


@pytest.mark.parametrize("width", [80, 120])
def test_how_it_looks_when_all_is_worked_out(whole: DifferencesState, width: int) -> None:
    same_as_golden(f"screens/differences_filled_{width}.txt", drawn(whole, width))
    pieces = keyed(whole, "p")
    same_as_golden(f"screens/differences_pieces_{width}.txt", drawn(pieces, width))


def pieces_of(state: DifferencesState) -> list[ComparedPiece]:
    assert all(isinstance(row, ComparedPiece) for row in state.rows)
    return [row for row in state.rows if isinstance(row, ComparedPiece)]


def test_what_is_filled_in_leaves_the_cursor_where_it_was(fill_in: DifferencesState) -> None:
    key = "crash-1-boom.lean"
    at = next(
        i
        for i, row in enumerate(fill_in.rows)
        if isinstance(row, ComparedSetting) and row.setting == key
    )
    state = keyed(fill_in, *["down"] * (at - fill_in.cursor))
    after = filled(state, whole_answer(state, None))
    row = after.rows[after.cursor]
    assert isinstance(row, ComparedSetting)
    assert (row.setting, row.converted) == (key, True)
    words = row_cells(after, after.cursor, 80)[-1].text
    assert words == "+9.8°*"
    assert "the joint's own -38° -> -28.2°" in line_text(detail_cells(after)[1], 80)
    assert row_cells(state, state.cursor, 80)[-1].text == "-5.5°"


def test_the_pieces_are_a_key_away(whole: DifferencesState) -> None:
    pieces = keyed(whole, "p")
    verdicts = {piece.verdict for piece in pieces_of(pieces)}
    assert "beyond tolerance" in verdicts
    assert not verdicts & {"same", "not measured"}
    every = keyed(pieces, "a")
    assert len(pieces_of(every)) == len(whole.answer.pieces)
    sized = [far(piece) for piece in pieces_of(keyed(pieces, "s"))]
    assert sized == sorted(sized, reverse=True)
    assert keyed(pieces, "enter").wanted == Show(pieces_of(pieces)[0].id)
    # Back to the settings, on what moved that piece most.
    back = keyed(pieces, "down", "p")
    row = back.rows[back.cursor]
    assert isinstance(row, ComparedSetting)
    assert row.setting == pieces_of(pieces)[1].causes.of[0].setting


def test_before_they_are_worked_out_the_screen_says_so(fill_in: DifferencesState) -> None:
    waiting = keyed(fill_in, "p")
    assert waiting.rows == ()
    assert line_text(count_cells(waiting), 80).strip() == WORKING
    for key in ("a", "s", "down", "enter", "m"):
        waiting = keyed(waiting, key)
    after = filled(waiting, whole_answer(waiting, None))
    assert len(pieces_of(after)) == len(after.answer.pieces)
    assert WORKING not in line_text(count_cells(after), 80)


def test_a_home_of_the_book_is_wanted() -> None:
    book = read_book(BOOK).book
    home = book.home()
    assert home is not None
    state = state_of(home, AFTER)
    assert whole_answer(state, book).home
    assert not whole_answer(state, None).home


def test_the_columns_are_as_wide_as_the_screen(whole: DifferencesState) -> None:
    for state in (whole, keyed(whole, "a"), keyed(whole, "p"), keyed(whole, "p", "a")):
        for unit_keys in range(4):
            shown_in = keyed(state, *["m"] * unit_keys)
            for index, row in enumerate(shown_in.rows):
                cells = row_cells(shown_in, index, 80)
                fixed = [cell for cell in cells if cell.width is not None]
                assert sum(cell.width or 0 for cell in fixed) < 80 - 8
                if isinstance(row, ComparedPiece):
                    for cell in fixed:
                        assert len(cell.text) <= (cell.width or 0), (row.id, cell)
