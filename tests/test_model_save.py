"""The one save: on the disk and whole before it counts, or not done and said so."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

import pytest

from model.book.edits import SettingEdit
from model.book.page_file import open_page
from model.book.recording import record
from model.disk.guard import hash_of
from model.disk.leftovers import collect
from model.disk.lock import LOCK_NAME
from model.disk.save import save
from model.errors import NotConfirmed, NotSaved
from model.rig.setting import taken
from tests.saving import KEY

PAGE = Path(__file__).parent / "data" / "page_two_post.toml"


@pytest.fixture
def page(tmp_path: Path) -> Path:
    path = tmp_path / "2025-03-14-soundcheck.toml"
    path.write_bytes(PAGE.read_bytes())
    return path


def left(folder: Path) -> set[str]:
    """Return the names in a folder but for the lock, which stays."""
    return {path.name for path in folder.iterdir()} - {LOCK_NAME}


def test_a_new_file_and_its_next_version(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    first = save(path, "one\n", None)
    assert path.read_text() == "one\n"
    assert first == hash_of(b"one\n")
    second = save(path, "two\n", first)
    assert path.read_text() == "two\n"
    assert second == hash_of(b"two\n")
    assert left(tmp_path) == {"a.toml"}


def test_a_new_file_never_takes_the_place_of_another(page: Path) -> None:
    before = page.read_bytes()
    with pytest.raises(NotSaved, match="there already"):
        save(page, "new\n", None)
    assert page.read_bytes() == before
    link = page.with_name("link.toml")
    link.symlink_to(page)
    with pytest.raises(NotSaved, match="there already"):
        save(link, "new\n", None)
    assert page.read_bytes() == before
    assert left(page.parent) == {page.name, "link.toml"}


@pytest.mark.parametrize("how", ["changed", "gone"])
def test_what_someone_else_did_meanwhile_is_not_written_over(page: Path, how: str) -> None:
    file = open_page(page)
    if how == "changed":
        page.write_text(file.text.replace("AK", "ZZ"))
        theirs = page.read_bytes()
    else:
        page.unlink()
    with pytest.raises(NotSaved) as refused:
        record(file, SettingEdit(KEY, taken(file.page.setting(KEY), 1.0)))
    assert "right:" in refused.value.text()
    assert not page.exists() if how == "gone" else page.read_bytes() == theirs
    assert left(page.parent) <= {page.name}


def test_a_page_that_would_be_too_large_is_not_written(page: Path) -> None:
    with pytest.raises(NotSaved, match="over 1 MB"):
        save(page, "x" * 1_000_001, hash_of(page.read_bytes()))


def test_the_mode_of_the_file_is_kept(page: Path) -> None:
    page.chmod(0o640)
    file = open_page(page)
    record(file, SettingEdit(KEY, taken(file.page.setting(KEY), 1.0)))
    assert stat.S_IMODE(page.stat().st_mode) == 0o640


@pytest.mark.parametrize("call", ["open", "write", "fsync", "exchange", "replace"])
@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EIO, errno.EACCES, errno.EROFS])
def test_a_disk_that_refuses_leaves_the_old_file_whole(
    page: Path, monkeypatch: pytest.MonkeyPatch, call: str, error: int
) -> None:
    file = open_page(page)
    before = page.read_bytes()

    def refuse(*_args: object, **_named: object) -> int:
        raise OSError(error, os.strerror(error))

    if call == "exchange":
        monkeypatch.setattr("model.disk.save.exchange", refuse)
    elif call == "replace":
        monkeypatch.setattr("model.disk.save.exchange", lambda *_: False)
        monkeypatch.setattr(Path, "replace", refuse)
    elif call == "write":
        real_fdopen = os.fdopen

        @contextmanager
        def refuse_writing(handle: int, mode: str, closefd: bool = True) -> Iterator[object]:
            with real_fdopen(handle, mode, closefd=closefd) as file:
                yield SimpleNamespace(write=refuse) if mode == "wb" else file

        monkeypatch.setattr("model.disk.save.os.fdopen", refuse_writing)
    elif call == "open":
        real = os.open

        def refuse_new(path: str, flags: int, *rest: int) -> int:
            return refuse() if flags & os.O_EXCL else real(path, flags, *rest)

        monkeypatch.setattr("model.disk.save.os.open", refuse_new)
    else:
        monkeypatch.setattr("model.disk.save.os.fsync", refuse)
    with pytest.raises(NotSaved) as refused:
        record(file, SettingEdit(KEY, taken(file.page.setting(KEY), 1.0)))
    monkeypatch.undo()
    assert os.strerror(error).lower() in refused.value.text()
    assert page.read_bytes() == before
    assert left(page.parent) == {page.name}


def test_a_folder_that_does_not_confirm_is_not_called_saved(
    page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = open_page(page)
    real, calls = os.fsync, []

    def second_fails(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:  # the file's own came first
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(handle)

    monkeypatch.setattr("model.disk.save.os.fsync", second_fails)
    with pytest.raises(NotConfirmed, match="did not confirm"):
        record(file, SettingEdit(KEY, taken(file.page.setting(KEY), 1.0)))
    assert open_page(page).page.setting(KEY).value == 1.0


@pytest.mark.parametrize("can_exchange", [True, False])
def test_two_writers_wait_for_each_other(
    page: Path, can_exchange: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two readings at a time, while a third process tidies up: it takes no save's file away."""
    count = 200
    code = f"from tests.saving import count_up; count_up({count}, {can_exchange})"
    keys = ("tom-arm.slide", "rear-boom.reach")
    start = {key: number(page, key) for key in keys}
    writers = [subprocess.Popen([sys.executable, "-c", code, str(page), key]) for key in keys]
    taken_away: list[Path] = []
    for writer in writers:
        while writer.poll() is None:
            taken_away += collect(page.parent)
            time.sleep(0.002)
    assert [writer.returncode for writer in writers] == [0, 0]
    kept = sum(number(page, key) - start[key] for key in keys)
    with capsys.disabled():
        how = "with" if can_exchange else "without"
        print(f"\n  two writers, {how} the exchange: {kept:.0f} of {2 * count} kept", end="")
    assert kept == 2 * count
    assert taken_away == [], "the file of a save under way was taken for a leftover"
    assert left(page.parent) == {page.name}


def number(page: Path, key: str) -> float:
    """Return a setting's number, 0 where it is open."""
    value = open_page(page).page.setting(key).value
    assert value is None or isinstance(value, float)
    return value or 0.0
