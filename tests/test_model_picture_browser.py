"""A browser's own view of the sheet: texts are no wider than was reckoned, and none overlap.

It needs Chromium and, for the table of widths, a font with Arial's metrics; it is skipped where
they are not there.
"""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from model.picture import style
from model.picture.sheet import sheet
from model.picture.text import _WIDTHS
from tests.picture_scene import rack

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium")
OPTIONS = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run")


def told(tmp_path: Path, body: str, script: str) -> Any:
    """What a script returns in a page with this body."""
    page = tmp_path / "page.html"
    page.write_text(
        f'<meta charset="utf-8"><body style="margin:0">{body}<pre id="said"></pre><script>'
        f'document.getElementById("said").textContent = JSON.stringify((() => {{{script}}})());'
        "</script>",
        "utf-8",
    )
    assert CHROMIUM
    run = subprocess.run(
        [
            CHROMIUM,
            *OPTIONS,
            "--disable-background-networking",
            f"--user-data-dir={tmp_path / 'profile'}",
            "--dump-dom",
            page.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    found = re.search(r'<pre id="said">(.*?)</pre>', run.stdout, re.DOTALL)
    assert found
    return json.loads(html.unescape(found[1]))


def test_the_table_of_widths_is_the_fonts(tmp_path: Path) -> None:
    rows = "".join(
        f'<text font-size="100" xml:space="preserve">|{html.escape(char)}|</text>'
        for char in (*_WIDTHS, "")
    )
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" font-family="{style.FONT}">{rows}</svg>'
    lengths = told(
        tmp_path,
        svg,
        'return [...document.querySelectorAll("text")].map(e => e.getComputedTextLength());',
    )
    found = {c: (wide - lengths[-1]) / 100 for c, wide in zip(_WIDTHS, lengths, strict=False)}
    if abs(found["M"] - 0.833) > 0.002 or abs(found["W"] - 0.944) > 0.002:
        pytest.skip("there is no font with Arial's metrics")
    wrong = {c: wide for c, wide in found.items() if wide > _WIDTHS[c] / 1000 + 0.003}
    assert not wrong


def test_no_text_is_wider_than_its_box_and_none_overlap(tmp_path: Path) -> None:
    svg = sheet(rack()).split("?>", 1)[1]
    found = told(
        tmp_path,
        svg,
        """
        return [...document.querySelectorAll("g.label")].map(g => {
          const box = e => { const b = e.getBoundingClientRect();
                             return [b.left, b.top, b.right, b.bottom]; };
          return [g.querySelector("text").textContent, box(g.querySelector("rect")),
                  box(g.querySelector("text"))];
        });
        """,
    )
    assert len(found) > 40
    for said, kept, text in found:
        assert text[0] >= kept[0] - 0.1, said
        assert text[2] <= kept[2] + 0.1, said
    for i, (said, _, one) in enumerate(found):
        for other_said, _, other in found[:i]:
            across = min(one[2], other[2]) - max(one[0], other[0])
            down = min(one[3], other[3]) - max(one[1], other[1])
            assert across <= 0 or down <= 0, (said, other_said)
