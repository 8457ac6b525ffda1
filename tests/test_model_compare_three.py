"""Home, the last page and this one: which they are, and that one table says what three would."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from model.book.book import Book, read_book
from model.book.heads import list_book
from model.book.page_file import open_page
from model.compare.three import compare_three
from model.compare.three_answer import ThreeCompared
from model.compare.which_three import Three, three_pages
from model.compare.whole import whole_comparison
from model.errors import CannotDo

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
THIS = "2026-03-21-soundcheck"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    shutil.copytree(SAMPLES / "harbour-dance", tmp_path / "tour")
    return tmp_path / "tour"


def three(book: Path, this: str, home: str = "") -> Three:
    return three_pages(list_book(book), this, home)


def homes(book: Path, *lines: str) -> None:
    """Write the book's homes anew."""
    text = (book / "book.toml").read_text("utf-8")
    before, rest = text.split("[homes]")
    after = rest[rest.index("[instrument]") :]
    table = "".join(f"{line}\n\n" for line in ("[homes]", *lines)) if lines else ""
    (book / "book.toml").write_text(f"{before}{table}{after}")


def answer(book: Path, found: Three) -> ThreeCompared:
    last = open_page(found.last.path).page if found.last else None
    home, this = (open_page(head.path).page for head in (found.home, found.this))
    return compare_three(found, home, last, this, read_book(book).book)


def test_the_last_page_is_the_one_it_was_begun_from(book: Path) -> None:
    found = three(book, THIS)
    assert (found.home_name, found.home.name) == ("main", "2026-03-08-soundcheck")
    assert found.last is not None
    assert (found.last.name, found.last_is) == ("2026-03-20-after-show", "begun from")
    assert any("fill-in" in note for note in found.notes)
    assert three(book, THIS, "fill-in").home.name == "2026-03-21-after-fill-in"


def test_else_the_one_before_it_and_that_is_said(book: Path) -> None:
    (book / "2026-03-20-after-show.toml").unlink()
    found = three(book, THIS, "main")
    assert found.last is not None
    assert (found.last.name, found.last_is) == ("2026-03-20-soundcheck", "the one before")
    assert found.notes == (
        "it was begun from 2026-03-20-after-show, and the book has no such page",
    )
    first = three(book, "2026-03-06-soundcheck", "main")
    assert (first.last, first.last_is) == (None, "none")
    assert any("no page of the book is before it" in note for note in first.notes)


@pytest.mark.parametrize(
    ("lines", "this", "home", "what", "right"),
    [
        ((), THIS, "", "the book names no home", 'main = "2026-03-06-soundcheck"'),
        (('main = "2026-03-08-soundcheck"',), THIS, "fill", "no home fill", "--home main"),
        (('main = "2025-01-01"',), THIS, "", "the book has no such page", "main = "),
        ((f'main = "{THIS}"',), THIS, "", "is the home main itself", "another page"),
        (
            (f'main = "{THIS}"', 'other = "2026-03-08-soundcheck"'),
            THIS,
            "",
            "is the home main itself",
            "--home other",
        ),
        (('main = "2026-03-08-soundcheck"',), "elsewhere", "", "no page that the book lists", "-"),
    ],
)
def test_what_is_missing_is_refused_with_what_would_be_right(
    book: Path, lines: tuple[str, ...], this: str, home: str, what: str, right: str
) -> None:
    homes(book, *lines)
    with pytest.raises(CannotDo) as refused:
        three(book, this, home)
    assert what in refused.value.text()
    assert right in refused.value.text()


def test_three_say_what_two_and_two_say(book: Path) -> None:
    found = three(book, THIS, "main")
    held = answer(book, found)
    of_book = read_book(book).book
    assert found.last is not None
    names = {"home": found.home, "last": found.last, "this": found.this}
    for field, one, two in (
        ("last_from_home", "home", "last"),
        ("this_from_home", "home", "this"),
        ("this_from_last", "last", "this"),
    ):
        pages = open_page(names[one].path).page, open_page(names[two].path).page
        expected = whole_comparison(
            pages,
            (names[one].name, names[two].name),
            walk=of_book.walk,
            tolerances=of_book.tolerances,
            wanted=one == "home",
        )
        for setting in expected.settings:
            row = next(row for row in held.settings if row.setting == setting.setting)
            against = getattr(row, field)
            assert (against.verdict, against.difference) == (setting.verdict, setting.difference)
            assert getattr(row, one) == setting.before
            assert getattr(row, two) == setting.after
        assert tuple(getattr(row, field) for row in held.pieces) == expected.pieces
    assert held.something
    assert held.last_is == "begun from"


def test_a_last_page_that_is_home_is_told(book: Path) -> None:
    homes(book, 'main = "2026-03-20-after-show"')
    found = three(book, THIS)
    assert found.notes == ("the last page is the home main itself",)
    for row in answer(book, found).settings:
        assert row.this_from_last == row.this_from_home
        assert row.last == row.home


def test_pages_of_other_rigs(book: Path) -> None:
    found = three(book, THIS, "main")
    home, this = (open_page(head.path).page for head in (found.home, found.this))
    pit = open_page(SAMPLES / "pit-percussion" / "2026-04-18-soundcheck.toml").page
    held = compare_three(found, home, pit, this, Book(title="x"))
    assert held.last is None
    assert held.last_is == "none"
    assert any("is left out: the rigs differ in name" in note for note in held.notes)
    assert all(row.last is None for row in held.settings)
    with pytest.raises(CannotDo) as refused:
        compare_three(found, pit, None, this, Book(title="x"))
    assert "of two rigs" in refused.value.text()
    assert "by role" in refused.value.text()
