"""Names from files on every screen, through a pty: not one byte of theirs acts on the terminal."""

from __future__ import annotations

import os
import re
import select
import sys
import time
from importlib import import_module
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from model.book.page_file import open_page
from model.clean import clean
from model.picture.scene import VIEWS
from tests.hostile_screens import (
    BOOK,
    BROKEN,
    BUILD,
    DIFFERENCES,
    NAMED,
    PASTED,
    PUT_BACK,
    RACK,
    WALK,
    Step,
)
from tests.hostile_texts import PAYLOADS, acting, file_name, hostile_book, toml
from tests.import_rule import modules
from tests.rack_stage import FIRST, SECOND
from tui.screens.building.state import Asking as Building
from tui.screens.putback.state import Asking
from tui.screens.rack.state import PromptSort
from tui.widgets.base import StageScreen

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no Unix terminal here")
if sys.platform != "win32":
    from tests.bench.pty_program import PtyProgram, program

ACTING = re.compile(rb"\x1b\[31m(?!;)|\x1b\]|\x1bP1|\x1bc|\x07|\x08|\x7f|\xc2[\x80-\x9f]")
OWN = re.compile(rb"\x1b\]22;[a-z-]*(?:\x1b\\|\x07)")
"""The terminal library asks for the pointer's shape (OSC 22); that is not of the data."""
CSI = re.compile(rb"\x1b\[[0-9;:<=>?]*[ -/]*[@-~]")
"""A control sequence (ECMA-48, 5.4): what the screens themselves are drawn with."""
BIDI = ["\u202e", "\u2066", "\u2069", "\u200b", "\u2028"]
STEPS = (*BOOK, *NAMED, *RACK, *WALK, *DIFFERENCES, *BUILD, *PUT_BACK, *PASTED, *BROKEN)
WIDE = 240
PATIENCE, QUIET = 15.0, 0.03


class Stage:
    """The program on a book, and what it drew since the last keys."""

    def __init__(self, folder: Path, book: Path, columns: int) -> None:
        self.run = PtyProgram(program(str(book)), folder, columns=columns, rows=45)
        self.since = 0

    def press(self, step: Step, text: str) -> str:
        """Press a step's keys; return what was drawn, without the control sequences."""
        self.since = len(self.run.seen)
        paste = f"\x1b[200~{text}\x1b[201~"
        keys = step.keys.replace("{paste}", paste).replace("{text}", text)
        os.write(self.run.fd, keys.encode())
        until = time.monotonic() + PATIENCE
        while step.shows not in self.drawn():
            words = " | ".join(line.strip() for line in self.drawn().split("\n") if line.strip())
            assert time.monotonic() < until, f"{step} never came: {words[-2000:]}"
            self._read(0.05)
        while self._read(QUIET):
            pass
        return self.drawn()

    def _read(self, seconds: float) -> bool:
        """Read what comes within some seconds; tell whether something did."""
        if not select.select([self.run.fd], [], [], seconds)[0]:
            return False
        self.run.seen += os.read(self.run.fd, 1 << 16)
        return True

    def drawn(self) -> str:
        return CSI.sub(b"\n", OWN.sub(b"", self.run.seen[self.since :])).decode("utf-8", "replace")


def placed(folder: Path, text: str, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make a hostile book: its folder, one page and its reader are called ``text`` too."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(folder / "config"))
    monkeypatch.setenv("XDG_STATE_HOME", str(folder / "state"))
    config = folder / "config" / "clampbook" / "config.toml"
    config.parent.mkdir(parents=True)
    config.write_text(f"by = {toml(text)}\n")
    name = file_name(text)
    book = hostile_book(folder / f"tour {name}", text)
    page = book / f"2025-03-16 {name}.toml"
    page.write_text((book / f"{SECOND}.toml").read_text().replace("= 2025-03-15", "= 2025-03-16"))
    copy = page.with_name(f"{page.stem} ({name}).toml")
    copy.write_text(page.read_text().replace("read = 840.0", "read = 850.0"))
    (book / "broken.toml").rename(book / f"broken {name}.toml")
    return book


@pytest.mark.parametrize("first", range(4))
def test_nothing_of_a_hostile_name_acts(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    first: int,
) -> None:
    payloads = PAYLOADS[first::4]
    text = f"{''.join(payloads)}MARK"
    book = placed(tmp_path, text, monkeypatch)
    stage = Stage(tmp_path, book, WIDE)
    stage.run.read_until(b"MARK")
    whole = 0
    for step in STEPS:
        if step is BROKEN[0]:
            stage.press(Step("RackScreen", "rows", "\r", "part and setting"), text)
            with (book / f"{FIRST}.toml").open("a") as page:
                page.write(f"\n[part.{toml(text)}]\ntype = {toml(text)}\n")
        drawn = stage.press(step, text)
        whole += sum(clean(payload) in drawn for payload in payloads)
    shown = stage.run.seen
    stage.run.kill()
    _nothing_acts(shown)
    note = open_page(book / f"{SECOND}.toml").page.notes_on["throne"].note
    assert note
    assert acting(note) == []
    with capsys.disabled():
        pairs = len(STEPS) * len(payloads)
        print(
            f"\n  {len(STEPS)} screens and panels x {len(payloads)} hostile texts: {pairs} pairs, "
            f"the text whole on the screen in {whole}, 0 acting bytes", end="",
        )  # fmt: skip
    assert whole > pairs // 2


@pytest.mark.parametrize("columns", [80, 60])
def test_nothing_acts_where_there_is_little_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, columns: int
) -> None:
    """What does not fit is cut, and none of it is cut before it was cleaned."""
    text = f"{''.join(PAYLOADS)}MARK"
    book = placed(tmp_path, text[:120], monkeypatch)
    stage = Stage(tmp_path, book, columns)
    stage.run.read_until(b"q back")
    for keys in ("\r", "fclamp-l\r", "n", "\x15\x7f", "w", "q", "d", "p", "q", "h", "p", "q", "q"):
        os.write(stage.run.fd, keys.encode())
        stage.run.read(quiet=0.06, longest=1.0)
    shown = stage.run.seen
    stage.run.kill()
    _nothing_acts(shown)


def _nothing_acts(shown: bytes) -> None:
    acted = [match[0] for match in ACTING.finditer(OWN.sub(b"", shown))]
    assert acted == [], f"{acted[:5]} reached the terminal"
    text = shown.decode("utf-8", "replace")
    assert not [char for char in BIDI if char in text]


def test_every_screen_and_panel_is_among_them() -> None:
    """A screen, a line to type, a view that is new has to be met with hostile texts as well."""
    for name, _ in modules():
        if name.startswith("tui.screens"):
            import_module(name)
    screens = {screen.__name__ for screen in StageScreen.__subclasses__()}
    assert {step.screen for step in STEPS} == screens
    panels = {screen: {step.panel for step in STEPS if step.screen == screen} for screen in screens}
    assert panels["RackScreen"] >= set(get_args(PromptSort))
    assert panels["BuildScreen"] >= set(get_args(get_type_hints(Building)["sort"])) - {
        "size",
        "bar",
    }
    assert panels["PutBackScreen"] >= set(get_args(get_type_hints(Asking)["sort"]))
    assert panels["BookScreen"] >= {"date", "moment", "house"}
    assert {view.replace("left", "left side") for view in VIEWS} <= panels["RackScreen"]
