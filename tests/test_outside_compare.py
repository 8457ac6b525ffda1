"""The product's comparison held against one that is made from the TOML alone (plain_compare).

``--as-read`` compares what the TOML says, and nothing else. Without it the joints have their own
values; whatever these do not change must be the same as before.
"""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from model.book.heads import list_book
from tests.plain_compare import moved_settings
from tui import cli

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
TOLD = ("setting", "part", "name", "quantity", "before", "after")
JUDGED = ("verdict", "difference", "u")
BOOKS = sorted(path.parent.name for path in SAMPLES.glob("*/book.toml"))


def pages(book: str) -> list[Path]:
    return [page.path for page in list_book(SAMPLES / book).pages]


def compared(
    before: Path, after: Path, capsys: pytest.CaptureFixture[str], *options: str
) -> tuple[dict[str, Any], int]:
    status = cli.main(["compare", str(before), str(after), "--json", *options])
    return json.loads(capsys.readouterr().out), status


def moved(before: Path, after: Path, capsys: pytest.CaptureFixture[str]) -> tuple[set[str], int]:
    answer, status = compared(before, after, capsys, "--as-read")
    return {f["setting"] for f in answer["settings"] if f["verdict"] == "moved"}, status


def test_before_and_after_the_fill_in(capsys: pytest.CaptureFixture[str]) -> None:
    before = SAMPLES / "harbour-dance" / "2026-03-21-soundcheck.toml"
    after = SAMPLES / "harbour-dance" / "2026-03-21-after-fill-in.toml"
    expected = moved_settings(before, after)
    assert len(expected) > 40, "the fill-in player moved much"
    assert moved(before, after, capsys) == (expected, 1)


@pytest.mark.parametrize("book", BOOKS)
def test_every_two_pages_that_follow_each_other(
    book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for before, after in pairwise(pages(book)):
        if not is_home(book, before):
            assert moved(before, after, capsys)[0] == moved_settings(before, after), after.name


@pytest.mark.parametrize("book", BOOKS)
def test_what_the_joints_own_values_do_not_change_is_as_it_was_read(
    book: str, capsys: pytest.CaptureFixture[str]
) -> None:
    converted = 0
    for before, after in pairwise(pages(book)):
        own, read = (compared(before, after, capsys, *o)[0] for o in ((), ("--as-read",)))
        assert own["structure"] == read["structure"]
        for one, other in zip(own["settings"], read["settings"], strict=True):
            assert [one[k] for k in TOLD] == [other[k] for k in TOLD]
            if one["converted"]:
                converted += 1
                assert one["quantity"] in ("angle", "length")
                continue
            assert [one[k] for k in JUDGED] == [other[k] for k in JUDGED], one["setting"]
    assert converted > 10 or book == "fly-rack"


def is_home(book: str, page: Path) -> bool:
    """Tell a home: what it carries is wanted, and is compared all the same."""
    return page.stem in list_book(SAMPLES / book).book.homes.values()


@pytest.mark.parametrize("book", BOOKS)
def test_a_home_only_adds_what_it_carries(book: str, capsys: pytest.CaptureFixture[str]) -> None:
    for home in filter(lambda page: is_home(book, page), pages(book)):
        after = pages(book)[-1]
        found, expected = moved(home, after, capsys)[0], moved_settings(home, after)
        carried = {f["setting"] for f in compared(home, after, capsys, "--as-read")[0]["settings"]
                   if f["before"]["state"] == "carried"}  # fmt: skip
        assert expected <= found
        assert found - expected <= carried


@pytest.mark.parametrize("book", BOOKS)
def test_a_page_with_itself_is_nothing(book: str, capsys: pytest.CaptureFixture[str]) -> None:
    for page in pages(book):
        assert moved(page, page, capsys) == (set(), 0)
