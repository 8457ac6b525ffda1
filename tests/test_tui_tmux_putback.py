"""The checklist by real keys: the sample's fill-in put back, killed in the middle, finished."""

from __future__ import annotations

import os
import re
import shutil
import signal
from pathlib import Path

from model.book.page_file import open_page
from model.book.ticks import read_ticks
from tests.goldens import same_as_golden
from tests.test_tui_tmux import SAMPLE
from tests.tmux import Terminal, clampbook, terminal

PAGE, HOME, AGAIN = "2026-03-21-after-fill-in", "2026-03-08-soundcheck", "2026-03-21-put-back"

LINES = 122
"""How many lines the sample's list has."""


def opened(term: Terminal, folder: Path, width: int = 80, height: int = 24) -> str:
    term.start(clampbook(f"tour/{PAGE}", "--unit", "mm"), folder, width, height)
    term.wait_for("h put back")
    term.type("h")
    return term.wait_for("from home now")


def done(screen: str) -> int:
    found = re.search(r"(\d+) of \d+ done", screen)
    assert found, screen
    return int(found[1])


def tick_up_to(term: Terminal, first: int, end: int) -> None:
    """Tick one line after another; two keys in turn, since one held down ticks nothing more."""
    for number in range(first, end):
        term.type("Enter" if number % 2 else "Space")
        term.wait_for(f"{number} of {LINES} done")


def ticked(folder: Path) -> frozenset[str]:
    return read_ticks(folder / "tour" / f"{PAGE}--{HOME}.putback").ticks.done


def test_the_fill_in_is_put_back_with_ticks_through_a_kill(tmp_path: Path) -> None:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    before = (tmp_path / "tour" / f"{PAGE}.toml").read_bytes()
    with terminal(tmp_path, NO_COLOR="1") as term:
        same_as_golden("screens/putback_80x24.txt", opened(term, tmp_path))
        # The throne: two ticks by hand, its height read again at home, its lock one tick.
        tick_up_to(term, 1, 3)
        term.type("5", "2", "5", ".", "5")
        term.wait_for("read again, Throne, height: 525.5")
        term.type("Enter")
        term.wait_for("read 525.5 mm, home: done; on 2026-03-21-put-back")
        assert "Throne: 0 mm" in term.screen() or f"3 of {LINES}" in term.screen()
        tick_up_to(term, 4, 40)
        held = ticked(tmp_path)
        assert len(held) == 39
        os.kill(term.process(), signal.SIGKILL)
    assert ticked(tmp_path) == held
    with terminal(tmp_path, NO_COLOR="1") as term:
        screen = opened(term, tmp_path, 120, 40)
        assert done(screen) == 39
        assert "going on: 39 done before" in screen
        beside = term.wait_for("NOT home")
        same_as_golden("screens/putback_120x40.txt", beside)
        tick_up_to(term, 40, LINES)
        term.type("Enter" if LINES % 2 else "Space")
        ended = term.wait_for("all done, and not home")
        assert "Ride 26 mm" in ended
        assert "Crash 2 not known" in ended
        term.type("p")
        pieces = term.wait_for("how far each piece is from home now")
        assert "home within tolerance" in pieces
        term.type("q")
        term.wait_for("h put back")
    assert len(ticked(tmp_path)) == LINES
    # What was found stays what was found; only the re-reading is a reading, on its own page.
    assert (tmp_path / "tour" / f"{PAGE}.toml").read_bytes() == before
    again = open_page(tmp_path / "tour" / f"{AGAIN}.toml").page
    assert again.setting("throne.height").state == "read"
    assert {held.state for key, held in again.record if key != "throne.height"} <= {
        "carried",
        "open",
        "follows",
    }


def test_two_people_take_a_side_each(tmp_path: Path) -> None:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    with terminal(tmp_path, NO_COLOR="1") as term:
        opened(term, tmp_path)
        term.type("h")
        term.wait_for("left side;")
        term.type("Enter")
        first = term.wait_for(f"1 of {LINES} done")
        with terminal(tmp_path, NO_COLOR="1") as other:
            assert done(opened(other, tmp_path)) == 1
            other.type("h", "h", "g")
            other.wait_for("right side;")
            other.type("Enter")
            other.wait_for(f"2 of {LINES} done")
        term.type("Space")
        term.wait_for(f"3 of {LINES} done")
        assert "left side" in first
    assert len(ticked(tmp_path)) == 3
