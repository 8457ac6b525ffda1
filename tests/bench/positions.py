"""Prints what positions and drawings cost: ``python -m tests.bench.positions``.

After each key: the page with another value, its places, the scene, the drawing in cells and what
the edit did, as the rack screen works them out; and the same from nothing, with how sure it is.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from model.book.page_file import open_page
from model.picture.sheet import sheet
from model.rig.page import Page
from model.space.answer import page_positions
from model.space.positions import Positions
from model.space.scene import scene_of
from tests.bench.large import page_of
from tui.screens.rack.beside import effect_words
from tui.screens.rack.drawing import drawing_lines

ROOT = Path(__file__).parent.parent.parent
SAMPLE = ROOT / "sample_rigs" / "harbour-dance" / "2026-04-04-soundcheck.toml"
PANE = (46, 30)


def edits(page: Page) -> Iterator[Page]:
    """Yield the page with one number changed, for every setting that has one, over and over."""
    keys = [
        key
        for key, declared in page.declared.items()
        if declared.quantity in ("length", "angle")
        and isinstance(page.setting(key).value, float)
        and not declared.name.startswith("dial.")
    ]
    while True:
        for key in keys:
            setting = page.setting(key)
            assert isinstance(setting.value, float)
            yield page.with_setting(key, setting.model_copy(update={"value": setting.value + 1.0}))


def row(name: str, measured: list[float]) -> None:
    """Print a line of the table: milliseconds."""
    ordered = sorted(measured)
    p90 = ordered[int(len(ordered) * 0.9)]
    print(f"| {name} | median {statistics.median(ordered):.1f} ms, p90 {p90:.1f} ms |")


def timed(work: Callable[[], object]) -> float:
    """Return the milliseconds that some work takes."""
    begun = time.perf_counter()
    work()
    return (time.perf_counter() - begun) * 1000.0


def keys_on(page: Page, count: int) -> None:
    """Measure what follows a key, and the whole page from nothing."""
    before = Positions(page)
    scene_of(before, "")
    changed = edits(page)
    places, drawings, both = [], [], []
    for _ in range(count):
        other = next(changed)
        begun = time.perf_counter()
        after = Positions(other, before)
        effect_words(before, after, "mm", frozenset())
        between = time.perf_counter()
        drawing_lines(scene_of(after, ""), "above", frozenset(), PANE, braille=True)
        ended = time.perf_counter()
        places.append((between - begun) * 1000.0)
        drawings.append((ended - between) * 1000.0)
        both.append((ended - begun) * 1000.0)
    row("one key: places and what the edit did", places)
    row("one key: scene and drawing", drawings)
    row("one key: both", both)
    row("the page from nothing", [timed(lambda: Positions(page).faults()) for _ in range(9)])
    row("with how sure it is", [timed(lambda: page_positions(page, "")) for _ in range(9)])


def main() -> None:
    """Measure and print."""
    page = open_page(SAMPLE).page
    print(f"| harbour-dance, {len(page.declared)} settings | |")
    keys_on(page, 200)
    scene = scene_of(Positions(page), "")
    row("the sheet of three views", [timed(lambda: sheet(scene)) for _ in range(3)])
    large = page_of(SAMPLE, 1200)
    print(f"\n| a page of {len(large.declared)} settings | |")
    keys_on(large, 100)


if __name__ == "__main__":
    main()
