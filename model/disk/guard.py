"""The one way into a file: regular, small, UTF-8, with bearable lines. Nothing else is opened."""

from __future__ import annotations

import contextlib
import os
import stat
from dataclasses import dataclass
from pathlib import Path as FilePath

from model.errors import Problem, UnreadableFile

BYTE_ORDER = "\ufeff"
LARGEST_FILE = 1_000_000
LONGEST_LINE = 4096
BEGINNING = 4096
"""Bytes that hold a page's head in nearly every page; a longer head costs a second reading."""
DEEPEST_KEY = 8
EXAMPLE = "a page that Clampbook wrote"


@dataclass(frozen=True, slots=True)
class FileText:
    """What a file held when it was read: its text, and the hash that says whether it changed."""

    path: FilePath
    text: str
    sha256: str


def hash_of(data: bytes) -> str:
    """Return the SHA-256 of a file's bytes, in hex."""
    import hashlib  # where it is used: a list of pages needs no hash

    return hashlib.sha256(data).hexdigest()


def read_bytes(path: FilePath, most: int = LARGEST_FILE + 1) -> bytes:
    """Return a file's bytes, ``most`` of them from its beginning.

    Raises :class:`UnreadableFile` for a link, a folder, a pipe or a device, a file over the size
    that a page may have, or whatever the system says.
    """
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        if path.is_symlink():
            raise _cannot(
                path, "link", "it is a link to another place", "a file in the book itself"
            )
        handle = os.open(path, flags | getattr(os, "O_BINARY", 0))
    except OSError as error:
        raise _system(path, error) from error
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):  # os.fdopen itself fails for a folder
            raise _cannot(path, "not-a-file", "it is not a regular file", EXAMPLE)
        with os.fdopen(handle, "rb", closefd=False) as file:
            data = file.read(most)
    except OSError as error:
        raise _system(path, error) from error
    finally:
        with contextlib.suppress(OSError):  # it was only read, and is closed anyway
            os.close(handle)
    if len(data) > LARGEST_FILE:
        raise _cannot(
            path,
            "too-large",
            f"it is over {LARGEST_FILE // 1_000_000} MB",
            "a page of 600 settings is about 80 KB",
        )
    return data


def read_beginning(path: FilePath) -> str:
    """Return the beginning of a file's text, in whole lines: enough for a page's head.

    Raises :class:`UnreadableFile` for what is no regular file. Bytes that are no UTF-8 are left to
    the reading of the whole.
    """
    data = read_bytes(path, BEGINNING)
    return data[: data.rfind(b"\n") + 1].decode("utf-8", "replace")


def read_text(path: FilePath) -> FileText:
    """Return a file's text; raises :class:`UnreadableFile` where it is not plain UTF-8 text."""
    data = read_bytes(path)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _cannot(
            path,
            "not-utf8",
            f"byte {error.start + 1} is not UTF-8 text",
            "save the file as UTF-8",
            line,
        ) from error
    problems = too_long_lines(text, str(path))
    if problems:
        raise UnreadableFile(f"{path.name} cannot be read", problems)
    return FileText(path, text, hash_of(data))


def too_long_lines(text: str, file: str) -> tuple[Problem, ...]:
    """Return a problem for each line that is longer than a line of a page may be."""
    return tuple(
        Problem(
            code="line-too-long",
            what=f"the line has {len(line)} characters",
            why=f"a line of a page has {LONGEST_LINE} at most",
            right="one setting a line",
            path=file,
            line=number,
        )
        for number, line in enumerate(text.split("\n"), 1)
        if len(line) > LONGEST_LINE
    )


def _cannot(
    path: FilePath, code: str, what: str, right: str, line: int | None = None
) -> UnreadableFile:
    problem = Problem(code=code, what=what, right=right, path=str(path), line=line)
    return UnreadableFile(f"{path.name} cannot be read", (problem,))


def _system(path: FilePath, error: OSError) -> UnreadableFile:
    what = (error.strerror or "the system refuses it").lower()
    problem = Problem(code="system", what=what, path=str(path), right="a file that you may read")
    return UnreadableFile(f"{path.name} cannot be read", (problem,))
