"""The differences as a pure state: what moved or all, by part or by size, and to the rack."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.book.page_file import open_page
from model.compare.answer import ComparedSetting, compare_pages
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
from tui.screens.differences.state import (
    DifferencesState,
    Heading,
    Show,
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


@pytest.mark.parametrize("width", [80, 120])
def test_how_it_looks(fill_in: DifferencesState, width: int) -> None:
    lines = [
        line_text(title_cells(fill_in), width),
        line_text(heading_cells(fill_in, width), width),
    ]
    lines += rows_as_text(len(fill_in.rows), lambda i, w: row_cells(fill_in, i, w), width)
    lines += [line_text(detail_cells(fill_in), width), line_text(count_cells(fill_in), width)]
    text = "\n".join(line.rstrip() for line in lines) + "\n"
    same_as_golden(f"screens/differences_{width}.txt", text)
