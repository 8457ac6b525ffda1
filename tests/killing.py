"""A writer that is killed at any moment, and what a file must still say after that."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from random import Random

from model.disk.guard import hash_of
from model.disk.lock import LOCK_NAME
from model.disk.save import save

TAIL = "whole\n"
OLD, NEW = "old = 1\n", "new = 2\r\n# crème, 太鼓\n"


def files(folder: Path) -> set[str]:
    """Return the names in a folder, but for the book's lock."""
    return {path.name for path in folder.iterdir()} - {LOCK_NAME}


def version(number: int) -> str:
    """Return the text of a version: its number, some length, and a last line that ends it."""
    return f"version = {number}\n" + f"# {number}\n" * (20 + number % 400) + TAIL


def number_of(text: str) -> int:
    """Return which version a text is; it must be exactly that one, to the last character."""
    number = int(text.split("\n", 1)[0].removeprefix("version = "))
    assert text == version(number), "the file is torn"
    return number


def write_until_killed(path: Path, first: int, said: int) -> None:
    """Save one version after another; say each to ``said`` once its save has returned."""
    sha256, number = hash_of(path.read_bytes()), first
    while True:
        sha256 = save(path, version(number), sha256)
        os.write(said, f"{number}\n".encode())
        number += 1


def kill_a_writer(path: Path, rng: Random) -> tuple[int, int]:
    """Start a writer, kill it within some milliseconds; return its first and last told version."""
    first = number_of(path.read_text("utf-8")) + 1
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(read)
            write_until_killed(path, first, write)
        finally:
            os._exit(1)
    os.close(write)
    time.sleep(rng.uniform(0, 0.08))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the writer ended before it was killed"
    with os.fdopen(read, "rb") as told:
        numbers = told.read().split()
    return first, int(numbers[-1]) if numbers else first - 1
