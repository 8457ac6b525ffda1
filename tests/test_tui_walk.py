"""The walk: keys counted over a whole rack, a key held down, and coming back to the same place."""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from model.book.begin import Begin
from model.book.book import read_book
from model.book.page_file import open_page
from model.book.start import start_page
from model.book.take import Hand
from tests.goldens import same_as_golden
from tests.rack_stage import NAMED
from tui.keys import Keys
from tui.places import remember_place, remembered_place
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import RackState, Save, start
from tui.screens.walk.cells import body_lines, heading_cells, title_cells
from tui.screens.walk.press import press
from tui.screens.walk.state import WalkState, after_save, start_walk
from tui.widgets.line import Cell, line_text

SAMPLE = Path(__file__).parent.parent / "sample_rigs" / "harbour-dance"
KEYS = Keys()


class Hands:
    """Someone who presses keys on a walk, and how many they pressed."""

    def __init__(self, state: WalkState) -> None:
        self.state, self.count, self.seconds = state, 0, 0.0

    def press(self, *keys: str, apart: float = 0.4) -> None:
        for key, char in self._pressed(keys):
            self.seconds += apart
            self.count += 1
            self.state = press(self.state, key, char, KEYS, self.seconds)
            wanted = self.state.rack.wanted
            if isinstance(wanted, Save):
                self.state = after_save(self.state, put_on_disk(self.state.rack, wanted), wanted)

    def _pressed(self, keys: Iterable[str]) -> Iterable[tuple[str, str | None]]:
        for key in keys:
            if key in NAMED:
                yield NAMED[key], None
            elif key in ("up", "down"):
                yield key, None
            else:
                for char in key:
                    yield char, char


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    began = datetime(2026, 4, 5, 17, 30, tzinfo=UTC)
    start_page(
        tmp_path / "tour",
        tmp_path / "tour" / "2026-04-04-soundcheck.toml",
        Begin(date(2026, 4, 5), began, "soundcheck", "Ropewalk Rooms"),
    )
    return tmp_path / "tour"


def rack(folder: Path) -> RackState:
    book = read_book(folder).book
    file = open_page(folder / "2026-04-05-soundcheck.toml")
    return start(file, Hand("in", "KD"), None, book.walk)


def walk(folder: Path, place: str | None = None) -> WalkState:
    book = read_book(folder).book
    return start_walk(rack(folder), book.walk, book.short_walk, place)


def states(folder: Path) -> dict[str, str]:
    page = open_page(folder / "2026-04-05-soundcheck.toml").page
    return {key: setting.state for key, setting in page.record}


def test_nothing_moved_costs_one_key_a_setting(folder: Path) -> None:
    hands = Hands(walk(folder))
    settings = len(hands.state.keys)
    assert settings > 150
    steps = 0
    while not hands.state.rack.message.text.endswith(("the walk is done", "goes to the next")):
        is_open = hands.state.page.setting(hands.state.key).state == "open"
        hands.press("down" if is_open else "Enter")
        steps += 1
        assert steps <= settings
    assert hands.count <= settings
    found = states(folder)
    assert set(found.values()) == {"seen", "open", "follows"}


def test_a_whole_rail_or_piece_at_its_marks_costs_one_key(folder: Path) -> None:
    hands = Hands(walk(folder, "floor.rug"))
    page = hands.state.page
    roots = [part.id for part in page.parts if part.on == ("floor",)]
    spots = len(page.spots)
    # The floor, each root with all that hangs on it, each spot: one key, however much it is. What
    # is open all season is stepped over.
    hands.press("a")
    while hands.state.left() > sum(s.state == "open" for _, s in page.record):
        before = hands.state.key
        is_open = hands.state.page.setting(before).state == "open"
        hands.press("down" if is_open else "a")
        assert hands.state.key != before or hands.state.at == len(hands.state.keys) - 1
    opens = sum(s.state == "open" for _, s in page.record)
    assert hands.count <= 1 + len(roots) + spots + opens
    assert set(states(folder).values()) == {"seen", "open", "follows"}


def test_a_changed_setting_costs_its_digits_and_enter(folder: Path) -> None:
    hands = Hands(walk(folder, "throne.height"))
    hands.press("20.5", "Enter")
    assert hands.count == len("20.5") + 1
    assert states(folder)["throne.height"] == "read"
    assert hands.state.key != "throne.height"


def test_a_key_held_down_marks_no_rig(folder: Path) -> None:
    hands = Hands(walk(folder, "throne.x"))
    hands.press("Enter")
    hands.press(*["Enter"] * 200, apart=0.033)  # what a terminal sends while a key is held
    assert list(states(folder).values()).count("seen") == 1
    hands.press("Enter", apart=0.3)
    assert list(states(folder).values()).count("seen") == 2


def test_a_real_keyboard_waits_before_it_repeats_and_marks_one_all_the_same(folder: Path) -> None:
    hands = Hands(walk(folder, "throne.x"))
    hands.press("Enter")
    hands.press("Enter", apart=0.5)  # the first repetition comes after a while
    hands.press(*["Enter"] * 100, apart=0.033)
    assert list(states(folder).values()).count("seen") == 1
    assert hands.state.key == "throne.y"
    hands.press("Enter", "Enter", apart=0.9)
    assert list(states(folder).values()).count("seen") == 3


def test_a_terminal_of_any_width_draws_the_walk(folder: Path) -> None:
    state = walk(folder, "clamp-fl-wing.height")
    for width in (1, 10, 26, 40, 79, 200):
        assert body_lines(state, width)
        heading_cells(state, width)


def test_progress_is_full_when_nothing_is_left(folder: Path) -> None:
    hands = Hands(walk(folder, "hat-stand.height"))
    hands.press("w")
    while hands.state.left():
        hands.press("g", "Enter")
    assert set(heading_cells(hands.state, 80)[0].text) == {"█", "▲"}


def test_an_open_setting_is_never_marked_by_enter(folder: Path) -> None:
    hands = Hands(walk(folder, "floor.heading"))
    hands.press("Enter")
    assert states(folder)["floor.heading"] == "open"
    assert hands.state.key == "floor.heading"
    assert hands.state.rack.message.sort == "refused"


def test_what_was_read_is_stepped_over_by_enter_and_stays_read(folder: Path) -> None:
    hands = Hands(walk(folder, "throne.x"))
    hands.press("0", "Enter", "up", "Enter")
    assert states(folder)["throne.x"] == "read"
    assert hands.state.key == "throne.y"


def test_what_was_said_of_an_undo_goes_with_the_next_key(folder: Path) -> None:
    hands = Hands(walk(folder, "post-fl.x"))
    hands.press("Enter", "u")
    assert hands.state.rack.message.text.startswith("undone: ")
    key = hands.state.key
    hands.press("g")
    assert hands.state.key != key
    assert hands.state.rack.message.text == ""


def test_one_undo_brings_a_whole_rail_back(folder: Path) -> None:
    before = states(folder)
    hands = Hands(walk(folder, "post-fl.x"))
    hands.press("a")
    assert list(states(folder).values()).count("seen") > 15
    hands.press("u")
    assert states(folder) == before


def test_a_part_alone(folder: Path) -> None:
    hands = Hands(walk(folder, "post-fl.x"))
    hands.press("t")
    seen = {key for key, state in states(folder).items() if state == "seen"}
    assert seen == {"post-fl.x", "post-fl.y", "post-fl.turn"}
    assert hands.state.key.startswith("clamp-fl-wing.")


def test_the_short_walk_and_back(folder: Path) -> None:
    hands = Hands(walk(folder, "hat-stand.height"))
    hands.press("w")
    assert hands.state.is_short
    assert hands.state.keys == read_book(folder).book.short_walk
    assert hands.state.key == "hat-stand.height"
    hands.press("w")
    assert hands.state.key == "hat-stand.height"


def test_what_is_drawn_is_what_is_written_at_the_end_too(folder: Path) -> None:
    hands = Hands(walk(folder, "hat-stand.height"))
    hands.press("w")
    last = hands.state.keys[-1]
    while hands.state.key != last:
        hands.press("down")
    hands.press("5", "Enter")
    assert hands.state.key == last
    before = states(folder)
    hands.press("6", "Enter", "n", "tight", "Enter")
    page = open_page(folder / "2026-04-05-soundcheck.toml").page
    assert page.setting(last).value == pytest.approx(6 * 25.4)
    assert page.notes_on[last.split(".")[0]].note == "tight"
    assert states(folder) == before


def test_every_key_writes_to_the_setting_that_is_drawn(folder: Path) -> None:
    hands = Hands(walk(folder, "throne.x"))
    for keys in (["7", "Enter"], ["down", "down"], ["a"], ["g"], ["u"], ["w"], ["up"], ["w"]):
        hands.press(*keys)
        hands.press("1")
        prompt = hands.state.rack.prompt
        assert prompt is not None
        assert prompt.target == hands.state.key, keys
        hands.press("BSpace", "BSpace")


def test_the_walk_begins_where_something_is_left_or_where_one_was(folder: Path) -> None:
    hands = Hands(walk(folder, "floor.rug"))
    hands.press("Enter")
    assert walk(folder).key == "floor.heading"  # open is left, too
    assert walk(folder, "ride-boom.reach").key == "ride-boom.reach"
    assert walk(folder, "no.such").key == "floor.heading"


def test_the_place_is_remembered_for_each_page(tmp_path: Path) -> None:
    state, page = tmp_path / "state", tmp_path / "a.toml"
    assert remembered_place(page, state) is None
    remember_place(page, "ride-boom.reach", state)
    remember_place(tmp_path / "b.toml", "throne.x", state)
    assert remembered_place(page, state) == "ride-boom.reach"


def test_a_place_that_cannot_be_kept_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("a file is in the way")
    remember_place(tmp_path / "a.toml", "throne.x", tmp_path / "state")
    assert remembered_place(tmp_path / "a.toml", tmp_path / "state") is None


@pytest.mark.parametrize(
    "key",
    [
        "clamp-fl-wing.height",
        "ride-boom.tilt",
        "hats.dial.clutch_gap",
        "floor.heading",
        "floor-tom.from_2",
        "ride-splash.gap",
    ],
)
@pytest.mark.parametrize("width", [80, 120])
def test_how_it_looks(folder: Path, key: str, width: int) -> None:
    state = walk(folder, key)
    lines = [line_text(title_cells(state), width), line_text(heading_cells(state, width), width)]
    lines += [line_text([Cell(*line)], width) for line in body_lines(state, width)]
    assert len(lines) <= 20 if width == 80 else 36
    text = "\n".join(line.rstrip() for line in lines) + "\n"
    same_as_golden(f"screens/walk_{key}_{width}.txt", text)
