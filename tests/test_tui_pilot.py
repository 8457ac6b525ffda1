"""The thin part itself, under the library's own pilot: paste, held keys, screens left fast."""

from __future__ import annotations

import asyncio
import threading
from datetime import UTC, datetime
from pathlib import Path

from textual.events import Key, Paste

from model.book.heads import list_book
from model.book.page_file import open_page
from model.rig.page import Page
from tests.rack_stage import SECOND, small_book
from tui.app import ClampbookApp
from tui.config import Config
from tui.keys import Keys
from tui.looks.choice import LOOKS
from tui.screens.book.screen import BookScreen
from tui.screens.rack.odd import STILL_WORKED_OUT
from tui.screens.rack.screen import RackScreen
from tui.screens.text import TextScreen
from tui.widgets.grid import rows_as_text


def app_on(folder: Path) -> ClampbookApp:
    book = small_book(folder)

    def first() -> BookScreen:
        return BookScreen(
            LOOKS["plain"], Keys(), list_book(book), Config(unit="in", by="AK"),
            lambda: datetime(2025, 3, 16, tzinfo=UTC), book / f"{SECOND}.toml",
        )  # fmt: skip

    return ClampbookApp(first, LOOKS["plain"], {})


def rack_of(app: ClampbookApp) -> RackScreen:
    screen = app.screen
    assert isinstance(screen, RackScreen)
    return screen


def page_in(folder: Path) -> Page:
    return open_page(folder / f"{SECOND}.toml").page


def test_pasted_text_is_never_commands(tmp_path: Path) -> None:
    before = page_in(small_book(tmp_path / "same"))

    async def scene() -> None:
        app = app_on(tmp_path / "tour")
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = rack_of(app)
            for text in ("Floor tom oo", "ww", "qqq", "xx"):
                rack.post_message(Paste(text))
            await pilot.pause()
            assert rack_of(app) is rack
            assert rack.state.page.record == before.record
            rack.post_message(Paste("3/8\r5"))
            await pilot.pause()
            assert rack.state.prompt is not None
            assert rack.state.prompt.typed.text == "3/8"
            await pilot.press("enter")
            assert rack.state.page.setting("floor.rug").value == 9.525

    asyncio.run(scene())


def test_a_key_held_down_does_not_run_down_the_rack(tmp_path: Path) -> None:
    async def scene() -> None:
        app = app_on(tmp_path / "tour")
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = rack_of(app)
            await pilot.press("tab", "tab")
            start = 1000.0
            for count in range(60):
                event = Key("s", "s")
                event.time = start + 0.033 * count
                rack.post_message(event)
            await pilot.pause()
            states = [setting.state for _, setting in rack.state.page.record]
            assert states.count("seen") == 1

    asyncio.run(scene())


def test_keys_typed_faster_than_screens_change_go_where_they_belong(tmp_path: Path) -> None:
    async def scene() -> None:
        app = app_on(tmp_path / "tour")
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = app.screen
            for key in ("w", "7"):
                rack.post_message(Key(key, key))
            await pilot.pause()
            walk = app.screen
            assert walk is not rack
            for key in ("q", "q", "q"):
                walk.post_message(Key("escape" if key == "x" else key, key))
            await pilot.pause()

    asyncio.run(scene())


def test_what_stands_in_the_way_of_places_comes_when_they_are_worked_out(tmp_path: Path) -> None:
    """``!`` at once after opening, and again when the geometry is there."""
    app = app_on(tmp_path / "tour")
    page = tmp_path / "tour" / f"{SECOND}.toml"
    page.write_text(page.read_text("utf-8").replace("sagitta = 100.0", "sagitta = 900.0"), "utf-8")

    async def shown() -> list[str]:
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = rack_of(app)
            is_loading = threading.Event()
            load = rack.bench._load
            rack.bench._load = lambda: (is_loading.wait(20), load())[1]  # type: ignore[method-assign]
            await pilot.press("exclamation_mark")
            await pilot.pause()
            screen = app.screen
            assert isinstance(screen, TextScreen)
            assert STILL_WORKED_OUT in screen.lines_shown
            assert not any(
                "sagitta" in line or "nothing is odd" in line for line in screen.lines_shown
            )
            is_loading.set()
            for _ in range(200):
                await asyncio.sleep(0.05)
                if rack.bench.is_idle:
                    break
            await pilot.pause()
            rows = rows_as_text(screen.grid.count, screen.grid._cells_of, 79)
            assert [row.rstrip() for row in rows] == screen.lines_shown
            await pilot.press("q", "exclamation_mark")
            assert isinstance(app.screen, TextScreen)
            assert app.screen.lines_shown == screen.lines_shown
            return screen.lines_shown

    lines = asyncio.run(shown())
    assert any("sagitta of" in line for line in lines), lines
    assert STILL_WORKED_OUT not in lines


def test_the_places_come_to_nobody_where_the_list_was_left_meanwhile(tmp_path: Path) -> None:
    async def scene() -> None:
        app = app_on(tmp_path / "tour")
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = rack_of(app)
            await pilot.press("exclamation_mark", "q")
            for _ in range(200):
                await asyncio.sleep(0.05)
                if rack.bench.is_idle:
                    break
            assert rack_of(app) is rack

    asyncio.run(scene())
