"""The sample pages' sheets as a browser draws them: nothing clipped, no label over another, bars
as long as they are.

Source of the measures: Chromium's own layout (SVG 2's getBBox and getTotalLength). It is skipped
where Chromium is not there. One page of each book here; all of them with ``--long``.
"""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from model.book.page_file import open_page
from model.picture.scene import VIEWS
from model.picture.sheet import sheet
from model.picture.view import project
from model.space.positions import Positions
from model.space.scene import page_title, scene_of
from tests.test_model_picture_browser import CHROMIUM, told

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
PAGES = sorted(SAMPLES.glob("*/2*.toml"))
FEW = [
    [page for page in PAGES if page.parent == book][-1]
    for book in sorted(SAMPLES.glob("*/"))
    if book.is_dir() and any(page.parent == book for page in PAGES)
]
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium")

SCRIPT = """
return [...document.querySelectorAll("svg")].map(svg => {
  const box = e => { const b = e.getBoundingClientRect(), s = svg.getBoundingClientRect();
                     return [b.left - s.left, b.top - s.top, b.right - s.left, b.bottom - s.top]; };
  const size = svg.getBoundingClientRect();
  const bars = [...svg.querySelectorAll("g.view")].map(view => [view.getAttribute("class"),
    [...view.querySelectorAll("g.bar")].map(bar => [bar.querySelector("title").textContent,
      Math.max(...[...bar.querySelectorAll("polyline, line")].map(e => e.getTotalLength()))])]);
  return { size: [size.width, size.height],
           all: [...svg.querySelectorAll(
                   "text, line, polyline, polygon, ellipse, circle")].map(box),
           labels: [...svg.querySelectorAll("g.label text")].map(e => [e.textContent, box(e)]),
           bars: bars };
});
"""


def pages(all_of_them: bool) -> list[Path]:
    return PAGES if all_of_them else FEW


def check(found: Any, path: Path) -> None:
    width, height = found["size"]
    for left, top, right, bottom in found["all"]:
        assert left >= -0.5, path.name
        assert top >= -0.5, path.name
        assert right <= width + 0.5, path.name
        assert bottom <= height + 0.5, path.name
    for index, (said, one) in enumerate(found["labels"]):
        for other_said, other in found["labels"][:index]:
            across = min(one[2], other[2]) - max(one[0], other[0])
            down = min(one[3], other[3]) - max(one[1], other[1])
            assert across <= 0.0 or down <= 0.0, (path.name, said, other_said)


def check_bars(found: Any, path: Path) -> int:
    """Hold each bar's drawn length against that of its projection; return how many were."""
    positions = Positions(open_page(path).page)
    counted = 0
    by_view = {name.removeprefix("view "): dict(bars) for name, bars in found["bars"]}
    for view in VIEWS:
        # A title is the letter and the name; a page of which nothing is known has no view.
        drawn = {said.split(": ", 1)[1]: size for said, size in by_view.get(view, {}).items()}
        for tube in scene_of(positions, "").tubes:
            if tube.sort != "bar" or tube.name not in drawn:
                continue
            run = [project(point, view) for point in tube.points]
            length = sum(math.dist(a, b) for a, b in pairwise(run))
            if length > 50.0:
                assert drawn[tube.name] == pytest.approx(length, abs=0.5), (path.name, tube.name)
                counted += 1
    return counted


def sheets(paths: list[Path]) -> str:
    drawn = []
    for path in paths:
        page = open_page(path).page
        svg = sheet(scene_of(Positions(page), page_title(page, path.stem)))
        drawn.append(f"<div>{svg.split('?>', 1)[1]}</div>")
    return "".join(drawn)


def test_the_last_page_of_each_book(tmp_path: Path) -> None:
    found = told(tmp_path, sheets(FEW), SCRIPT)
    assert len(found) == len(FEW) == 3
    assert sum(check_bars(one, path) for one, path in zip(found, FEW, strict=True)) > 10
    for one, path in zip(found, FEW, strict=True):
        check(one, path)


@pytest.mark.long
def test_every_page(tmp_path: Path) -> None:
    found = told(tmp_path, sheets(PAGES), SCRIPT)
    assert len(found) == len(PAGES) >= 41
    for one, path in zip(found, PAGES, strict=True):
        check(one, path)
        check_bars(one, path)
