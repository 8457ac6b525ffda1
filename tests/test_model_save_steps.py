"""The steps of a save in their order, what may come between them, and what is never followed."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from model.book.edits import CrewNoteEdit
from model.book.page_file import open_page
from model.book.recording import record
from model.clean import clean_lines
from model.disk import swap
from model.disk.guard import hash_of
from model.disk.leftovers import collect, leftovers, settle, temp_name
from model.disk.lock import locked
from model.disk.save import save
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


@pytest.mark.parametrize("can_exchange", [True, False])
def test_the_file_is_flushed_before_it_takes_its_name_and_the_folder_after(
    page: Path, monkeypatch: pytest.MonkeyPatch, can_exchange: bool
) -> None:
    done: list[str] = []
    fsync, replace, exchange = os.fsync, Path.replace, swap.exchange

    def flushed(handle: int) -> None:
        done.append("folder" if Path(f"/proc/self/fd/{handle}").is_dir() else "file")
        fsync(handle)

    def named(source: Path, target: Path) -> None:
        assert source.parent == target.parent, "a rename across folders may not be one step"
        assert source.read_bytes() == NEW.encode()
        done.append("name")

    def replaced(self: Path, target: Path) -> Path:
        named(self, target)
        return replace(self, target)

    def exchanged(source: Path, target: Path) -> bool:
        named(source, target)
        return exchange(source, target)

    if not Path("/proc/self/fd").is_dir():
        pytest.skip("this system does not show which file a handle is")
    monkeypatch.setattr(os, "fsync", flushed)
    monkeypatch.setattr(Path, "replace", replaced)
    if can_exchange:
        needs_exchange(page.parent)
        monkeypatch.setattr("model.disk.save.exchange", exchanged)
    else:
        monkeypatch.setattr("model.disk.save.exchange", lambda *_: False)
    save(page, NEW, hash_of(OLD.encode()))
    assert done == ["file", "name", "folder"]
    assert files(page.parent) == {page.name}


def needs_exchange(folder: Path) -> None:
    """Skip where files cannot change names in one step."""
    one, other = folder / "one", folder / "other"
    one.touch()
    other.touch()
    can = swap.exchange(one, other)
    one.unlink()
    other.unlink()
    if not can:
        pytest.skip("this system cannot exchange two names in one step")


def test_what_someone_else_writes_at_the_last_moment_gets_its_name_back(
    page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    needs_exchange(page.parent)
    exchange = swap.exchange

    def late(source: Path, target: Path) -> bool:
        if source.read_bytes() == NEW.encode():
            target.write_text("theirs", "utf-8")
        return exchange(source, target)

    monkeypatch.setattr("model.disk.save.exchange", late)
    assert "someone else changed" in refused(page, NEW, hash_of(OLD.encode()))
    assert page.read_text("utf-8") == "theirs"
    assert files(page.parent) == {page.name}


def test_of_two_that_someone_else_writes_meanwhile_the_older_one_is_kept(
    page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    needs_exchange(page.parent)
    exchange, theirs = swap.exchange, iter(["theirs", "theirs again"])

    def late(source: Path, target: Path) -> bool:
        if (text := next(theirs, None)) is not None:
            other = target.with_name("other")
            other.write_text(text, "utf-8")
            other.replace(target)
        return exchange(source, target)

    monkeypatch.setattr("model.disk.save.exchange", late)
    assert "someone else changed" in refused(page, NEW, hash_of(OLD.encode()))
    assert page.read_text("utf-8") == "theirs again"
    (kept,) = leftovers(page.parent)
    assert kept.meant == "page.toml"
    assert kept.path.read_text("utf-8") == "theirs"


def test_a_leftover_is_kept_and_never_deleted(page: Path) -> None:
    cut_off = page.with_name(temp_name("page.toml", "a" * 64, "b" * 64))
    cut_off.write_text("a version of someone's", "utf-8")
    with locked(page.parent):
        assert collect(page.parent) == ()  # somebody is writing it
    (kept,) = collect(page.parent)
    assert not cut_off.exists()
    assert kept.read_text("utf-8") == "a version of someone's"
    assert [held.path for held in leftovers(page.parent)] == [kept]
    cut_off = page.with_name(temp_name("page.toml", "a" * 64, "b" * 64))
    cut_off.write_text("another", "utf-8")
    (again,) = collect(page.parent)
    assert {held.path for held in leftovers(page.parent)} == {kept, again}
    assert {held.meant for held in leftovers(page.parent)} == {"page.toml"}
    aside = settle(kept)
    assert aside.read_text("utf-8") == "a version of someone's"
    assert [held.path for held in leftovers(page.parent)] == [again]


def test_a_save_that_was_cut_off_after_it_took_the_name_is_finished(page: Path) -> None:
    old, new = hash_of(OLD.encode()), hash_of(NEW.encode())
    cut_off = page.with_name(temp_name("page.toml", new, old))
    cut_off.write_text(OLD, "utf-8")  # displaced, and not taken away any more
    page.write_text(NEW, "utf-8")
    assert collect(page.parent) == ()
    assert leftovers(page.parent) == ()
    assert files(page.parent) == {page.name}
    page.with_name(temp_name("page.toml", new, old)).write_text(NEW, "utf-8")
    collect(page.parent)
    assert [held.finished for held in leftovers(page.parent)] == [True]


def test_a_page_that_is_closed_changes_only_after_it_is_opened(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    path.write_text(PAGE.replace("closed = false", "closed = true"), "utf-8")
    with pytest.raises(CannotDo, match="closed for the show"):
        record(open_page(path), CrewNoteEdit("AK", "after the show"))
    assert "after the show" not in path.read_text("utf-8")
