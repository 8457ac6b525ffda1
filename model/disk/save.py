"""The one save: a page is on disk, whole, before anyone is told that it is."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path as FilePath

from model.disk import told
from model.disk.busy import is_being_written
from model.disk.flush import flush_folder
from model.disk.guard import LARGEST_FILE, hash_of, read_bytes
from model.disk.leftovers import keep, temp_name
from model.disk.lock import locked
from model.disk.swap import exchange, rename_to_free
from model.disk.told import CHANGED as CHANGED
from model.disk.told import GONE as GONE
from model.disk.told import REFUSED as REFUSED
from model.errors import NotSaved, UnreadableFile


def save(path: FilePath, text: str, expected_sha256: str | None) -> str:
    """Put ``text`` in place of the file at ``path``; return the new hash.

    ``expected_sha256`` is the hash of what was read, or None for a file that must not be there.
    The text goes to a fresh file in the same folder, is flushed to the disk, and changes names
    with the old one, which is looked at before it goes: what someone else wrote at the last moment
    gets its name back. Then the folder is flushed. Raises :class:`NotSaved` or
    :class:`UnreadableFile` (the old file is whole), or :class:`NotConfirmed` (the new one is in
    place, the disk did not confirm it).
    """
    try:
        return _save(path, text, expected_sha256)
    except NotSaved as error:
        if expected_sha256 is not None:
            raise
        raise NotSaved("not saved; no file was made", error.problems) from error


def _save(path: FilePath, text: str, expected_sha256: str | None) -> str:
    data = text.encode("utf-8")
    if len(data) > LARGEST_FILE:
        raise told.not_saved(
            path,
            f"it would be over {LARGEST_FILE // 1_000_000} MB",
            "a page of 600 settings is about 80 KB",
        )
    try:
        with locked(path.parent):
            check_unchanged(path, expected_sha256)
            temp = _written_beside(path, data, expected_sha256)
            _take_place(temp, path, hash_of(data), expected_sha256)
    except OSError as error:
        raise told.refused(path, error) from error
    _confirm(path, is_new=expected_sha256 is None)
    return hash_of(data)


def check_unchanged(path: FilePath, expected: str | None) -> None:
    """Raise :class:`NotSaved` where the file is not the one that was read, or must not be there."""
    if expected is None:
        if path.exists() or path.is_symlink():
            raise told.there_already(path)
        return
    if not path.exists():
        raise told.gone(path)
    if hash_of(read_bytes(path)) != expected:
        raise told.changed(path)


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
        _take_away(temp)
        raise
    return temp


def _take_place(temp: FilePath, path: FilePath, ours: str, expected: str | None) -> None:
    """Let the fresh file take its name; where it did not, it goes.

    An error does not say that nothing happened: what has the name now decides what is told.
    """
    try:
        if expected is None:
            _take_new_name(temp, path)
        elif exchange(temp, path):
            _look_at_displaced(temp, path, ours, expected)
        else:
            check_unchanged(path, expected)  # what comes between this and the next line is lost
            temp.replace(path)
    except (NotSaved, UnreadableFile):
        _take_away(temp, ours)
        raise
    except OSError as error:
        has_its_name = _hash_at(path) == ours and (
            _hash_at(temp) != ours or _is_one_file(temp, path)
        )
        _take_away(temp, ours)
        if has_its_name:
            raise told.not_confirmed(path, error) from error
        raise


def _take_new_name(temp: FilePath, path: FilePath) -> None:
    """A link refuses to replace: two people's new pages of one name do not hide each other."""
    try:
        os.link(temp, path)
    except (OSError, AttributeError) as error:
        if isinstance(error, OSError) and _is_one_file(temp, path):
            raise  # done, and said to have failed
        if isinstance(error, FileExistsError):
            raise told.there_already(path) from None
    else:
        _take_away(temp)
        return
    try:  # a file system, or a system, without links
        has_taken_it = rename_to_free(temp, path)
    except FileExistsError:
        raise told.there_already(path) from None
    if not has_taken_it:
        check_unchanged(path, None)  # what comes between this and the next line is lost
        temp.replace(path)


def _look_at_displaced(temp: FilePath, path: FilePath, ours: str, expected: str) -> None:
    """Take the old file away; give its name back to one that nobody has read yet."""
    is_open = is_being_written(temp)
    found = _hash_at(temp)
    if found == expected and not is_open:
        _take_away(temp)
        return
    is_back = _give_back(temp, path)
    now = _hash_at(temp)
    if is_back and now not in (ours, None):
        # Someone wrote once more meanwhile: the newer one gets the name, the older one is kept.
        _give_back(temp, path)
    if now != ours:
        _keep(temp)
        if not is_back and _hash_at(path) in (ours, None):
            raise told.not_confirmed(path)
    if is_open:
        raise told.being_written(path)
    raise told.changed(path) if found else told.not_read_again(path)


def _give_back(temp: FilePath, path: FilePath) -> bool:
    try:
        return exchange(temp, path)
    except OSError:
        return False


def _keep(temp: FilePath) -> None:
    with contextlib.suppress(OSError):  # it stays, and is found as a leftover
        keep(temp)


def _hash_at(path: FilePath) -> str | None:
    """Return the hash of what is there, whatever its size; None where it is no file."""
    try:
        return hash_of(path.read_bytes())
    except OSError:
        return None


def _is_one_file(one: FilePath, other: FilePath) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False


def _take_away(temp: FilePath, only: str | None = None) -> None:
    """Remove our own fresh file, or with ``only`` what is that and nobody else's.

    One that stays is found as a leftover.
    """
    with contextlib.suppress(OSError):
        if only is None or (not is_being_written(temp) and _hash_at(temp) == only):
            temp.unlink(missing_ok=True)


def _confirm(path: FilePath, *, is_new: bool) -> None:
    try:
        flush_folder(path.parent)
    except OSError as error:
        raise told.not_confirmed(path, error, is_new=is_new) from error
