"""The drawing by real keys: beside the rows at two sizes, in dots and in signs of every console."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

import pytest

from model.book.page_file import open_page
from tests.goldens import same_as_golden
from tests.test_tui_tmux import SAMPLE
from tests.tmux import Terminal, clampbook, terminal

PAGE = "2026-04-04-soundcheck"


def settled(term: Terminal) -> str:
    """Return the screen when it has stopped changing: the drawing comes in a frame of its own."""
    seen = ""
    for _ in range(40):
        now = term.wait_until(lambda s: "942 mm up" in s, "the ride's place")
        if now == seen:
            return now
        seen = now
        time.sleep(0.3)
    return seen


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
@pytest.mark.parametrize("locale", ["C.UTF-8", "C"])
def test_the_drawing_follows_what_is_typed_and_recorded(
    tmp_path: Path, width: int, height: int, locale: str
) -> None:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    with terminal(tmp_path, LC_ALL=locale) as term:
        term.start(clampbook(f"tour/{PAGE}", "--unit", "mm"), tmp_path, width, height)
        term.wait_for("w walk")
        term.type("f", "ride boom", "Enter", "v")
        term.wait_for("942 mm up, leans 13.3")
        before = settled(term)
        assert "from above, ahead is up" in before
        has_dots = any("\u2801" <= char <= "\u28ff" for char in before)
        assert has_dots is (locale != "C")
        name = "dots" if has_dots else "signs"
        same_as_golden(f"screens/drawing_{name}_{width}x{height}.txt", before)
        # The boom's clamp goes 10 mm up its post: the ride with it, before Enter and after.
        term.type("9", "1", "0", ".", "1")
        typed = term.wait_for("952 mm up, leans 13.3")
        assert "Ride: 10 mm up" in typed
        term.type("Enter")
        term.wait_for("saved")
        term.wait_for("952 mm up, leans 13.3")
        assert open_page(tmp_path / "tour" / f"{PAGE}.toml").page.setting(
            "ride-boom.place"
        ).value == pytest.approx(910.1)
        term.type("u")
        term.wait_for("942 mm up, leans 13.3")
        term.type("v", "v", "v")
        term.wait_until(lambda s: "leans 13.3" not in s, "the rows alone again")
