"""The differences' screen under the pilot: painted at once, filled in when all is worked out."""

from __future__ import annotations

import asyncio
import shutil
import threading
from pathlib import Path

import pytest
from textual.pilot import Pilot

from model.book.take import Hand
from model.compare.answer import Compared, ComparedSetting
from model.compare.piece_answer import ComparedPiece
from tests.goldens import same_as_golden
from tests.tmux import clampbook, terminal
from tui.app import ClampbookApp
from tui.keys import Keys
from tui.looks.choice import LOOKS
from tui.screens.differences import filling
from tui.screens.differences.screen import DifferencesScreen
from tui.screens.differences.state import DifferencesState
from tui.screens.rack.opening import open_rack
from tui.screens.rack.screen import RackScreen

SAMPLE = Path(__file__).parent.parent / "sample_rigs" / "harbour-dance"
PAGE = "2026-03-21-after-fill-in"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    return tmp_path / "tour"


def app_on(book: Path) -> ClampbookApp:
    look, keys = LOOKS["plain"], Keys()

    def first() -> RackScreen:
        return open_rack(look, keys, Hand(unit="in", by="AK"), book / f"{PAGE}.toml", book)

    return ClampbookApp(first, look, {})


def screen_of(app: ClampbookApp) -> DifferencesScreen:
    assert isinstance(app.screen, DifferencesScreen)
    return app.screen


async def until_filled(pilot: Pilot[None], screen: DifferencesScreen) -> None:
    for _ in range(200):
        await asyncio.sleep(0.02)
        await pilot.pause()
        if screen.state.is_filled:
            return
    pytest.fail("the pieces were not worked out")


def test_the_readings_are_there_at_once_and_the_pieces_follow(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_go_on = threading.Event()
    worked_out = filling.whole_answer

    def held(state: DifferencesState, of_book: object) -> Compared:
        assert may_go_on.wait(20.0)
        return worked_out(state, of_book)  # type: ignore[arg-type]

    monkeypatch.setattr(filling, "whole_answer", held)

    async def scene() -> None:
        app = app_on(book)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            await pilot.press("d")
            await pilot.pause()
            screen = screen_of(app)
            # The keys work while the geometry is not there yet.
            assert any(isinstance(row, ComparedSetting) for row in screen.state.rows)
            await pilot.press("down", "down", "down")
            row = screen.state.rows[screen.state.cursor]
            assert isinstance(row, ComparedSetting)
            assert not screen.state.is_filled
            may_go_on.set()
            await until_filled(pilot, screen)
            after = screen.state.rows[screen.state.cursor]
            assert isinstance(after, ComparedSetting)
            assert after.setting == row.setting
            # The rack's book tells that the first page is its home, and what each role allows.
            assert screen.state.answer.home
            await pilot.press("p")
            piece = screen.state.rows[0]
            assert isinstance(piece, ComparedPiece)
            assert piece.tolerance is not None
            await pilot.press("enter")
            await pilot.pause()
            rack = app.screen
            assert isinstance(rack, RackScreen)
            assert rack.state.cursor == piece.id

    asyncio.run(scene())


def test_one_that_was_left_meanwhile_is_not_filled(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_go_on, done = threading.Event(), threading.Event()
    worked_out = filling.whole_answer

    def held(state: DifferencesState, of_book: object) -> Compared:
        assert may_go_on.wait(20.0)
        answer = worked_out(state, of_book)  # type: ignore[arg-type]
        done.set()
        return answer

    monkeypatch.setattr(filling, "whole_answer", held)

    async def scene() -> None:
        app = app_on(book)
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            await pilot.press("d")
            await pilot.pause()
            screen = screen_of(app)
            await pilot.press("q")
            await pilot.pause()
            may_go_on.set()
            for _ in range(400):
                await asyncio.sleep(0.02)
                if done.is_set():
                    break
            for _ in range(10):  # and the thread has had its say
                await asyncio.sleep(0.02)
                await pilot.pause()
            assert isinstance(app.screen, RackScreen)
            assert not screen.state.is_filled

    asyncio.run(scene())


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
def test_by_real_keys(tmp_path: Path, book: Path, width: int, height: int) -> None:
    with terminal(tmp_path) as term:
        term.start(clampbook(f"tour/{PAGE}", "--unit", "in"), tmp_path, width, height)
        term.wait_for("w walk")
        term.type("d")
        term.wait_for("pieces moved: p")
        term.type("p")
        # The counts are the last line but one: what is above them has been painted.
        screen = term.wait_until(
            lambda s: "9 beyond tolerance" in s and "q back" in s and s == term.screen(),
            "the pieces",
        )
        same_as_golden(f"screens/pieces_{width}x{height}.txt", screen)
        term.type("Enter")
        assert "Throne" in term.wait_for("part and setting")
