"""The product's comparison held against one that is made from the TOML alone (plain_compare)."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest

from model.book.heads import list_book
from tests.plain_compare import moved_settings
from tui import cli

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
BOOKS = sorted(path.parent.name for path in SAMPLES.glob("*/book.toml"))


def pages(book: str) -> list[Path]:
    return [page.path for page in list_book(SAMPLES / book).pages]


def moved(before: Path, after: Path, capsys: pytest.CaptureFixture[str]) -> tuple[set[str], int]:
    status = cli.main(["compare", str(before), str(after), "--json"])
    answer = json.loads(capsys.readouterr().out)
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
        assert moved(before, after, capsys)[0] == moved_settings(before, after), after.name


@pytest.mark.parametrize("book", BOOKS)
def test_a_page_with_itself_is_nothing(book: str, capsys: pytest.CaptureFixture[str]) -> None:
    for page in pages(book):
        assert moved(page, page, capsys) == (set(), 0)
