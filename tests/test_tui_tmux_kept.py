"""By real keys: the book's folder goes away in the walk, the program is killed, nothing is lost."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

from model.book.page_file import open_page
from tests.goldens import same_as_golden
from tests.rack_stage import SECOND, small_book
from tests.tmux import Terminal, clampbook, terminal


def opened(term: Terminal, folder: Path) -> str:
    term.start(clampbook(f"tour/{SECOND}", "--unit", "mm"), folder)
    return term.wait_for("w walk")


def read(term: Terminal, typed: str, words: str) -> str:
    """Type a reading, and take it."""
    term.type(typed)
    term.wait_for(typed)
    term.type("Enter")
    return term.wait_for(words)


def values(folder: Path) -> list[float | int | str | None]:
    page = open_page(folder / "tour" / f"{SECOND}.toml").page
    keys = ("floor.rug", "floor.heading", "floor.slope_ahead")
    return [page.setting(key).value for key in keys]


def test_a_book_that_is_unplugged_in_the_walk(tmp_path: Path) -> None:
    small_book(tmp_path / "tour")
    with terminal(tmp_path, NO_COLOR="1") as term:
        opened(term, tmp_path)
        term.type("w")
        term.wait_for("rug thickness")
        read(term, "8", "saved: rug thickness read 8 mm")
        shutil.move(tmp_path / "tour", tmp_path / "away")
        read(term, "12", "1 change not in the book yet: no such file or directory")
        screen = read(term, "1.5", "2 changes not in the book yet")
        same_as_golden("screens/walk_not_in_the_book_80x24.txt", screen)
        os.kill(term.process(), signal.SIGKILL)
    shutil.move(tmp_path / "away", tmp_path / "tour")
    assert values(tmp_path) == [8.0, None, 0.4]
    with terminal(tmp_path, NO_COLOR="1") as term:
        opened(term, tmp_path)
        term.wait_for("2 changes that had not reached the book: now saved")
        assert values(tmp_path) == [8.0, 12.0, 1.5]
        term.type("u")
        term.wait_for("undone: riser's slope ahead carried 0.4°")
        term.type("q")
        term.wait_for("n begin")
        os.kill(term.process(), signal.SIGKILL)
    with terminal(tmp_path, NO_COLOR="1") as term:
        opened(term, tmp_path)
        term.type("u")
        term.wait_for("undone: kit's heading open (was read 12°)")
        term.type("u")
        term.wait_for("undone: rug thickness carried 9 mm (was read 8 mm, +1 mm)")
        term.type("u")
        term.wait_for("nothing to undo")
        term.type("r")
        term.wait_for("done again: rug thickness read 8 mm")
    assert values(tmp_path) == [8.0, None, 0.4]
