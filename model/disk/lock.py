"""The book's lock: a file of its own, never deleted, so that two writers wait for each other."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator
from pathlib import Path as FilePath

LOCK_NAME = ".lock"


@contextlib.contextmanager
def locked(folder: FilePath) -> Iterator[None]:
    """Hold the book's lock while a file takes another's place. Windows goes without."""
    if sys.platform == "win32":
        yield
        return
    import fcntl

    handle = os.open(folder / LOCK_NAME, os.O_RDONLY | os.O_CREAT | os.O_NOFOLLOW, 0o666)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        with contextlib.suppress(OSError):  # nothing was written there, and it is closed anyway
            os.close(handle)


@contextlib.contextmanager
def locked_at_once(folder: FilePath) -> Iterator[bool]:
    """Hold the book's lock where nobody else does; yield whether it is held."""
    if sys.platform == "win32":
        yield False
        return
    import fcntl

    handle = os.open(folder / LOCK_NAME, os.O_RDONLY | os.O_CREAT | os.O_NOFOLLOW, 0o666)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
        else:
            yield True
    finally:
        with contextlib.suppress(OSError):
            os.close(handle)
