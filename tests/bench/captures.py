"""Captures every screen as a terminal shows it: ``python -m tests.bench.captures FOLDER``.

At 80x24 and 120x40, in the three looks and without colour; ANSI text, to be looked at.
"""

from __future__ import annotations

import shutil
import sys
import time
from pathlib import Path

from tests.tmux import Terminal, clampbook, terminal

SAMPLE = Path(__file__).parent.parent.parent / "sample_rigs" / "harbour-dance"
PAGE = "tour/2026-04-04-soundcheck"
SIZES = ((80, 24), (120, 40))
LOOKS = ("dark stage", "daylight", "plain", "no colour")
SCREENS: tuple[tuple[str, tuple[str, ...], tuple[str, ...]], ...] = (
    ("rack", (), ()),
    ("entry", ("f", "ride boom", "Enter", "1", "7", "x"), ("Escape",)),
    ("drawing", ("f", "ride", "Enter", "v"), ()),
    ("front", ("v",), ()),
    ("left", ("v",), ()),
    ("typed", ("f", "ride boom", "Enter", "9", "1", "0", "m", "m"), ("Escape", "v")),
    ("walk", ("w", "Down", "Down", "Down"), ("q",)),
    ("differences", ("d",), ("q",)),
    ("put back", ("h",), ()),
    ("put back, pieces", ("p",), ("q",)),
    ("pages", ("c",), ("q",)),
    ("keys", ("?",), ("q",)),
    ("odd", ("!",), ("q",)),
    ("book", ("q",), ()),
)


def shot(term: Terminal, path: Path) -> None:
    """Write what the terminal shows, colours and trailing blanks with it."""
    time.sleep(0.9)
    path.write_text(term.tmux("capture-pane", "-e", "-N", "-p", "-t", "s"), "utf-8")


def main(folder: Path) -> None:
    """Capture them all."""
    folder.mkdir(parents=True, exist_ok=True)
    for look in LOOKS:
        for width, height in SIZES:
            work = folder / "work"
            shutil.rmtree(work, ignore_errors=True)
            work.mkdir()
            shutil.copytree(SAMPLE, work / "tour")
            config = work / "home" / "config" / "clampbook"
            config.mkdir(parents=True)
            name = look if look != "no colour" else "dark stage"
            (config / "config.toml").write_text(f'unit = "in"\nby = "KD"\nlook = "{name}"\n')
            environ = {"COLORTERM": "truecolor", "TERM": "xterm-256color"}
            if look == "no colour":
                environ["NO_COLOR"] = "1"
            with terminal(work, **environ) as term:
                term.start(clampbook(PAGE), work, width, height)
                term.wait_for("w walk")
                for screen, keys, leave in SCREENS:
                    term.type(*keys)
                    name = screen.replace(", ", "-").replace(" ", "-")
                    shot(term, folder / f"{look.replace(' ', '-')}_{width}_{name}.ansi")
                    term.type(*leave)
                    time.sleep(0.3)
    shutil.rmtree(folder / "work", ignore_errors=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
