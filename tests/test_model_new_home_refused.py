"""New homes that cannot be, and disks that do not take them: told whole, with what is on disk."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from model.book.book import read_book
from model.book.heads import BOOK_FILE
from model.book.homes import name_home
from model.book.new_home import Wish, adopt_pieces
from model.disk.save import save
from model.errors import CannotDo, NotConfirmed, NotSaved, UnreadableFile
from tests.new_homes import BACK, BEGAN, FILL_IN, HOME, adopt, book_of, contents


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return book_of(tmp_path / "tour", HOME, FILL_IN, BACK)


ON_POST = 'kind = "boom-on-clamp"\non = "post-fr"'
HARDWARE: dict[str, tuple[dict[str, str], str, str]] = {
    "hung elsewhere": (
        {ON_POST: ON_POST.replace("post-fr", "post-wr")},
        "ride",
        'Ride boom: on is ["post-wr"] there and ["post-fr"] at home',
    ),
    "another arm": (
        {ON_POST: ON_POST.replace("boom-on-clamp", "rod-clamp")},
        "ride",
        'Ride boom: kind is "rod-clamp" there and "boom-on-clamp" at home',
    ),
    "its kind is another": (
        {"[kind.floor-seat]\n": "[kind.floor-seat]\nbody = 3.0\n"},
        "throne",
        "Throne: kind is",
    ),
    "another shell": (
        {"{ diameter = 355.6, depth = 139.7 }": "{ diameter = 330.2 }"},
        "snare",
        "Snare: shell is { diameter = 330.2 } there",
    ),
    "another dial": (
        {'spring_tension = "turns"': 'spring_tension = "N"'},
        "kick-pedal",
        "Kick pedal: dials is",
    ),
    "another mark": (
        {"y = 1524.0": "y = 1520.0"},
        "floor-tom",
        "Floor tom: mark ahead is [0.0, 1520.0] there and [0.0, 1524.0] at home",
    ),
    "the arm is gone": (
        {"[part.ride-boom]": "[part.ride-arm]", 'on = "ride-boom"': 'on = "ride-arm"'},
        "ride",
        f"Ride boom is not on {BACK}",
    ),
    "a piece that home lacks": (
        {"[part.splash]": "[part.bell]"},
        "bell",
        f"Splash is not on the home {HOME}",
    ),
}


@pytest.mark.parametrize("case", HARDWARE)
def test_other_hardware_is_refused_and_nothing_is_written(book: Path, case: str) -> None:
    changes, piece, what = HARDWARE[case]
    path = book / f"{BACK}.toml"
    text = path.read_text()
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    path.write_text(text)
    before = contents(book)
    with pytest.raises(CannotDo) as refused:
        adopt(book, BACK, piece)
    assert what in refused.value.text()
    assert "the same hardware on both; or clampbook adopt" in refused.value.text()
    assert contents(book) == before


def test_other_hardware_that_holds_nothing_chosen_stands_in_no_ones_way(book: Path) -> None:
    path = book / f"{BACK}.toml"
    text = path.read_text()
    path.write_text(text.replace(ON_POST, 'on = "floor"'))
    assert path.read_text() != text
    assert adopt(book, BACK, "snare").adopted


WRONG: dict[str, tuple[dict[str, Any], str]] = {
    "taken": ({"name": "fill-in"}, "has a home fill-in already"),
    "a page's": ({"name": HOME}, "a page is called so"),
    "a file's": ({"name": f"{HOME}.toml"}, "a page is called so"),
    "a night's": ({"name": "2026-03-22"}, "a date alone means a night"),
    "with a stroke": ({"name": "a/b"}, "a stroke"),
    "blank": ({"name": " "}, "a word or a few"),
    "hostile": ({"name": "\x1b[2J"}, "a word or a few"),
    "of many letters": ({"name": "x" * 101}, "101 characters"),
    "no such home": ({"from_home": "nobody"}, "no page nobody"),
    "the page itself": ({"from_home": BACK}, "is the home main itself"),
    "no reason": ({"reason": " "}, "has a reason"),
    "a long reason": ({"reason": "x" * 1001}, "1001 characters"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_cannot_be_is_refused_and_nothing_is_written(book: Path, case: str) -> None:
    more, what = WRONG[case]
    before = contents(book)
    with pytest.raises(CannotDo) as refused:
        adopt_pieces(
            book,
            book / f"{BACK}.toml",
            Wish(**{"pieces": ("snare",), "reason": "r", "began": BEGAN, **more}),
        )
    assert what in refused.value.text()
    assert all(problem.right for problem in refused.value.problems)
    assert contents(book) == before


def test_a_book_without_a_home_says_how_to_name_one(book: Path) -> None:
    path = book / BOOK_FILE
    text = path.read_text()
    path.write_text(text.replace(f'main = "{HOME}"', "").replace(f'fill-in = "{FILL_IN}"', ""))
    with pytest.raises(CannotDo, match=r"--all --as main.*--from-home PAGE"):
        adopt(book, BACK, "snare")
    answer = adopt(book, BACK, "snare", from_home=HOME)
    assert (answer.old_home, answer.home) == ("main", "main 2026-03-22")
    path.write_text(text.replace(f'main = "{HOME}"', 'main = "2026-01-01-gone"'))
    with pytest.raises(CannotDo, match="its home main is the page 2026-01-01-gone"):
        adopt(book, BACK, "snare")


def test_where_the_book_is_not_saved_it_is_said_what_is(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = contents(book)

    def refuse(path: Path, text: str, expected: str | None) -> str:
        raise NotSaved("not saved; the old file is whole")

    monkeypatch.setattr("model.book.homes.save", refuse)
    with pytest.raises(NotSaved) as refused:
        adopt(book, BACK, "snare")
    said = refused.value.text()
    page = "2026-03-22-home-snare"
    assert f"{page}.toml is saved; book.toml is as it was" in said
    line = f'"main 2026-03-22" = "{page}"'
    assert f"right: this line first below [homes]: {line}" in said
    after = contents(book)
    assert after.pop(f"{page}.toml")
    assert after == before
    (book / BOOK_FILE).write_text(
        before[BOOK_FILE].decode().replace("[homes]\n", f"[homes]\n{line}\n")
    )
    assert read_book(book).book.home() == page


@pytest.mark.parametrize("which", ["page", "book"])
def test_what_the_disk_does_not_confirm_is_not_called_saved(
    book: Path, monkeypatch: pytest.MonkeyPatch, which: str
) -> None:
    def unsure(path: Path, text: str, expected: str | None) -> str:
        save(path, text, expected)
        raise NotConfirmed("written, but not confirmed")

    module = {"page": "new_home", "book": "homes"}[which]
    monkeypatch.setattr(f"model.book.{module}.save", unsure)
    with pytest.raises(NotConfirmed) as refused:
        adopt(book, BACK, "snare")
    is_named = "main 2026-03-22" in dict(read_book(book).book.homes)
    assert is_named is (which == "book")
    expected = {"page": "does not name it yet", "book": "names it, but that is not confirmed"}
    assert expected[which] in refused.value.text()


def test_a_book_changed_meanwhile_gets_its_home_in_their_text(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = book / BOOK_FILE

    def someone_else(*args: Any) -> str:
        path.write_text(path.read_text().replace("spring run", "summer run"))
        monkeypatch.setattr("model.book.homes.save", save)
        return save(*args)

    monkeypatch.setattr("model.book.homes.save", someone_else)
    name_home(book, "rest", BACK, first=True)
    held = read_book(book).book
    assert held.title == "Harbour dance band, summer run"
    assert held.homes[0] == ("rest", BACK)


def test_a_broken_book_is_told_before_anything_is_written(book: Path) -> None:
    (book / BOOK_FILE).write_text("title = \n")
    before = contents(book)
    with pytest.raises(UnreadableFile):
        adopt(book, BACK, "snare")
    assert contents(book) == before
