"""A process that is killed while it saves: no torn file, and nothing lost that it had told."""

from __future__ import annotations

import os
from pathlib import Path
from random import Random

import pytest

from model.book.heads import list_book
from tests.killing import files, kill_a_writer, number_of, version
from tests.shapes import PAGE
from tests.sizes import examples


def test_a_writer_killed_at_any_moment_tears_nothing_and_loses_nothing_it_told(
    tmp_path: Path,
) -> None:
    if not hasattr(os, "fork"):
        pytest.skip("this system has no fork to kill")
    path, rng = tmp_path / "page.toml", Random(814)
    path.write_text(version(0), "utf-8")
    kills, told_in_all = examples(short=100, long=2_000), 0
    for _ in range(kills):
        first, told = kill_a_writer(path, rng)
        assert told <= number_of(path.read_text("utf-8")) <= told + 1
        told_in_all += told - first + 1
    left = files(tmp_path) - {"page.toml"}
    print(f"{kills} kills, {told_in_all} saves told, {len(left)} unfinished files left, 0 lost")
    assert told_in_all > kills / 5, "the writers were killed before they wrote"
    (tmp_path / "book.toml").write_text('title = "Tour"\n', "utf-8")
    path.write_text(PAGE, "utf-8")
    assert [found.name for found in list_book(tmp_path).pages] == ["page"]
    assert list_book(tmp_path).unreadable == ()
