"""Full, read-only, over quota, forbidden: not saved and said so, and the old file is whole."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from model.disk.guard import hash_of
from model.disk.save import save
from model.errors import ClampbookError, NotSaved
from tests.disk_trials import is_told_whole
from tests.killing import files
from tests.saving import version
from tests.small_disks import fill, in_a_child, memory_disk, mount, save_as_nobody

SMALL, LARGE = version(3), "x" * 3_000 + "\n"
Refusal = Callable[[Path], AbstractContextManager[None]]


@pytest.fixture(autouse=True)
def _needs_fork() -> None:
    if not hasattr(os, "fork"):
        pytest.skip("this system has no fork")


@contextmanager
def full(folder: Path) -> Iterator[None]:
    filler = fill(folder)
    yield
    filler.unlink()


@contextmanager
def without_a_free_name(folder: Path) -> Iterator[None]:
    taken = []
    try:
        for number in range(100):
            path = folder / f"taken-{number}"
            path.touch()
            taken.append(path)
    except OSError:
        pass
    yield
    for path in taken:
        path.unlink()


@contextmanager
def read_only(folder: Path) -> Iterator[None]:
    mount("-o", "remount,ro", str(folder))
    yield
    mount("-o", "remount,rw", str(folder))


DISKS: dict[str, tuple[str, Refusal, str]] = {
    "full": ("size=64k", full, "no space left"),
    "no free name": ("size=64k,nr_inodes=8", without_a_free_name, "no space left"),
    "read-only": ("size=64k", read_only, "read-only file system"),
}


@pytest.mark.parametrize("has_lock", [True, False])
@pytest.mark.parametrize("disk", DISKS)
def test_a_disk_that_takes_nothing_and_then_takes_again(
    tmp_path: Path, disk: str, has_lock: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    options, refusing, says = DISKS[disk]
    with memory_disk(tmp_path / "disk", options) as folder:
        page, new = folder / "page.toml", folder / "new.toml"
        old = begin(page, has_lock)
        with refusing(folder):
            titles = "old file is whole", "no file was made"
            for path, before, title in zip((page, new), (old, None), titles, strict=True):
                with pytest.raises(NotSaved, match=title) as refused:
                    save(path, LARGE, before)
                assert says in refused.value.text()
                assert is_told_whole(refused.value, path)
            assert page.read_text("utf-8") == SMALL
            assert not new.exists()
            assert not [name for name in files(folder) if name.endswith(".unfinished")]
        works_again(page, old)
        save(new, LARGE, None)
        assert files(folder) == {page.name, new.name}
    told(capsys, disk, has_lock)


def begin(page: Path, has_lock: bool) -> str:
    """Put a page where it will be refused; return its hash."""
    if has_lock:
        return save(page, SMALL, None)
    page.write_text(SMALL, "utf-8")
    return hash_of(SMALL.encode())


def works_again(page: Path, old: str) -> None:
    """Save where there is room again."""
    assert save(page, LARGE, old) == hash_of(LARGE.encode())
    assert page.read_text("utf-8") == LARGE


def told(capsys: pytest.CaptureFixture[str], what: str, has_lock: bool) -> None:
    """Say that a place was tried."""
    with capsys.disabled():
        lock = "" if has_lock else ", no lock file yet"
        print(f"\n  {what}{lock}: not saved, old file whole, works again", end="")


@pytest.mark.parametrize("has_lock", [True, False])
def test_a_file_that_may_not_grow(
    tmp_path: Path, has_lock: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    """A process's own limit, which is refused as a user's quota is."""
    import resource

    page = tmp_path / "page.toml"
    old = begin(page, has_lock)

    def limited() -> str:
        resource.setrlimit(resource.RLIMIT_FSIZE, (1_000, 1_000))
        return save(page, LARGE, old)

    refused = in_a_child(limited)
    is_refused(refused, "file too large", page)
    assert page.read_text("utf-8") == SMALL
    assert files(tmp_path) == {page.name}
    works_again(page, old)
    told(capsys, "over the limit of a file", has_lock)


def is_refused(refused: object, says: str, page: Path) -> None:
    """Look whether it was refused, and said so in full."""
    assert isinstance(refused, NotSaved), refused
    assert says in refused.text()
    assert is_told_whole(refused, page)


@pytest.mark.parametrize("has_lock", [True, False])
def test_a_folder_that_one_may_not_write_to(
    tmp_path: Path, has_lock: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "book"
    folder.mkdir(mode=0o755)
    page = folder / "page.toml"
    old = begin(page, has_lock)
    page.chmod(0o644)
    folder.chmod(0o555)
    for name, before in (("page.toml", old), ("new.toml", None)):
        refused = save_as_nobody(folder / name, LARGE, before)
        is_refused(refused, "permission denied", Path(name))
    assert page.read_text("utf-8") == SMALL
    assert files(folder) == {page.name}
    folder.chmod(0o777)
    assert save_as_nobody(page, LARGE, old) == hash_of(LARGE.encode())
    assert page.read_text("utf-8") == LARGE
    told(capsys, "forbidden folder", has_lock)


def test_a_page_that_one_may_not_read_is_never_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "book"
    folder.mkdir()
    folder.chmod(0o777)
    page = folder / "page.toml"
    page.write_text(SMALL, "utf-8")
    page.chmod(0)
    refused = save_as_nobody(page, LARGE, hash_of(SMALL.encode()))
    assert isinstance(refused, ClampbookError), refused
    assert "permission denied" in refused.text()
    assert is_told_whole(refused, Path(page.name))
    page.chmod(0o644)
    assert page.read_text("utf-8") == SMALL
    assert files(folder) == {page.name}
