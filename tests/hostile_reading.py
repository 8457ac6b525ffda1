"""A process that reads hostile inputs: ``python -m tests.hostile_reading FIRST COUNT [STEP]``.

Each input is a file of a book and goes through every reader of its sort. The process prints what
it counted as JSON; a traceback, or anything else that may not be, ends it with the input's number.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
import time
import unicodedata
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from model.book.book import read_book
from model.book.edits import SettingEdit
from model.book.heads import count_in, list_book, read_book_head
from model.book.page_file import PageFile, changed, open_page
from model.book.ticks import read_ticks
from model.errors import ClampbookError, Problem
from model.rig.setting import taken
from tests.format_one import FOLDER
from tests.hostile import hostile
from tests.hostile_mutations import Sort

UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
BATCH = 50
NAMES: dict[Sort, str] = {"book": "book.toml", "ticks": "a--b.putback", "page": ""}


@dataclass
class Tally:
    """What was counted, and the input that took longest."""

    counts: Counter[str] = field(default_factory=Counter)
    slowest: float = 0.0
    slowest_input: int = -1

    def took(self, seconds: float, number: int) -> None:
        """Remember the slowest."""
        if seconds > self.slowest:
            self.slowest, self.slowest_input = seconds, number


class Folder:
    """A book whose files are written in place: making a file costs more than reading one."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.book, self.broken = root / "book", root / "broken"
        for folder in (self.book, self.broken):
            folder.mkdir()
        (self.book / "book.toml").write_bytes((FOLDER / "book.toml").read_bytes())
        self.handles: dict[Path, int] = {}

    def path(self, sort: Sort, place: int) -> Path:
        """Return the file that an input is written to; pages have a place in their batch."""
        if sort == "page":
            return self.book / f"page-{place:02}.toml"
        return self.broken / NAMES[sort]

    def write(self, path: Path, data: bytes) -> None:
        """Let a file hold nothing but ``data``."""
        handle = self.handles.get(path)
        if handle is None:
            handle = self.handles[path] = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        os.ftruncate(handle, len(data))
        os.pwrite(handle, data, 0)

    def untouched(self, path: Path, data: bytes) -> bool:
        """Tell whether a file holds what was written, byte for byte, and nothing stands beside."""
        return os.pread(self.handles[path], len(data) + 1, 0) == data


def read_all(numbers: Iterable[int], tally: Tally) -> None:
    """Read every input, a batch at a time: the whole batch is listed before each is opened."""
    with tempfile.TemporaryDirectory() as root:
        folder = Folder(Path(root))
        batch: dict[Path, tuple[int, bytes]] = {}
        for number in numbers:
            sort, data = hostile(number)
            path = folder.path(sort, len(batch))
            folder.write(path, data)
            if sort != "page":
                _read_one(folder, path, number, data, "", tally)
                continue
            batch[path] = (number, data)
            if len(batch) == BATCH:
                _read_batch(folder, batch, tally)
                batch = {}
        _read_batch(folder, batch, tally)
        left = {path.name for path in Path(root).rglob("*") if path.is_file()}
        assert left <= {path.name for path in folder.handles} | {"book.toml"}, left
        for handle in folder.handles.values():
            os.close(handle)


def _read_batch(folder: Folder, batch: dict[Path, tuple[int, bytes]], tally: Tally) -> None:
    listed: dict[Path, str] = {}
    try:
        listing = list_book(folder.book)
    except BaseException:
        print("listed:", *(number for number, _ in batch.values()), file=sys.stderr)
        raise
    listed.update({page.path: "" for page in (*listing.pages, *(c for c, _ in listing.copies))})
    for error in listing.unreadable:
        listed[Path(error.problems[0].path or "")] = check_told(error)
    for path, (number, data) in batch.items():
        try:
            assert path in listed, "one file's faults hide another file"
        except AssertionError:
            print(f"input {number}: {data!r}", file=sys.stderr)
            raise
        _read_one(folder, path, number, data, listed[path], tally)


def _read_one(
    folder: Folder, path: Path, number: int, data: bytes, listed: str, tally: Tally
) -> None:
    try:
        _read(folder, path, number, data, listed, tally)
    except BaseException:
        print(f"input {number}, as {path.name}: {data!r}", file=sys.stderr)
        raise


def _read(folder: Folder, path: Path, number: int, data: bytes, listed: str, tally: Tally) -> None:
    begun = time.perf_counter()
    told = ""
    try:
        if path.name == NAMES["book"]:
            read_book_head(path.parent)
            problems = read_book(path.parent).problems
        elif path.name == NAMES["ticks"]:
            problems = ()
            read_ticks(path)
        else:
            file = open_page(path)
            problems = file.problems
            assert not listed, f"a page that opens is listed: {listed}"
            assert sum(count_in(path).values()) >= 0
            if number % 4 == 0:
                _edit(file, Random(number))
    except ClampbookError as error:
        told = check_told(error)
    else:
        check_problems(problems)
        assert not any(problem.grave for problem in problems), "opened with a grave fault"
    tally.took(time.perf_counter() - begun, number)
    assert folder.untouched(path, data), "the file was touched"
    tally.counts["refused" if told else "read"] += 1
    tally.counts[path.suffix if path.parent != folder.book else "page"] += 1


def _edit(file: PageFile, rng: Random) -> None:
    """Make an edit of what was read: it is made, or refused with its reason, and never breaks."""
    key, setting = rng.choice(file.page.record)
    declared = file.page.declared.get(key)
    value = 3 if declared and declared.quantity == "teeth" else 3.5
    try:
        changed(file, SettingEdit(key, taken(setting, value, by="AK")))
    except ClampbookError as error:
        check_told(error)


def acting(text: str) -> set[str]:
    """Return the characters of a message that steer a terminal, hide or turn text round.

    The Unicode database's categories say so, and not the program's own sanitiser.
    """
    return {char for char in text if unicodedata.category(char) in UNFIT} - {"\n"}


def check_told(error: ClampbookError) -> str:
    """Hold a refusal to: what, where, what is right, and no character that acts."""
    text = error.text()
    assert error.problems, "refused without a reason"
    assert any(problem.grave for problem in error.problems)
    assert not acting(text), "a character that acts"
    _whole(error.problems)
    return text


def check_problems(problems: tuple[Problem, ...]) -> None:
    """Hold flags to the same."""
    text = "\n".join(problem.text() for problem in problems)
    assert not acting(text), "a character that acts"
    _whole(problems)


def _whole(problems: tuple[Problem, ...]) -> None:
    for problem in problems:
        assert problem.what, problem
        assert problem.right, problem
        assert problem.path or problem.key, problem


def main(first: int, count: int, step: int = 1) -> None:
    """Read ``count`` inputs and print what was counted."""
    tally = Tally()
    read_all(range(first, first + count * step, step), tally)
    slowest = {"seconds": tally.slowest, "input": tally.slowest_input}
    print(json.dumps({"counts": tally.counts, "slowest": slowest}))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
