"""A rack screen's state on a small book, and keys pressed on it without a terminal."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

from model.book.begin import Begin
from model.book.page_file import PageFile, open_page
from model.book.start import start_page
from model.book.take import Hand
from model.readings.quantity import LengthUnit
from tui.keys import Keys
from tui.screens.rack.press import press
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import Beside, RackState, Save, start

DATA = Path(__file__).parent / "data"
FIRST = "2025-03-14-soundcheck"
SECOND = "2025-03-15-soundcheck"
HEIGHT = 18


def small_book(folder: Path) -> Path:
    """Make a book of two pages, the second begun from the first."""
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copy(DATA / "page_two_post.toml", folder / f"{FIRST}.toml")
    (folder / "book.toml").write_text(
        f'title = "Two posts"\ncrew = ["AK", "JM"]\n\n[homes]\n\nmain = "{FIRST}"\n'
    )
    began = datetime(2025, 3, 15, 17, 30, tzinfo=UTC)
    start_page(
        folder, folder / f"{FIRST}.toml", Begin(date(2025, 3, 15), began, "soundcheck", "Corn Hall")
    )
    return folder


def rack_on(folder: Path, unit: LengthUnit = "in", by: str | None = "AK") -> RackState:
    """Open the second page of the small book beside the first."""
    file = open_page(folder / f"{SECOND}.toml")
    first = open_page(folder / f"{FIRST}.toml")
    hand = replace(Hand(by=by), unit=unit)
    return start(file, hand, Beside("home main", FIRST, first.page), ())


NAMED = {"Enter": "enter", "Esc": "escape", "BSpace": "backspace", "!": "exclamation_mark"}
CHARS = {"?": "question_mark", " ": "space"}


def keyed(state: RackState, *keys: str) -> RackState:
    """Press keys, saving what they ask to save; a longer word is typed letter by letter."""
    table = Keys()
    for key, char in _pressed(keys):
        state = press(state, key, char, table, HEIGHT)
        if isinstance(state.wanted, Save):
            state = put_on_disk(state, state.wanted)
    return state


def _pressed(keys: Iterable[str]) -> Iterable[tuple[str, str | None]]:
    moves = {"up", "down", "left", "right", "pageup", "pagedown", "home", "end", "space"}
    for key in keys:
        if key in NAMED:
            yield NAMED[key], None
        elif key in moves:
            yield key, " " if key == "space" else None
        else:
            for char in key:
                yield CHARS.get(char, char), char


def reread(state: RackState) -> PageFile:
    """Read the page in hand from the disk again."""
    return open_page(state.file.path)
