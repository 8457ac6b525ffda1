"""The one save: a page is on disk, whole, before anyone is told that it is."""

from __future__ import annotations

import contextlib
import os
import secrets
import sys
from collections.abc import Iterator
from pathlib import Path as FilePath

from model.book.guard import LARGEST_FILE, hash_of, read_bytes
from model.errors import NotConfirmed, NotSaved, Problem

LOCK_NAME = ".lock"
TEMP_MARK = ".unfinished"
CHANGED = "changed-underneath"
"""The code of the problem that a file is not the one that was read."""


def save(path: FilePath, text: str, expected_sha256: str | None) -> str:
    """Put ``text`` in place of the file at ``path``; return the new hash.

    ``expected_sha256`` is the hash of what was read, or None for a file that must not be there.
    The text goes to a fresh file in the same folder, is flushed to the disk, and takes the old
    one's name; then the folder is flushed. Raises :class:`NotSaved` (the old file is whole) or
    :class:`NotConfirmed` (the new one is in place, the disk did not confirm it).
    """
    data = text.encode("utf-8")
    if len(data) > LARGEST_FILE:
        raise _not_saved(
            path,
            f"it would be over {LARGEST_FILE // 1_000_000} MB",
            "a page of 600 settings is about 80 KB",
        )
    try:
        with _locked(path.parent):
            check_unchanged(path, expected_sha256)
            temp = _written_beside(path, data)
            try:
                _take_place(temp, path, is_new=expected_sha256 is None)
            except (OSError, NotSaved):
                temp.unlink(missing_ok=True)
                raise
    except OSError as error:
        raise _not_saved(
            path,
            (error.strerror or str(error)).lower(),
            "free the disk or choose a folder that takes files",
        ) from error
    _flush_folder(path)
    return hash_of(data)


def check_unchanged(path: FilePath, expected: str | None) -> None:
    """Raise :class:`NotSaved` where the file is not the one that was read, or must not be there."""
    if expected is None:
        if path.exists() or path.is_symlink():
            raise _not_saved(path, "a file of that name is there already", "another moment or date")
        return
    if not path.exists():
        raise _not_saved(path, "the file is gone", "put it back, or begin a new page")
    if hash_of(read_bytes(path)) != expected:
        raise _not_saved(
            path,
            "someone else changed the file since it was read",
            "open it again, then record",
            CHANGED,
        )


def _written_beside(path: FilePath, data: bytes) -> FilePath:
    """Write to a fresh file in the same folder and flush it; a failed one is taken away."""
    temp = path.with_name(f".{path.name}.{secrets.token_hex(4)}{TEMP_MARK}")
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0)
    handle = os.open(temp, flags | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            if path.exists():
                with contextlib.suppress(PermissionError):
                    temp.chmod(path.stat().st_mode & 0o7777)
            os.fsync(file.fileno())
    except OSError:
        temp.unlink(missing_ok=True)
        raise
    return temp


def _take_place(temp: FilePath, path: FilePath, *, is_new: bool) -> None:
    if is_new and hasattr(os, "link"):
        # A link refuses to replace: two people's new pages of one name do not hide each other.
        try:
            os.link(temp, path)
        except FileExistsError:
            raise _not_saved(
                path, "a file of that name is there already", "another moment or date"
            ) from None
        except OSError:  # a file system without links
            temp.replace(path)
        else:
            temp.unlink()
        return
    temp.replace(path)


def _flush_folder(path: FilePath) -> None:
    if sys.platform == "win32":
        return
    try:
        handle = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        problem = Problem(
            code="not-confirmed",
            what="written, but the disk did not confirm it",
            why=(error.strerror or str(error)).lower(),
            right="look at the disk, then record the last reading again",
            path=str(path),
        )
        raise NotConfirmed("written, but not confirmed", (problem,)) from error


@contextlib.contextmanager
def _locked(folder: FilePath) -> Iterator[None]:
    """Hold the book's lock: a file of its own, never deleted. Windows goes without."""
    if sys.platform == "win32":
        yield
        return
    import fcntl

    handle = os.open(folder / LOCK_NAME, os.O_RDONLY | os.O_CREAT | os.O_NOFOLLOW, 0o666)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _not_saved(path: FilePath, what: str, right: str, code: str = "not-saved") -> NotSaved:
    problem = Problem(code=code, what=what, right=right, path=str(path))
    return NotSaved("not saved; the old file is whole", (problem,))
