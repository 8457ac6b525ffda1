"""Real keys in a real terminal at 80x24: a page begun, twenty readings, a kill, all still there."""

from __future__ import annotations

import os
import shutil
import signal
from pathlib import Path

import pytest

from model.book.page_file import open_page
from model.rig.page import Page
from tests.goldens import same_as_golden
from tests.tmux import Terminal, clampbook, terminal

SAMPLE = Path(__file__).parent.parent / "sample_rigs" / "harbour-dance"
LAST = "2026-04-04-soundcheck"
NEW = "2026-04-05-soundcheck"

# In the order in which the tree asks for them, as a hand types them: the setting, the keys, and the
# value in millimetres or degrees that must be on the disk. None is stepped over with the down key.
INCHES: list[tuple[str, str, float | None]] = [
    ("floor.rug", "3/8", 9.525),
    ("floor.heading", "2.5", 2.5),
    ("floor.slope_ahead", "-0.5", -0.5),
    ("floor.slope_right", "½°", 0.5),
    ("throne.x", "0", 0.0),
    ("throne.y", "-1/8", -3.175),
    ("throne.height", "1' 8 3/4\"", 527.05),
    ("throne.dial.lock", "", None),
    ("snare-stand.x", "-2 1/8", -53.975),
    ("snare-stand.y", "15.5", 393.7),
    ("snare-stand.turn", "35", 35.0),
]
MILLIMETRES: list[tuple[str, str, float | None]] = [
    ("snare-stand.height", "405", 405.0),
    ("snare-stand.tilt", "-0,5", -0.5),
    ("snare-basket.slide", "8", 8.0),
    ("snare-basket.spin", "-1", -1.0),
    ("snare-basket.tilt", "4.5", 4.5),
    ("snare-basket.grip", "35.2cm", 352.0),
    ("snare.turn", "90", 90.0),
    ("snare.dial.wires", "", None),
    ("snare.dial.strainer", "", None),
    ("snare.dial.lug_1", "316.5", 316.5),
    ("snare.dial.lug_3", "318", 318.0),
    ("snare.dial.lug_6", "315.5", 315.5),
]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    return tmp_path / "tour"


def begin(term: Terminal) -> None:
    """Begin the next night's page from the last one: its date typed over today's."""
    term.type("n")
    term.wait_for("date of the show: ")
    term.type(*["BSpace"] * 10, "2026-04-05", "Enter")
    term.wait_for("moment: soundcheck")
    term.type("Enter")
    term.wait_for("house: ")
    term.type("Ropewalk Rooms", "Enter")
    term.wait_for("2026-04-05 soundcheck, Ropewalk Rooms")


def type_readings(
    term: Terminal, page: Page, readings: list[tuple[str, str, float | None]]
) -> None:
    for key, typed, value in readings:
        if value is None:
            term.type("Tab")
            continue
        term.type(typed, "Enter")
        term.wait_for(f"saved: {page.declared[key].label} read")


def on_disk(book: Path) -> Page:
    return open_page(book / f"{NEW}.toml").page


def test_twenty_readings_by_real_keys_survive_a_kill(tmp_path: Path, book: Path) -> None:
    last = open_page(book / f"{LAST}.toml").page
    with terminal(tmp_path) as term:
        term.start(clampbook("tour", "--unit", "in"), tmp_path)
        term.wait_for("Harbour dance band")
        begin(term)
        assert on_disk(book).head.begun_from == LAST
        type_readings(term, last, INCHES)
        # The unit goes on from fractions to decimals to millimetres.
        term.type("m", "m")
        term.wait_for("lengths in mm")
        type_readings(term, last, MILLIMETRES)
        # One is refused, stays visible with its reason, and reaches no file.
        before = (book / f"{NEW}.toml").read_bytes()
        term.type("1,016", "Enter")
        refused = term.wait_for("refused: 1,016 could be 1016 or 1.016; right: 1016 or 1.016")
        assert "lug 8: 1,016" in refused
        assert "not saved" not in refused
        assert (book / f"{NEW}.toml").read_bytes() == before
        term.type("Escape")
        term.wait_for("left as it was")
        # One is undone: the last, which is carried again.
        term.type("u")
        term.wait_for("undone: lug 6")
        term.type("r")
        term.wait_for("done again: lug 6")
        term.type("u")
        term.wait_for("undone: lug 6")
        os.kill(term.process(), signal.SIGKILL)

    expected = [(k, v) for k, _, v in INCHES + MILLIMETRES if v is not None]
    assert len(expected) == 20
    undone = expected.pop()
    page = on_disk(book)
    for key, value in expected:
        assert page.setting(key).state == "read", key
        assert page.setting(key).value == pytest.approx(value, abs=1e-6), key
    assert page.setting(undone[0]).state == "carried"
    assert page.setting(undone[0]).value == last.setting(undone[0]).value
    read = {key for key, setting in page.record if setting.state == "read"}
    assert read == {key for key, _ in expected}

    with terminal(tmp_path / "tour") as term:
        term.start(clampbook(".", "--unit", "mm"), book)
        term.wait_for("2026-04-05")
        term.type("Enter")
        screen = term.wait_until(
            lambda s: "2026-04-05 soundcheck, Ropewalk Rooms" in s and "w walk" in s, "the rack"
        )
        assert "read      9.5 mm" in screen
        same_as_golden("screens/reopened_80x24.txt", screen)


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40)])
@pytest.mark.parametrize("no_color", ["", "1"])
def test_the_five_states_are_told_apart_by_their_words(
    tmp_path: Path, book: Path, width: int, height: int, no_color: str
) -> None:
    with terminal(tmp_path, NO_COLOR=no_color) as term:
        term.start(clampbook("tour", "--unit", "in"), tmp_path, width, height)
        screen = term.wait_until(
            lambda s: "Lighthouse" in s and "    · " not in s, "the counts of all the pages"
        )
        same_as_golden(f"screens/book_{width}x{height}.txt", screen)
        term.type("Enter")
        term.wait_for("part and setting")
        term.type("f", "Brace", "Enter")
        screen = term.wait_for("height: rug to the")
        shown = {line[-60:].split()[0] for line in screen.splitlines() if line.strip()}
        assert "follows" in screen
        for word in ("read", "seen", "carried"):
            assert f"{word} " in screen, shown
        term.type("Home")
        assert "open" in term.wait_for("kit's heading")
        whole = term.wait_until(lambda s: "▾ Floor" in s and "w walk" in s, "the rack's top")
        same_as_golden(f"screens/rack_{width}x{height}.txt", whole)
