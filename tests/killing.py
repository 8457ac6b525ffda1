"""A writer that is killed at any moment, and what its folder must still say after that."""

from __future__ import annotations

import os
import signal
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from random import Random

from model.disk.leftovers import TEMP_MARK, collect
from model.disk.lock import LOCK_NAME
from tests.saving import Writer

OLD, NEW = "old = 1\n", "new = 2\r\n# crème, 太鼓\n"
LATEST = 0.06
"""Seconds after which a writer is killed at the latest: some fifty saves."""


def files(folder: Path) -> set[str]:
    """Return the names in a folder, but for the book's lock."""
    return {path.name for path in folder.iterdir()} - {LOCK_NAME}


def kill_a_writer(path: Path, writer: Writer, first: int, rng: Random) -> int:
    """Start a writer, kill it within some milliseconds; return the last version that it told."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(read)
            writer(path, first, write)
        finally:
            os._exit(1)
    os.close(write)
    time.sleep(rng.uniform(0, LATEST))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the writer ended before it was killed"
    with os.fdopen(read, "rb") as told:
        numbers = told.read().split()
    return int(numbers[-1]) if numbers else first - 1


def tidy_up(path: Path, number_of: Callable[[str], int | None]) -> Counter[str]:
    """Collect what a killed writer left: all is kept, but for an older version that is whole.

    ``number_of`` tells which version a text is, None for a torn one. Returns what became of it.
    """
    unfinished = {
        found.name: found.read_bytes()
        for found in path.parent.iterdir()
        if found.name.endswith(TEMP_MARK)
    }
    before = path.read_bytes()
    kept = {found.read_bytes() for found in collect(path.parent)}
    assert path.read_bytes() == before, "tidying up changed the page"
    assert not any(name.endswith(TEMP_MARK) for name in files(path.parent)), "one stayed"
    became: Counter[str] = Counter()
    now = number_of(before.decode())
    for data in unfinished.values():
        number = number_of(data.decode("utf-8", "replace"))
        if data in kept:
            became["torn, kept" if number is None else "whole, kept"] += 1
            continue
        assert number is not None, "a torn leftover was deleted"
        assert now is not None
        assert number < now, "the only copy of a version was deleted"
        became["older, taken away"] += 1
    return became
