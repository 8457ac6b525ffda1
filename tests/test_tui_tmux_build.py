"""By real keys from an empty folder: a rig is built, recorded in one walk, and reopened equal."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import pytest

from model.book.page_file import open_page
from model.rig.page import Page
from model.rig.part import Bar, Mount, Piece, Post
from model.rig.tree import rig_tree
from tests.goldens import same_as_golden
from tests.tmux import Terminal, clampbook, terminal

LOOSE = {"open", "follows"}


@dataclass
class Hand:
    """Types on a terminal and counts: the keys, and apart from them the letters of names."""

    term: Terminal
    keys: int = 0
    letters: int = 0
    readings: list[str] = field(default_factory=list)

    def press(self, *keys: str) -> None:
        """Press keys; a word is pressed letter by letter."""
        self.term.type(*keys)
        self.keys += sum(1 if len(key) > 1 and key[0].isupper() else len(key) for key in keys)

    def name(self, text: str) -> None:
        """Type a name over what is offered, and take it."""
        self.term.type(text)
        self.letters += len(text)
        self.press("Enter")

    def add(self, sought: str, name: str, *, size: str | None = None, down: int = 0) -> None:
        """Add a part on the row's: what it is, its name, a piece's size."""
        self.press("a")
        self.term.wait_for("what to add on")
        self.press(sought, *["Down"] * down, "Enter")
        self.term.wait_for("what is it called")
        self.name(name)
        if size is not None:
            self.term.wait_for("how large")
            self.press(size, "Enter")
        self.term.wait_for(f"added {name} on")

    def bar(self, way: str, name: str) -> None:
        """Add a bar on the marked tube and the row's."""
        self.press("b")
        self.term.wait_for("how the bar is held")
        self.press(way, "Enter")
        self.term.wait_for("what is the bar called")
        self.name(name)
        self.term.wait_for(f"added {name} on")

    def up(self, times: int = 1) -> None:
        """Go some rows up."""
        for _ in range(times):
            self.press("Up")

    def down(self, times: int = 1) -> None:
        """Go some rows down."""
        for _ in range(times):
            self.press("Down")


def page_in(folder: Path) -> Page:
    return open_page(next((folder / "rack").glob("2*.toml"))).page


def build(hand: Hand, term: Terminal) -> None:
    """Build the rig: posts, bars, a double post with three things on it, stands, pieces."""
    hand.press("n")
    term.wait_for("what is the rig called")
    hand.name("Side rack")
    term.wait_for("building: Side rack")
    hand.add("t", "Throne", size="")
    hand.press("Home")
    hand.add("k", "Kick", size="")
    hand.press("Home")
    hand.add("fo", "Post left")
    hand.press("Home")
    hand.add("fo", "Post right")
    # Post left is above it: mark that, and the bar is held on both.
    hand.up()
    hand.press("Space")
    hand.bar("c", "Curved bar")
    term.wait_for("a add")
    same_as_golden("screens/build_bar_80x24.txt", without_date(term.screen()))
    hand.add("le", "Stand 1", down=1)
    hand.add("c", "Ride", size="50")
    hand.up(2)
    hand.add("d", "Double post")
    held = (("left", "Bell", "15"), ("right", "Splash", "20"), ("rear", "China", "45"))
    for number, (side, piece, size) in enumerate(held):
        hand.up(2 * number)
        hand.add("e", f"Shaft {side}")
        hand.add("c", piece, size=size)
    hand.press("Home")
    hand.down(3)
    hand.bar("", "Side bar")
    for name, piece, size in (("Stand 2", "Crash", "40"), ("Stand 3", "Tom", "25")):
        hand.add("le", name, down=1)
        hand.add("d" if piece == "Tom" else "c", piece, size=size)
        if piece != "Tom":
            hand.up(2)


def without_date(screen: str) -> str:
    """Return a screen without the day on which it was made."""
    import re

    return re.sub(r"\d{4}-\d\d-\d\d", "2026-01-05", screen)


def walk(hand: Hand, term: Terminal) -> None:
    """Record every setting, in the order in which they are asked for."""
    hand.press("q", "w")
    screen = term.wait_for("walk, 1 of")
    total = int(screen.split("walk, 1 of ")[1].split(",")[0])
    for number in range(1, total + 1):
        screen = term.wait_for(f"walk, {number} of {total}")
        typed = value_for(screen)
        hand.readings.append(typed)
        hand.press(typed, "Enter")
    term.wait_for("the walk is done")


def value_for(screen: str) -> str:
    """Return a plausible reading for what is asked: a length in cm, an angle, teeth."""
    asked = " ".join(screen.split("\n")[2:6])
    if "teeth" in asked:
        return "3"
    if any(word in asked for word in ("level", "seen from", "clockwise", "straight")):
        return "5"
    if "height" in asked or "rug to" in asked:
        return "80"
    return "9" if any(word in asked for word in ("collar", "jaw", "shaft", "out")) else "12"


def test_a_rig_from_an_empty_folder_by_real_keys(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "rack").mkdir()
    with terminal(tmp_path, NO_COLOR="1") as term:
        term.start(clampbook("rack", "--unit", "cm"), tmp_path)
        term.wait_for("there is no book in this folder yet")
        hand = Hand(term)
        build(hand, term)
        term.wait_until(lambda screen: "22 parts" in screen and "a add" in screen, "the last part")
        same_as_golden("screens/build_done_80x24.txt", without_date(term.screen()))
        built_with = hand.keys
        page = page_in(tmp_path)
        tree = rig_tree(page)
        assert tree.not_hung == ()
        assert {setting.state for _, setting in page.record} == LOOSE
        sorts = [type(part) for part in page.parts]
        assert (sorts.count(Post), sorts.count(Bar)) == (2, 2)
        bars = {part.name: part for part in page.parts if isinstance(part, Bar)}
        assert (len(bars["Curved bar"].on), len(bars["Side bar"].on)) == (2, 1)
        double = next(part for part in page.parts if part.name == "Double post")
        assert [part.at for part in page.parts if part.on == (double.id,)] == [
            "left", "right", "rear",
        ]  # fmt: skip
        mounts = [p for p in page.parts if isinstance(p, Mount) and "clamp" not in p.name]
        assert len(mounts) == 1 + 3 + 3
        pieces = {part.name for part in page.parts if isinstance(part, Piece)}
        assert pieces == {
            "Throne", "Kick", "Tom", "Bell", "Splash", "Crash", "Ride", "China",
        }  # fmt: skip
        walk(hand, term)
        states = {setting.state for _, setting in page_in(tmp_path).record}
        assert states == {"read", "follows"}
        recorded = page_in(tmp_path)
        hand.press("q")
        term.wait_for("w walk")
        hand.press("q")
        term.wait_for("Enter open")
        hand.press("q")
    with terminal(tmp_path, NO_COLOR="1") as term:
        term.start(clampbook("rack", "--unit", "cm"), tmp_path)
        term.wait_for("Enter open")
        term.type("Enter")
        term.wait_for("w walk")
    assert page_in(tmp_path) == recorded
    with capsys.disabled():
        words = f"{built_with} to build {len(recorded.parts)} parts"
        words += f", {hand.keys - built_with} to record {len(hand.readings)} settings"
        print(f"\n  {hand.keys} keys: {words}; {hand.letters} letters of names", end="")
    assert hand.keys < 250
