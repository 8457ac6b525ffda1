"""Unfinished files: what a save left that was cut off. Each may be the only copy of a version."""

from __future__ import annotations

import re
import secrets
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path as FilePath

from model.disk.flush import flush_file, flush_folder
from model.disk.guard import LARGEST_FILE, hash_of
from model.disk.lock import locked_at_once

TEMP_MARK = ".unfinished"
KEPT = ".recovered"
"""The folder in the book that unfinished and displaced files are moved to, and never deleted."""
SETTLED = "settled"
"""The folder below it for those that someone has looked at."""
_MARK = r"(?P<made>[0-9a-f]{8})-(?P<source>[0-9a-f]{8})-[0-9a-f]{8}"
_TEMP = re.compile(rf"\.(?P<name>.+)\.(?P<mark>{_MARK})" + re.escape(TEMP_MARK))
_KEPT = re.compile(rf"(?P<stem>.+)\.(?P<mark>{_MARK})(?P<ending>\.[^.]*)?")


@dataclass(frozen=True, slots=True)
class Leftover:
    """A file that was kept, and the name of the file that it was to become.

    ``finished`` tells that it is whole: what it was to hold is what it holds.
    """

    path: FilePath
    meant: str
    finished: bool


def temp_name(name: str, made: str, source: str | None) -> str:
    """Return the name of a fresh file that is to take the place of ``name``.

    It bears the beginnings of two hashes, of the version that it is made to hold and of the one it
    is made from: whoever finds it knows which of the two it is, or that it is neither.
    """
    return f".{name}.{made[:8]}-{(source or '0' * 8)[:8]}-{secrets.token_hex(4)}{TEMP_MARK}"


def keep(temp: FilePath) -> FilePath:
    """Move an unfinished file to the book's own folder for such; raises :class:`OSError`.

    It is flushed first: whoever left it may have been cut off before that.
    """
    match = _TEMP.fullmatch(temp.name)
    stem, dot, ending = (match["name"] if match else temp.name).rpartition(".")
    mark = match["mark"] if match else f"{'0' * 8}-{'0' * 8}-{secrets.token_hex(4)}"
    folder = temp.parent / KEPT
    folder.mkdir(exist_ok=True)
    target = folder / (f"{stem}.{mark}.{ending}" if dot else f"{ending}.{mark}")
    flush_file(temp)
    temp.rename(target)
    with suppress(OSError):  # it is there, and found again wherever it is
        flush_folder(folder)
    return target


def collect(folder: FilePath) -> tuple[FilePath, ...]:
    """Move the unfinished files of a book that nobody is writing; return where they are now.

    A save that was cut off after its version got its name left the one it was made from, which the
    save itself would have taken away: that is done here. A folder that takes nothing keeps them
    where they are: they are found again.
    """
    try:
        found = sorted(path for path in folder.iterdir() if _TEMP.fullmatch(path.name))
        if not found:
            return ()
        kept = []
        with locked_at_once(folder) as is_held:
            for path in found if is_held else ():
                if path.is_symlink() or not path.is_file():
                    continue
                if _is_superseded(path):
                    flush_folder(folder)
                    path.unlink()
                else:
                    kept.append(keep(path))
    except OSError:
        return ()
    return tuple(kept)


def _is_superseded(path: FilePath) -> bool:
    """Tell whether a file is the version that the one now in place was made from."""
    match = _TEMP.fullmatch(path.name)
    assert match is not None
    if _hash_at(path) != match["source"]:
        return False
    page = path.with_name(match["name"])
    return page.is_file() and _hash_at(page) == match["made"] != match["source"]


def _hash_at(path: FilePath) -> str:
    """Return the beginning of the hash of a file that may be a page; nothing for a larger one."""
    return "" if path.stat().st_size > LARGEST_FILE else hash_of(path.read_bytes())[:8]


def leftovers(folder: FilePath) -> tuple[Leftover, ...]:
    """Return what was kept of a book and not settled yet, by name."""
    try:
        names = sorted(path for path in (folder / KEPT).iterdir() if path.is_file())
        found = [(path, _KEPT.fullmatch(path.name)) for path in names]
        return tuple(
            Leftover(
                path,
                f"{match['stem']}{match['ending'] or ''}",
                _hash_at(path) == match["made"],
            )
            for path, match in found
            if match
        )
    except OSError:
        return ()


def settle(path: FilePath) -> FilePath:
    """Put a version that someone has looked at aside, where it stays; raises :class:`OSError`."""
    folder = path.parent if path.parent.name == KEPT else path.parent / KEPT
    target = folder / SETTLED / path.name
    target.parent.mkdir(parents=True, exist_ok=True)
    if target.exists():
        target = target.with_name(f"{target.stem}-{secrets.token_hex(4)}{target.suffix}")
    path.rename(target)
    with suppress(OSError):
        flush_folder(target.parent)
        flush_folder(path.parent)
    return target
