"""Someone else who writes the same file and knows no lock: an editor, or a folder that is synced.

Ours saves all the time, over what it has just read. The two tell each other how far they are by
shared numbers, never by the file. So it is known of each of their versions what became of it: ours
has read it, it lies beside the page, they have replaced it themselves, or it was destroyed.
"""

from __future__ import annotations

import mmap
import os
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from model.disk import swap
from model.disk.guard import hash_of
from model.disk.leftovers import KEPT, TEMP_MARK
from model.disk.save import save
from model.errors import NotSaved

READ, SAVED, REPLACED = 0, 1, 2
"""Places of the shared numbers: their last version that ours has read, how often ours saved, and
from there on 1 for each of their versions that they know to have replaced."""
PATIENCE = 3
"""Saves after which a version that was not read will never be."""
PAUSE = 0.0005
"""Seconds that theirs waits at most before the next version: about as long as a save takes."""
END = "whole\n"


def version(whose: str, number: int) -> bytes:
    """Return a version: whose it is, its number, some length, and a last line that ends it."""
    filling = f"# {number}\n" * (20 + number % 200)
    return f"{whose} = {number}\n{filling}{END}".encode()


def told_of(data: bytes) -> tuple[str, int] | None:
    """Return whose version it is and its number; None where it is torn."""
    whose, _, rest = data.partition(b"\n")[0].decode().partition(" = ")
    is_whole = rest.isdigit() and data == version(whose, int(rest))
    return (whose, int(rest)) if is_whole else None


def renamed(path: Path, data: bytes, rng: Random) -> None:
    """Write to a file of its own and give it the page's name."""
    other = path.with_name("theirs")
    other.write_bytes(data)
    other.replace(path)


def in_place(path: Path, data: bytes, rng: Random) -> None:
    """Write over the file itself: emptied first, or from its beginning on and then cut."""
    if rng.random() < 0.5:
        path.write_bytes(data)
        return
    with path.open("r+b") as file:
        file.write(data)
        file.truncate()


def in_place_slowly(path: Path, data: bytes, rng: Random) -> None:
    """Open the file, and write over it a moment later."""
    with path.open("r+b", buffering=0) as file:
        time.sleep(rng.uniform(0, 0.001))
        file.write(data)
        file.truncate()


def in_any_case(path: Path, data: bytes, rng: Random) -> bytes:
    """Rename without waiting for ours, and return what was displaced, which is then known."""
    other = path.with_name("theirs")
    other.write_bytes(data)
    assert swap.exchange(other, path)
    displaced = other.read_bytes()
    other.unlink()
    return displaced


Way = Callable[[Path, bytes, Random], bytes | None]


@dataclass(slots=True)
class Both:
    """What came of the two writing at the same time."""

    theirs: int
    read: set[int] = field(default_factory=set)
    kept: set[int] = field(default_factory=set)
    replaced: set[int] = field(default_factory=set)
    saved: int = 0
    refused: int = 0
    torn: int = 0

    @property
    def destroyed(self) -> set[int]:
        """Their versions that nobody has read or replaced, and that are nowhere any more."""
        return set(range(1, self.theirs + 1)) - self.read - self.kept - self.replaced

    def told(self) -> str:
        """Say the counts."""
        replaced = f", {len(self.replaced)} they replaced themselves" if self.replaced else ""
        return (
            f"{self.theirs} versions of theirs: {len(self.read)} read, {len(self.kept)} kept "
            f"beside{replaced}, {len(self.destroyed)} destroyed; "
            f"ours saved {self.saved}, refused {self.refused}"
        )


def write_both(path: Path, way: Way, versions: int, seed: int) -> Both:
    """Let someone else write so many versions, while ours saves all the time."""
    path.write_bytes(version("ours", 0))
    shared = memoryview(mmap.mmap(-1, 8 * (REPLACED + versions + 1))).cast("q")
    child = os.fork()
    if child == 0:
        try:
            _write_theirs(path, way, versions, shared, Random(seed))
            os._exit(0)
        finally:
            os._exit(1)
    both = Both(versions)
    _save_until(path, both, shared, child)
    both.replaced = {number for number in range(1, versions + 1) if shared[REPLACED + number]}
    both.kept = _kept_beside(path)
    return both


def _write_theirs(path: Path, way: Way, versions: int, shared: memoryview, rng: Random) -> None:
    for number in range(1, versions + 1):
        until = time.perf_counter() + rng.uniform(0, PAUSE)
        while time.perf_counter() < until:
            pass
        before = way(path, version("theirs", number), rng)
        if before is not None:
            told = told_of(before)
            if told and told[0] == "theirs":
                shared[REPLACED + told[1]] = 1
            continue
        enough = shared[SAVED] + PATIENCE
        while shared[READ] < number and shared[SAVED] < enough:
            time.sleep(0)


def _save_until(path: Path, both: Both, shared: memoryview, child: int) -> None:
    """Save until the other one is done, and then once more."""
    done = 0
    while not done:
        done, status = os.waitpid(child, os.WNOHANG)
        _save_once(path, both, shared)
    assert status == 0, "the other writer stopped"
    while not _save_once(path, both, shared):
        pass


def _save_once(path: Path, both: Both, shared: memoryview) -> bool:
    """Read the file, and save the next version over what was read; tell whether it was saved."""
    data = path.read_bytes()
    found = told_of(data)
    if found is None:
        both.torn += 1
        return False
    if found[0] == "theirs":
        both.read.add(found[1])
        shared[READ] = found[1]
    try:
        save(path, version("ours", both.saved).decode(), hash_of(data))
    except NotSaved:
        both.refused += 1
        return False
    both.saved += 1
    shared[SAVED] = both.saved
    return True


def _kept_beside(path: Path) -> set[int]:
    kept = path.parent / KEPT
    beside = [p for p in path.parent.iterdir() if p.name.endswith(TEMP_MARK)]
    files = [*beside, *(kept.iterdir() if kept.exists() else ())]
    found = [told_of(file.read_bytes()) for file in files]
    return {told[1] for told in found if told and told[0] == "theirs"}
