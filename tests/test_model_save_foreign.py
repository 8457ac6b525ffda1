"""Someone who knows no lock writes the same file: none of their versions is destroyed in silence.

Each one is at the end the file, or lies in the folder of what was kept, or was read before it was
replaced.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from model.disk import busy
from model.disk.guard import hash_of
from model.disk.save import save
from model.errors import NotSaved
from tests import foreign
from tests.disk_trials import is_told_whole
from tests.foreign import Way, write_both
from tests.killing import NEW, OLD, files
from tests.memory import in_memory
from tests.sizes import examples
from tests.test_model_save_steps import needs_exchange


@pytest.fixture(autouse=True)
def _needs_fork() -> None:
    if not hasattr(os, "fork"):
        pytest.skip("this system has no fork for a second writer")


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    with in_memory(tmp_path) as there:
        yield there


@pytest.mark.parametrize(
    "way", [foreign.renamed, foreign.in_place, foreign.in_place_slowly, foreign.in_any_case]
)
def test_no_version_of_someone_else_is_destroyed(
    folder: Path, way: Way, capsys: pytest.CaptureFixture[str]
) -> None:
    needs_exchange(folder)
    if "place" in way.__name__:
        needs_word_of_writers(folder)
    both = write_both(folder / "page.toml", way, examples(3_000, 30_000), seed=1)
    with capsys.disabled():
        print(f"\n  {way.__name__}: {both.told()}", end="")
    assert both.destroyed == set()
    assert both.torn == 0 or "place" in way.__name__
    assert min(both.saved, both.refused) > both.theirs / 100, "the two did not meet"


def needs_word_of_writers(folder: Path) -> None:
    """Skip where the system does not tell that a file is open for writing."""
    path = folder / "open"
    with path.open("wb"):
        tells = busy.is_being_written(path)
    assert not busy.is_being_written(path)
    path.unlink()
    if not tells:
        pytest.skip("this system does not tell that someone has a file open for writing")


def test_a_file_that_someone_has_open_to_write_keeps_its_name(tmp_path: Path) -> None:
    """What they write next would go with the file that is taken away."""
    needs_exchange(tmp_path)
    needs_word_of_writers(tmp_path)
    page = tmp_path / "page.toml"
    page.write_bytes(OLD.encode())
    with page.open("r+b") as theirs:
        with pytest.raises(NotSaved, match="has the file open") as refused:
            save(page, NEW, hash_of(OLD.encode()))
        assert is_told_whole(refused.value, page)
        theirs.write(b"theirs")
    assert page.read_bytes().startswith(b"theirs")
    assert files(tmp_path) == {page.name}
    save(page, NEW, hash_of(page.read_bytes()))
    assert page.read_bytes() == NEW.encode()


def test_without_the_exchange_something_may_be_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A look and then a rename: what comes between the two is lost. It is measured, on a disk."""
    monkeypatch.setattr("model.disk.save.exchange", lambda *_: False)
    both = write_both(tmp_path / "page.toml", foreign.renamed, examples(1_000, 10_000), seed=2)
    with capsys.disabled():
        print(f"\n  without the exchange: {both.told()}", end="")
    assert len(both.destroyed) < both.theirs / 2
