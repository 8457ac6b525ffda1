"""How wide a name is, asked of a terminal itself: tmux prints it and says where its cursor stands.

Source of the judgement: tmux's own cell widths, with none of the program's code.
"""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.rack_stage import SECOND, small_book
from tests.tmux import clampbook, terminal
from tui.widgets.line import fitted

NAMES = [
    "Ride boom",
    "シンバル",  # wide letters
    "드럼 랙",
    "Caisse claire, été",
    "Cafe\u0301 clamp",  # a combining accent
    "Ḍamaru",
    "Тарелка",
    "🥁 kick",
    "½ in boom",
    "tom – left",
    "“near” rim",
    "▾ ▸ ▏ …",
]


def width_in_terminal(folder: Path, text: str) -> int:
    """Print a text in a terminal and return in which column its cursor stands then."""
    (folder / "text").write_text(text, "utf-8")
    with terminal(folder) as term:
        term.start(["sh", "-c", "cat text; sleep 60"], folder)
        last = -1
        for _ in range(200):
            now = int(term.tmux("display-message", "-p", "-t", "s", "#{cursor_x}"))
            if now == last and now > 0:
                return now
            last = now
            time.sleep(0.05)
    pytest.fail("nothing was printed")


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_as_wide_as_the_terminal_says(tmp_path: Path, name: str) -> None:
    assert width_in_terminal(tmp_path, name) == cell_len(name)


@pytest.mark.parametrize("name", NAMES)
def test_a_cut_name_is_as_wide_as_its_column(tmp_path: Path, name: str) -> None:
    assert width_in_terminal(tmp_path, fitted(name, 5) + "|") == 6


def test_columns_stay_in_line_whatever_the_house_is_called(tmp_path: Path) -> None:
    book = small_book(tmp_path / "tour")
    path = book / f"{SECOND}.toml"
    path.write_text(path.read_text("utf-8").replace("Corn Hall", "シンバル 🥁 Cafe\u0301"), "utf-8")
    with terminal(tmp_path) as term:
        term.start(clampbook("tour"), tmp_path)
        screen = term.wait_until(lambda s: "33" in s and "23" in s, "the counts")
        first, second = screen.splitlines()[2:4]
        assert "シンバル" in second
        # Where the last count ends, in the terminal's columns: the same for both houses.
        assert cell_len(first.rstrip()) == cell_len(second.rstrip()) == 80
