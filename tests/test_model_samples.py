"""The sample books: made the same each time, read without problems, and as rich as they promise."""

from __future__ import annotations

import unicodedata
from functools import cache
from pathlib import Path

import pytest

from model.book.book import BookRead, read_book
from model.book.heads import Listing, list_book
from model.book.page_file import PageFile, open_page
from model.rig.counting import count_settings
from model.rig.part import Piece
from model.rig.setting import STATES
from model.rig.tree import rig_tree
from tests.samples.books import sample_files

ROOT = Path(__file__).parents[1] / "sample_rigs"
BOOKS = ("harbour-dance", "pit-percussion", "fly-rack")
HARBOUR = "harbour-dance"
DELIBERATE = {
    # The fill-in's stand is lower than the generic kind's limit, which is a guess.
    ("harbour-dance/2026-03-21-after-fill-in", "outside-limit", "record.snare-stand.height"),
}


@cache
def _book(name: str) -> BookRead:
    return read_book(ROOT / name)


@cache
def _listing(name: str) -> Listing:
    return list_book(ROOT / name)


@cache
def _pages(name: str) -> tuple[PageFile, ...]:
    return tuple(open_page(head.path) for head in _listing(name).pages)


def _named(name: str, page: str) -> PageFile:
    return next(file for file in _pages(name) if file.name == page)


def _pieces(file: PageFile) -> list[Piece]:
    return [part for part in file.page.parts if isinstance(part, Piece)]


def test_the_committed_files_are_what_the_generator_makes() -> None:
    files = sample_files()
    on_disk = {
        path.relative_to(ROOT).as_posix(): path.read_bytes() for path in ROOT.glob("*/*.toml")
    }
    assert sorted(files) == sorted(on_disk)
    for name, text in files.items():
        assert on_disk[name] == text.encode("utf-8"), f"{name}: run python -m tests.samples"


@pytest.mark.parametrize("name", BOOKS)
def test_every_page_reads_with_no_problem_but_the_deliberate_one(name: str) -> None:
    found = {
        (f"{name}/{file.name}", problem.code, problem.key or "")
        for file in _pages(name)
        for problem in file.problems
    }
    assert found == {flag for flag in DELIBERATE if flag[0].startswith(f"{name}/")}
    assert not _listing(name).unreadable
    assert not _book(name).problems


@pytest.mark.parametrize("name", BOOKS)
def test_homes_walks_and_states(name: str) -> None:
    book, files = _book(name).book, _pages(name)
    pages = {file.name: file.page for file in files}
    assert book.home("main") in pages
    assert all(page in pages for _, page in book.homes)
    home = pages[book.home("main") or ""]
    assert book.short_walk
    assert set(book.short_walk) <= set(home.declared)
    roots = {branch.part.id for branch in rig_tree(home, book.walk).roots}
    assert set(book.walk) == roots
    counts = [count_settings(file.page) for file in files]
    assert all(any(count[state] for count in counts) for state in STATES)
    assert [file.page.head.closed for file in files] == [True] * (len(files) - 1) + [False]
    for file in files:
        assert not rig_tree(file.page).not_hung
        assert set(file.page.settings) == set(file.page.declared)


@pytest.mark.parametrize("name", BOOKS)
def test_a_carried_or_seen_value_is_the_one_read_on_the_page_it_names(name: str) -> None:
    pages = {file.name: file.page for file in _pages(name)}
    for file in _pages(name):
        for key, setting in file.page.record:
            if setting.state in ("carried", "seen"):
                assert setting.page is not None
                source = pages[setting.page].setting(key)
                assert (source.state, source.value) == ("read", setting.value)


def test_the_harbour_book_is_as_rich_as_it_promises() -> None:
    files = _pages(HARBOUR)
    for file in files:
        assert len(_pieces(file)) >= 18
        assert 150 <= len(file.page.declared) <= 200
    nights = _listing(HARBOUR).nights()
    moments = [{page.moment for page in pages} for pages in nights.values()]
    assert len(nights) == 16
    assert sum({"soundcheck", "after show"} <= held for held in moments) == 13
    kinds = {part.kind for file in files for part in file.page.parts}
    assert {
        "curved-bar-in-two-clamps",
        "bar-in-two-clamps",
        "double-post-beside-post",
        "extension-shaft",
        "clamped-hat-stand",
        "floor-brace",
        "boom-on-clamp",
        "rod-clamp",
        "boom-arm",
        "floor-legs",
        "basket-arm",
    } <= kinds
    first = files[0].page
    assert any(p.on == ("double",) and p.at == "rear" for p in first.parts)
    assert any(file.page.setting("floor-tom.from_1").state == "read" for file in files)
    assert any(remarks.photos for file in files for _, remarks in file.page.remarks)
    assert any(note for file in files for _, note in file.page.crew)


def test_the_harbour_bands_readings_are_whole_sixteenths() -> None:
    for file in _pages(HARBOUR):
        for key, setting in file.page.record:
            if file.page.declared[key].quantity == "length" and isinstance(setting.value, float):
                sixteenths = setting.value / 25.4 * 16.0
                assert abs(sixteenths - round(sixteenths)) < 1e-5, key


def test_the_other_books_are_read_in_millimetres() -> None:
    for name in ("pit-percussion", "fly-rack"):
        for file in _pages(name):
            for key, setting in file.page.record:
                if file.page.declared[key].quantity == "length" and setting.value is not None:
                    assert float(setting.value).is_integer(), key


def test_on_one_night_the_rig_itself_changed() -> None:
    changed = []
    for before, after in zip(_pages(HARBOUR), _pages(HARBOUR)[1:], strict=False):
        if before.page.parts != after.page.parts:
            changed.append(after)
            old, new = before.page.by_id, after.page.by_id
            assert set(old) - set(new) == {"pad", "pad-boom"}
            assert set(new) - set(old) == {"bell", "bell-boom"}
            assert [i for i in old if i in new and old[i].on != new[i].on] == ["tamb-clamp"]
            swapped = [i for i in old if i in new and old[i].serial != new[i].serial]
            assert sorted(swapped) == ["clamp-wl-wing", "clamp-wr-wing"]
    assert [file.name for file in changed] == ["2026-03-26-soundcheck"]


def test_what_someone_wrote_by_hand_travels_to_the_last_page() -> None:
    last = _pages(HARBOUR)[-1].text
    assert "tube = 36.9  # measured: the old tube, from another rack" in last
    assert 'felt_colour = "red"' in last


def test_the_pit_book_has_six_nights_and_its_hardware() -> None:
    assert len(_listing("pit-percussion").nights()) == 6
    page = _pages("pit-percussion")[0].page
    assert any(part.rail == "inner" for part in page.parts)
    assert any(isinstance(part, Piece) and part.slab is not None for part in page.parts)
    kinds = {part.kind for part in page.parts}
    assert {"telescoping-post", "t-clamp", "bar-by-its-end", "cross-clamp"} <= kinds


def test_the_hired_rack_has_no_pieces_and_begins_open() -> None:
    files = _pages("fly-rack")
    opened = [count_settings(file.page)["open"] for file in files]
    assert not any(_pieces(file) for file in files)
    assert opened == sorted(opened, reverse=True)
    assert opened[0] > len(files[0].page.declared) / 2


def test_no_text_in_the_samples_is_unprintable() -> None:
    for path in ROOT.glob("*/*.toml"):
        text = path.read_text("utf-8")
        odd = {c for c in text if c != "\n" and unicodedata.category(c)[0] in "CZ" and c != " "}
        assert not odd, path.name
        assert all(line == line.rstrip() for line in text.split("\n"))
