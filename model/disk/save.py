"""The one save: a page is on disk, whole, before anyone is told that it is."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path as FilePath

from model.disk.flush import flush_folder
from model.disk.guard import LARGEST_FILE, hash_of, read_bytes
from model.disk.leftovers import keep, temp_name
from model.disk.lock import locked
from model.disk.swap import exchange
from model.errors import NotConfirmed, NotSaved, Problem

CHANGED = "changed-underneath"
"""The code of the problem that a file is not the one that was read."""
REFUSED = "disk-refused"
"""The code of the problem that the disk takes nothing."""


def save(path: FilePath, text: str, expected_sha256: str | None) -> str:
    """Put ``text`` in place of the file at ``path``; return the new hash.

    ``expected_sha256`` is the hash of what was read, or None for a file that must not be there.
    The text goes to a fresh file in the same folder, is flushed to the disk, and changes names
    with the old one, which is looked at before it goes: what someone else wrote at the last moment
    gets its name back. Then the folder is flushed. Raises :class:`NotSaved` (the old file is whole)
    or :class:`NotConfirmed` (the new one is in place, the disk did not confirm it).
    """
    data = text.encode("utf-8")
    if len(data) > LARGEST_FILE:
        raise _not_saved(
            path,
            f"it would be over {LARGEST_FILE // 1_000_000} MB",
            "a page of 600 settings is about 80 KB",
        )
    try:
        with locked(path.parent):
            check_unchanged(path, expected_sha256)
            temp = _written_beside(path, data, expected_sha256)
            try:
                _take_place(temp, path, hash_of(data), expected_sha256)
            except (OSError, NotSaved):
                _take_away(temp, hash_of(data))
                raise
    except OSError as error:
        raise _not_saved(
            path,
            (error.strerror or str(error)).lower(),
            "free the disk or choose a folder that takes files",
            REFUSED,
        ) from error
    _confirm(path)
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
        raise _changed(path)


def _changed(path: FilePath) -> NotSaved:
    return _not_saved(
        path,
        "someone else changed the file since it was read",
        "open it again, then record",
        CHANGED,
    )


def _written_beside(path: FilePath, data: bytes, expected: str | None) -> FilePath:
    """Write to a fresh file in the same folder and flush it; a failed one is taken away."""
    temp = path.with_name(temp_name(path.name, hash_of(data), expected))
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


def _take_place(temp: FilePath, path: FilePath, ours: str, expected: str | None) -> None:
    if expected is None:
        _take_new_name(temp, path)
    elif exchange(temp, path):
        _look_at_displaced(temp, path, ours, expected)
    else:
        check_unchanged(path, expected)  # what comes between this and the next line is lost
        temp.replace(path)


def _take_new_name(temp: FilePath, path: FilePath) -> None:
    """A link refuses to replace: two people's new pages of one name do not hide each other."""
    try:
        os.link(temp, path)
    except FileExistsError:
        raise _not_saved(
            path, "a file of that name is there already", "another moment or date"
        ) from None
    except (OSError, AttributeError):  # a file system, or a system, without links
        check_unchanged(path, None)
        temp.replace(path)
    else:
        _take_away(temp)


def _look_at_displaced(temp: FilePath, path: FilePath, ours: str, expected: str) -> None:
    """Take the old file away; give its name back to one that nobody has read yet."""
    if _hash_at(temp) == expected:
        _take_away(temp)
        return
    exchange(temp, path)
    if _hash_at(temp) != ours:
        # Someone wrote once more meanwhile: the newer one gets the name, the older one is kept.
        exchange(temp, path)
        keep(temp)
    raise _changed(path)


def _hash_at(path: FilePath) -> str | None:
    """Return the hash of what is there, whatever its size; None where it is no file."""
    try:
        return hash_of(path.read_bytes())
    except OSError:
        return None


def _take_away(temp: FilePath, only: str | None = None) -> None:
    """Remove our own fresh file, or with ``only`` what is that and nobody else's.

    One that stays is found as a leftover.
    """
    with contextlib.suppress(OSError):
        if only is None or _hash_at(temp) == only:
            temp.unlink(missing_ok=True)


def _confirm(path: FilePath) -> None:
    try:
        flush_folder(path.parent)
    except OSError as error:
        problem = Problem(
            code="not-confirmed",
            what="written, but the disk did not confirm it",
            why=(error.strerror or str(error)).lower(),
            right="look at the disk, then record the last reading again",
            path=str(path),
        )
        raise NotConfirmed("written, but not confirmed", (problem,)) from error


def _not_saved(path: FilePath, what: str, right: str, code: str = "not-saved") -> NotSaved:
    problem = Problem(code=code, what=what, right=right, path=str(path))
    return NotSaved("not saved; the old file is whole", (problem,))
