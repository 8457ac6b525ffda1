"""Readings that the book refused, second versions, undo after a restart: commands and screens."""

from __future__ import annotations

import asyncio
import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.book.heads import list_book
from model.book.page_file import open_page
from tests.journals import full, journal_in, on_disk, read
from tests.rack_stage import FIRST, SECOND, keyed, rack_on, small_book
from tui import cli
from tui.app import ClampbookApp
from tui.config import Config
from tui.keys import Keys
from tui.looks.choice import LOOKS
from tui.screens.book.screen import BookScreen
from tui.screens.pick import PickScreen
from tui.screens.rack.cells import title_cells
from tui.screens.rack.opening import with_journal
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import RackState, Save
from tui.screens.text import TextScreen
from tui.screens.walk.press import press as press_walk
from tui.screens.walk.state import after_save, start_walk
from tui.widgets.line import line_text

KEY, OTHER = "clamp-l.height", "clamp-r.height"
COPY = f"{SECOND} (laptop)"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.chdir(tmp_path)
    return small_book(tmp_path / "tour")


def rack(book: Path) -> RackState:
    """Open the second page as the program does, in millimetres."""
    state = rack_on(book, "mm")
    return with_journal(state, journal_in(book.parent))


def at(state: RackState, key: str) -> RackState:
    return state.shown_row(key)


def test_a_full_disk_keeps_the_reading_steps_on_and_says_where(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = at(rack(book), KEY)
    with monkeypatch.context() as disk:
        full(disk)
        state = keyed(state, "800", "Enter")
        assert state.message.sort == "kept"
        assert state.message.text == (
            "1 change not in the book yet: no space left on device. "
            f"Safe in {book.parent / 'journal'}; the next reading saves all"
        )
        assert state.prompt is None
        assert state.cursor != KEY
        assert "1 not in the book" in line_text(title_cells(state), 100)
        assert state.page.setting(KEY).value == 800.0
        assert on_disk(state.file, KEY).state == "carried"
        again = rack(book)  # the program was left, and the disk is full as before
        assert again.message.sort == "kept"
        assert "1 not in the book" in line_text(title_cells(again), 100)
    state = keyed(at(state, OTHER), "810", "Enter")
    assert state.message.sort == "saved"
    assert state.message.text.endswith("; so is what the disk had refused (1)")
    assert [on_disk(state.file, key).value for key in (KEY, OTHER)] == [800.0, 810.0]
    assert rack(book).message.sort == "said"


def test_what_waits_is_saved_when_the_page_is_opened_and_can_be_undone(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as disk:
        full(disk)
        keyed(at(rack(book), KEY), "800", "Enter", "810", "Enter")
    state = rack(book)
    assert state.message.sort == "saved"
    assert state.message.text.startswith("2 changes that had not reached the book: now saved (")
    assert "Left bar clamp, height" in state.message.text
    assert on_disk(state.file, KEY).value == 800.0
    state = keyed(state, "uu")
    assert on_disk(state.file, KEY).state == "carried"
    assert keyed(state, "u").message.text == "nothing to undo"


def test_undo_and_redo_go_on_after_a_restart(book: Path) -> None:
    keyed(at(rack(book), KEY), "800", "Enter", "7", "Enter", "u")
    state = rack(book)
    assert (len(state.done), len(state.undone)) == (1, 1)
    state = keyed(state, "u")
    assert on_disk(state.file, KEY).state == "carried"
    state = keyed(rack(book), "rr")
    assert on_disk(state.file, KEY).value == 800.0
    assert len(rack(book).done) == 2


def test_someone_elses_change_and_a_full_disk_at_once(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = at(rack(book), KEY)
    with monkeypatch.context() as disk:
        full(disk)
        state = keyed(state, "800", "Enter")
    read(open_page(state.file.path), None, "bar.bow", 3.0)
    state = keyed(at(state, OTHER), "810", "Enter")
    assert state.message.text.endswith("someone else's changes came in as well")
    values = [on_disk(state.file, key).value for key in (KEY, OTHER, "bar.bow")]
    assert values == [800.0, 810.0, 3.0]


def test_what_waits_and_was_changed_by_someone_else_is_kept_and_told(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    state = at(rack(book), KEY)
    with monkeypatch.context() as disk:
        full(disk)
        state = keyed(state, "800", "Enter")
    read(open_page(state.file.path), None, KEY, 3.0)
    again = keyed(at(state, OTHER), "810", "Enter")
    told = "1 change kept, the page says otherwise by now: v on the book tells"
    assert again.message.text.endswith(told)
    assert [on_disk(again.file, key).value for key in (KEY, OTHER)] == [3.0, 810.0]
    assert rack(book).message.text == told


def test_a_page_that_was_closed_waits_to_be_opened_again(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as disk:
        full(disk)
        keyed(at(rack(book), KEY), "800", "Enter")
    keyed(rack_on(book), "xx")
    state = rack(book)
    assert state.page.head.closed
    assert state.message.text == (
        "1 change not in the book, the page is closed: open it again and come back"
    )
    assert state.done == ()
    keyed(state, "xx")
    assert on_disk(rack(book).file, KEY).value == 800.0


def test_the_walk_goes_on_while_the_disk_refuses(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk = start_walk(rack(book), (), (), KEY)
    full(monkeypatch)
    for key, char in (("8", "8"), ("enter", None)):
        walk = press_walk(walk, key, char, Keys(), 9.0)
        wanted = walk.rack.wanted
        if isinstance(wanted, Save):
            walk = after_save(walk, put_on_disk(walk.rack, wanted), wanted)
    assert walk.rack.message.sort == "kept"
    assert walk.key != KEY


def said(capsys: pytest.CaptureFixture[str]) -> str:
    return capsys.readouterr().out


def test_read_says_what_is_kept_and_what_reached_the_book(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with monkeypatch.context() as disk:
        full(disk)
        assert cli.main(["read", "tour", "clamp-l", "height", "800"]) == 1
        words = said(capsys)
        assert words.startswith("clamp-l.height read 800 mm, was 812.8 mm; not in the book, which")
        assert f"safe in {book.parent / 'state'}" in words
        assert cli.main(["read", "tour", "clamp-l", "height", "801", "--json"]) == 1
        answer = json.loads(said(capsys))
        assert (answer["readings"][0]["saved"], answer["waited"]) == (False, [])
        assert Path(answer["readings"][0]["kept"]).is_file()
    assert cli.main(["read", "tour", "clamp-r", "height", "810"]) == 0
    words = said(capsys)
    assert words.count("had not reached the book, saved now: clamp-l.height, of ") == 2
    assert on_disk(open_page(book / f"{SECOND}.toml"), KEY).value == 801.0


@pytest.mark.parametrize("command", ["compare", "positions", "putback", "draw"])
def test_what_a_page_lacks_of_the_journal_is_said_beside_the_answer(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    with monkeypatch.context() as disk:
        full(disk)
        cli.main(["read", "tour", "clamp-l", "height", "800"])
    capsys.readouterr()
    pages = {"compare": ["tour/main", "tour"], "draw": ["tour", "--out", str(book / "a.svg")]}
    cli.main([command, *pages.get(command, ["tour"])])
    told = capsys.readouterr().err
    assert f"without 1 change of {SECOND} that the book has not taken yet" in told


def apart(book: Path) -> None:
    """Put a second version beside the page: one setting read there alone, one on both."""
    path = book / f"{SECOND}.toml"
    shutil.copy(path, book / f"{COPY}.toml")
    read(read(open_page(book / f"{COPY}.toml"), None, KEY, 800.0), None, "bar.bow", 1.0)
    read(open_page(path), None, "bar.bow", 2.0)


def test_recover_lists_takes_and_settles(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["recover", "tour"]) == 0
    assert said(capsys) == "Two posts: nothing lies beside the pages\n"
    apart(book)
    assert cli.main(["recover", "tour", "--unit", "mm"]) == 1
    assert said(capsys).split("\n")[1:9] == [
        f"1  {SECOND}: a second version",
        f"   {book / COPY}.toml",
        f"   both were begun from {FIRST}",
        "   only there:",
        "     clamp-l.height  there read 800 mm (AK); here carried 812.8 mm (AK)",
        "   on both, and different:",
        "     bar.bow  there read 1° (AK); here read 2° (AK)",
        "",
    ]
    assert cli.main(["recover", "tour", "--take", "1"]) == 1
    words = said(capsys)
    assert "recorded: Left bar clamp, height: read 800 mm (AK) (was carried 812.8 mm (AK))" in words
    assert "left as it is: Curved bar, bow: here read 2° (AK), there read 1° (AK)" in words
    assert "the version stays" in words
    assert cli.main(["recover", "tour", "--take", "1", "--also", "bar.bow", "--json"]) == 0
    answer = json.loads(said(capsys))
    assert answer["took"]["settled"]
    assert answer["versions"] == []
    page = open_page(book / f"{SECOND}.toml").page
    assert (page.setting(KEY).value, page.setting("bar.bow").value) == (800.0, 1.0)


def test_recover_puts_aside_and_gives_a_page_back(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    apart(book)
    assert cli.main(["recover", "tour", "--settle", "1"]) == 0
    assert said(capsys).startswith(f"put aside: {COPY}.toml; it is kept\n")
    (kept,) = (book / ".recovered" / "settled").iterdir()
    path = book / f"{SECOND}.toml"
    path.rename(book / f".{SECOND}.toml.{'0' * 8}-{'0' * 8}-{'a' * 8}.unfinished")
    assert cli.main(["recover", "tour", "--take", "1"]) == 0
    assert said(capsys).startswith(f"put back: {path}\n")
    assert path.is_file()
    assert kept.is_file()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--take", "3"], "there is no version 3"),
        (["--settle", "0"], "there is no version 0"),
        (["--also", "bar.bow"], "--also goes with --take"),
        (["--take", "1", "--also", "bar.spin"], "not among what both say differently"),
    ],
)
def test_recover_refuses_with_what_would_be_right(
    book: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    apart(book)
    before = {path: path.read_bytes() for path in book.iterdir() if path.is_file()}
    assert cli.main(["recover", "tour", *arguments]) == 2
    told = capsys.readouterr().err
    assert words in told
    assert "right: " in told
    assert {path: path.read_bytes() for path in before} == before


def test_a_merges_marks_are_told_once_and_parted(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = book / f"{SECOND}.toml"
    text = path.read_text()
    line = next(line for line in text.split("\n") if line.startswith("clamp-l.height"))
    both = f"<<<<<<< ours\n{line}\n=======\n{line.replace('812.8', '813.0')}\n>>>>>>> of JM"
    path.write_text(text.replace(line, both))
    assert cli.main(["compare", "tour/main", f"tour/{SECOND}"]) == 2
    told = capsys.readouterr().err
    assert told.count("refused") == 1
    assert "two versions of a line stand in it, between marks that a merge left" in told
    assert cli.main(["recover", "tour", "--settle", "1"]) == 2
    assert cli.main(["recover", "tour", "--take", "1"]) == 1
    assert "made two of" in said(capsys)
    assert on_disk(open_page(path), KEY).value == 812.8
    assert cli.main(["recover", "tour", "--take", "1"]) == 0
    assert on_disk(open_page(path), KEY).value == 813.0


def book_app(book: Path) -> ClampbookApp:
    def first() -> BookScreen:
        clock = lambda: datetime(2025, 3, 16, tzinfo=UTC)  # noqa: E731
        config = Config(unit="mm", by="AK")
        return BookScreen(LOOKS["plain"], Keys(), list_book(book), config, clock)

    return ClampbookApp(first, LOOKS["plain"], {})


def test_the_book_says_what_lies_beside_and_takes_from_it(book: Path) -> None:
    apart(book)

    async def scene() -> None:
        app = book_app(book)
        async with app.run_test(size=(100, 24)) as pilot:
            await app.workers.wait_for_complete()
            await pilot.pause()
            screen = app.screen
            assert isinstance(screen, BookScreen)
            assert screen.state.beside == 1
            await pilot.press("v")
            assert isinstance(app.screen, PickScreen)
            (choice,) = app.screen.choices
            assert choice.words == f"{SECOND}: a second version: 1 only there; 1 different"
            await pilot.press("enter")
            assert isinstance(app.screen, PickScreen)
            assert [choice.words for choice in app.screen.choices] == [
                "take the 1 that only it has",
                "take Curved bar, bow: there read 1° (AK); here read 2° (AK)",
                "look at all of it",
                "put it aside, as it is: it is kept",
            ]
            await pilot.press("down", "down", "enter")
            assert isinstance(app.screen, TextScreen)
            await pilot.press("q", "v", "enter", "enter")
            assert screen.state.message == f"1 thing recorded on {SECOND}; 1 left to look at: v"
            await pilot.press("v", "enter", "enter")
            assert screen.state.message == f"1 thing recorded on {SECOND}"
            await app.workers.wait_for_complete()
            await pilot.pause()
            assert screen.state.beside == 0
            await pilot.press("v")
            assert screen.state.message == "nothing lies beside the pages"

    asyncio.run(scene())
    page = open_page(book / f"{SECOND}.toml").page
    assert (page.setting(KEY).value, page.setting("bar.bow").value) == (800.0, 1.0)
