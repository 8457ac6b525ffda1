"""The steps of a save in their order, what may come between them, and what is never followed."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from model.book.edits import CrewNoteEdit
from model.book.guard import hash_of
from model.book.page_file import open_page, record
from model.book.save import save
from model.clean import clean_lines
from model.errors import CannotDo, NotSaved, UnreadableFile
from tests.killing import NEW, OLD, files
from tests.shapes import PAGE


@pytest.fixture
def page(tmp_path: Path) -> Path:
    path = tmp_path / "page.toml"
    path.write_bytes(OLD.encode())
    return path


def refused(path: Path, text: str, sha256: str | None, sort: type[NotSaved] = NotSaved) -> str:
    """Save where it must be refused; return what is said, which must be fit to read."""
    with pytest.raises(sort) as error:
        save(path, text, sha256)
    said = error.value.text()
    assert said == clean_lines(said)
    assert all(problem.right and problem.path == str(path) for problem in error.value.problems)
    return said


def test_a_new_file_never_takes_the_place_of_one(page: Path) -> None:
    assert "there already" in refused(page, NEW, None)
    assert page.read_text("utf-8") == OLD
    (page.parent / "folder.toml").mkdir()
    assert "there already" in refused(page.parent / "folder.toml", NEW, None)
    assert files(page.parent) == {page.name, "folder.toml"}


def test_two_new_pages_of_one_name_do_not_hide_each_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other person's page comes between the look and the rename."""
    path, link = tmp_path / "page.toml", os.link

    def late(source: Path, to: Path) -> None:
        path.write_text("the other's", "utf-8")
        link(source, to)

    monkeypatch.setattr(os, "link", late)
    assert "there already" in refused(path, NEW, None)
    assert path.read_text("utf-8") == "the other's"
    assert files(tmp_path) == {"page.toml"}


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    assert "no such file or directory" in refused(tmp_path / "nowhere" / "page.toml", NEW, None)
    assert files(tmp_path) == set()


def test_a_link_is_never_written_through(tmp_path: Path) -> None:
    target, path = tmp_path / "target.toml", tmp_path / "page.toml"
    target.write_text(OLD, "utf-8")
    try:
        path.symlink_to(target)
    except OSError as error:
        pytest.skip(f"no links here: {error.strerror}")
    with pytest.raises(UnreadableFile, match="link"):
        save(path, NEW, hash_of(OLD.encode()))
    assert "there already" in refused(path, NEW, None)
    assert target.read_text("utf-8") == OLD
    assert path.is_symlink()


ERRORS = (errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS, errno.EACCES)


def test_a_disk_that_knows_no_links_takes_a_new_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", fails)
    save(tmp_path / "page.toml", NEW, None)
    assert (tmp_path / "page.toml").read_bytes() == NEW.encode()
    assert files(tmp_path) == {"page.toml"}


def test_the_file_is_flushed_before_it_takes_its_name_and_the_folder_after(
    page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def flushed(handle: int) -> None:
        done.append("folder" if Path(f"/proc/self/fd/{handle}").is_dir() else "file")
        fsync(handle)

    def replaced(self: Path, target: Path) -> Path:
        assert self.parent == target.parent, "a rename across folders may not be one step"
        assert self.read_bytes() == NEW.encode()
        done.append("name")
        return replace(self, target)

    if not Path("/proc/self/fd").is_dir():
        pytest.skip("this system does not show which file a handle is")
    monkeypatch.setattr(os, "fsync", flushed)
    monkeypatch.setattr(Path, "replace", replaced)
    save(page, NEW, hash_of(OLD.encode()))
    assert done == ["file", "name", "folder"]


def test_a_page_that_is_closed_changes_only_after_it_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    path.write_text(PAGE.replace("closed = false", "closed = true"), "utf-8")
    with pytest.raises(CannotDo, match="closed for the show"):
        record(open_page(path), CrewNoteEdit("AK", "after the show"))
    assert "after the show" not in path.read_text("utf-8")
