"""A process that is killed while it saves: no torn file, and nothing lost that it had told."""

from __future__ import annotations

import os
from collections import Counter
from pathlib import Path
from random import Random

import pytest

from model.book.heads import list_book
from model.book.page_file import open_page
from model.disk.leftovers import leftovers
from tests.killing import files, kill_a_writer, tidy_up
from tests.saving import KEY, Writer, version, write_readings, write_versions
from tests.shapes import PAGE
from tests.sizes import examples

GOLDEN = (Path(__file__).parent / "data" / "page_two_post.toml").read_text("utf-8")


def number_of_version(text: str) -> int | None:
    """Return which version a text is, to the last character; None where it is torn."""
    number = text.split("\n", 1)[0].removeprefix("version = ")
    return int(number) if number.isdigit() and text == version(int(number)) else None


def number_of_reading(text: str) -> int | None:
    """Return which reading a page has; None where anything else differs from the golden page."""
    changed = [
        line
        for line, before in zip(text.split("\n"), GOLDEN.split("\n"), strict=False)
        if line != before
    ]
    start, end = f"{KEY} = {{ read = ", '.0, using = "tape", by = "AK" }'
    if text.count("\n") != GOLDEN.count("\n") or len(changed) != 1:
        return 0 if text == GOLDEN else None
    number = changed[0].removeprefix(start).removesuffix(end)
    return int(number) if changed[0] == f"{start}{number}{end}" else None


CASES = {
    "versions": (write_versions, version(0), number_of_version),
    "readings": (write_readings, GOLDEN, number_of_reading),
}


@pytest.mark.parametrize("case", CASES)
def test_a_writer_killed_at_any_moment_tears_nothing_and_loses_nothing_it_told(
    tmp_path: Path, case: str, capsys: pytest.CaptureFixture[str]
) -> None:
    if not hasattr(os, "fork"):
        pytest.skip("this system has no fork to kill")
    writer: Writer
    writer, text, number_of = CASES[case]
    path, rng, became = tmp_path / "page.toml", Random(814), Counter[str]()
    path.write_text(text, "utf-8")
    kills, number, told_in_all = examples(short=100, long=5_000), 0, 0
    torn = lost = 0
    for _ in range(kills):
        told = kill_a_writer(path, writer, number + 1, rng)
        found = number_of(path.read_text("utf-8"))
        torn += found is None
        assert found is not None, "the page is torn"
        lost += found < told
        assert told <= found <= told + 1, "what was told is not what is there"
        told_in_all += told - number
        number = found
        became += tidy_up(path, number_of)
    with capsys.disabled():
        left = ", ".join(f"{n} {what}" for what, n in sorted(became.items())) or "none"
        print(f"\n  {kills} kills, {case}: {told_in_all} saves told, {torn} torn, {lost} lost; ")
        print(f"  unfinished files: {left}", end="")
    assert told_in_all > kills / 5, "the writers were killed before they wrote"
    kept = leftovers(tmp_path)
    assert len(kept) == became["torn, kept"] + became["whole, kept"]
    assert sum(found.finished for found in kept) == became["whole, kept"]
    assert files(tmp_path) <= {"page.toml", ".recovered"}


def test_what_was_left_does_not_stand_among_the_pages(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    path.write_text(PAGE, "utf-8")
    (tmp_path / "book.toml").write_text('title = "Tour"\n', "utf-8")
    (tmp_path / f".page.toml.{'a' * 8}-{'b' * 8}-{'c' * 8}.unfinished").write_text("x", "utf-8")
    for _ in range(2):
        assert [found.name for found in list_book(tmp_path).pages] == ["page"]
        assert list_book(tmp_path).unreadable == ()
        tidy_up(path, lambda _: None)
    assert open_page(path).text == PAGE
    assert len(leftovers(tmp_path)) == 1
