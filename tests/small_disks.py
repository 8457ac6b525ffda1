"""Disks that can be filled, made read-only and taken away, and a user who may not do everything."""

from __future__ import annotations

import os
import pickle
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from model.disk.save import save

NOBODY = 65_534


def mount(*words: str) -> None:
    """Mount something; skip with the system's reason where that is not allowed."""
    try:
        done = subprocess.run(["mount", *words], capture_output=True, text=True, check=False)
    except OSError as error:
        pytest.skip(f"nothing can be mounted here: {error.strerror}")
    if done.returncode:
        pytest.skip(f"nothing can be mounted here: {done.stderr.strip()}")


@contextmanager
def memory_disk(place: Path, options: str) -> Iterator[Path]:
    """Mount a small disk in memory for a while."""
    place.mkdir()
    mount("-t", "tmpfs", "-o", options, "tmpfs", str(place))
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def fill(folder: Path) -> Path:
    """Fill a disk to the last byte; return the file that did."""
    filler = folder / "filler"
    with filler.open("wb", buffering=0) as file:
        for size in (4096, 1):
            try:
                while True:
                    file.write(b"x" * size)
            except OSError:
                continue
    return filler


def in_a_child(do: Callable[[], object]) -> object:
    """Do something in a process of its own, which may give up its rights; return what it returned.

    What it raises is returned as well.
    """
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            try:
                done = do()
            except Exception as error:
                done = error
            with os.fdopen(write, "wb") as answer:
                answer.write(pickle.dumps(done))
        finally:
            os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as answer:
        data = answer.read()
    os.waitpid(child, 0)
    assert data, "the process ended without an answer"
    return pickle.loads(data)


def save_as_nobody(page: Path, text: str, expected: str | None) -> object:
    """Save as a user without rights, from inside the page's folder; return the hash or the error.

    The folders above may be closed to that user: so the path is the one from inside.
    """

    def saved() -> str:
        os.chdir(page.parent)
        if os.geteuid() == 0:
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        return save(Path(page.name), text, expected)

    return in_a_child(saved)
