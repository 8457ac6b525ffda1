"""A save on a disk that refuses, and what must hold after it: nothing torn, nothing lost."""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import dataclass, field
from functools import cache, partial
from pathlib import Path

from model.clean import clean_lines
from model.disk.guard import hash_of
from model.disk.leftovers import KEPT, TEMP_MARK, collect
from model.disk.lock import LOCK_NAME
from model.disk.save import save
from model.errors import ClampbookError, NotConfirmed, NotSaved, UnreadableFile
from tests.disk_faults import Disk, Fault

OURS = (NotSaved, NotConfirmed, UnreadableFile)
TORN, LOST = "torn", "said to be saved and lost"
UNTRUE = "where what is said is not so"
DESTROYED = "of someone else's versions destroyed"
OTHERS = "other exceptions"
UNTOLD = "messages that leave something out"
LITTER = "files left that nobody knows"
OPEN = "handles left open"
STUCK = "where the next save does not work"
WRONG = (TORN, LOST, UNTRUE, DESTROYED, OTHERS, UNTOLD, LITTER, OPEN, STUCK)
"""What must not be, in the order that it is printed in."""
SIZES = {"small": 3, "large": 700}
"""Lines of a version: a few, or more than Python's buffer holds."""


@cache
def text_of(word: str, size: str) -> str:
    """Return a version, which one can tell from every other."""
    return f"# {word}, 太鼓\n" * SIZES[size]


@dataclass(frozen=True, slots=True)
class Scene:
    """What is there before a save, what the disk does not know, what someone else does meanwhile.

    ``theirs`` is how someone else's version comes at the last moment: renamed to the page's name,
    written in place, twice; or empty for nobody.
    """

    is_new: bool
    unknown: tuple[str, ...] = ()
    theirs: str = ""
    size: str = "small"

    @property
    def late_at(self) -> str:
        """The last operation before which the save can still see what someone else wrote."""
        one_step = ("link", "exchange") if self.is_new else ("exchange",)
        known = [operation for operation in one_step if operation not in self.unknown]
        return known[0] if known else "fsync of the file"

    @property
    def old(self) -> bytes | None:
        """What the page holds before the save; None for a new one."""
        return None if self.is_new else text_of("old", self.size).encode()

    @property
    def new(self) -> str:
        """What is saved."""
        return text_of("new", self.size)


_DISKS = (
    *((False, ()), (False, ("exchange",))),
    *((True, ()), (True, ("link",)), (True, ("link", "exchange"))),
)
SCENES = tuple(
    Scene(is_new, unknown, theirs, size)
    for size in SIZES
    for is_new, unknown in _DISKS
    for theirs in ("", "renamed", "in place", "twice")
    if theirs != "twice" or (is_new, unknown) == (False, ())
)


@dataclass(slots=True)
class Tally:
    """What the trials came to. Everything in ``wrong`` must stay at 0."""

    trials: int = 0
    struck: int = 0
    told: Counter[str] = field(default_factory=Counter)
    hit: Counter[Fault] = field(default_factory=Counter)
    wrong: Counter[str] = field(default_factory=Counter)
    first: dict[str, str] = field(default_factory=dict)

    def note(self, sorts: list[str], how: str) -> None:
        """Count what must not be, and keep how the first of each sort came about."""
        for sort in sorts:
            self.wrong[sort] += 1
            self.first.setdefault(sort, how)


class Bench:
    """A folder with one page, made new for each trial."""

    def __init__(self, folder: Path, disk: Disk) -> None:
        self.folder, self.disk, self.page = folder, disk, folder / "page.toml"
        self.came: list[bytes] = []

    def set_up(self, scene: Scene) -> None:
        """Bring the folder to what it is before the save."""
        for folder in (self.folder / KEPT, self.folder):
            for name in names(folder) - {KEPT, LOCK_NAME}:
                (folder / name).unlink()
        self.came = []
        if scene.old is not None:
            self.page.write_bytes(scene.old)

    def save(self, scene: Scene, faults: tuple[Fault, ...]) -> Exception | None:
        """Save under faults; return what was raised."""
        words = {"": (), "twice": ("theirs", "theirs again")}.get(scene.theirs, ("theirs",))
        late = tuple(partial(self._theirs, scene, word) for word in words)
        before = None if scene.old is None else hash_of(scene.old)
        self.disk.begin(faults, scene.unknown, scene.late_at, late)
        try:
            save(self.page, scene.new, before)
        except Exception as error:
            return error
        finally:
            self.disk.end()
        return None

    def _theirs(self, scene: Scene, word: str) -> None:
        data = text_of(word, scene.size).encode()
        if scene.theirs == "in place":
            self.page.write_bytes(data)
        else:
            other = self.folder / "theirs"
            other.write_bytes(data)
            other.replace(self.page)
        self.came.append(data)

    def found(self) -> bytes | None:
        """Return what the page holds, None where there is none."""
        return self.page.read_bytes() if self.page.exists() else None

    def is_all_there(self) -> bool:
        """Tell whether each of someone else's versions is the page, or in a file beside it."""
        if not self.came:
            return True
        folders = (self.folder, self.folder / KEPT)
        files = [folder / name for folder in folders for name in names(folder) - {KEPT}]
        return {*self.came} <= {path.read_bytes() for path in files}


def names(folder: Path) -> set[str]:
    """Return the names in a folder; none where there is no folder."""
    try:
        return set(os.listdir(folder))  # noqa: PTH208 - several times in each trial
    except FileNotFoundError:
        return set()


def try_once(bench: Bench, scene: Scene, faults: tuple[Fault, ...], tally: Tally) -> None:
    """Save once under faults, and count what came of it."""
    bench.set_up(scene)
    free = _free_handle()
    error = bench.save(scene, faults)
    tally.trials += 1
    tally.struck += bool(bench.disk.struck)
    tally.told[type(error).__name__ if error else "saved"] += 1
    tally.hit.update(bench.disk.struck)
    wrong = [*_what_is_there(bench, scene, error), *_what_is_said(bench, error)]
    if _free_handle() != free:
        wrong.append(OPEN)  # and the lock may be held for ever
    else:
        wrong += _what_comes_next(bench, scene)
    tally.note(wrong, f"{scene} {faults} {error!r}")


def _free_handle() -> int:
    handle = os.dup(0)
    os.close(handle)
    return handle


def _what_is_there(bench: Bench, scene: Scene, error: Exception | None) -> list[str]:
    found, new = bench.found(), scene.new.encode()
    wrong = []
    if found not in (scene.old, new, *bench.came):
        wrong.append(TORN)
    if error is None and found != new:
        wrong.append(LOST)
    # Who comes a second time comes after ours was in place: then that is the file.
    if isinstance(error, NotConfirmed) and found not in (new, *bench.came[1:]):
        wrong.append(UNTRUE)
    is_refused = isinstance(error, NotSaved | UnreadableFile)
    if is_refused and found not in (bench.came if bench.came else (scene.old,)):
        wrong.append(UNTRUE)
    if not bench.is_all_there():
        wrong.append(DESTROYED)
    known = {bench.page.name, LOCK_NAME, KEPT}
    strangers = [n for n in names(bench.folder) - known if not _is_unfinished(n, bench.page)]
    return [*wrong, *([LITTER] if strangers else ())]


def _is_unfinished(name: str, page: Path) -> bool:
    return name.startswith(f".{page.name}.") and name.endswith(TEMP_MARK)


def _what_is_said(bench: Bench, error: Exception | None) -> list[str]:
    if error is None:
        return []
    if not isinstance(error, OURS):
        return [OTHERS]
    return [] if is_told_whole(error, bench.page) else [UNTOLD]


def is_told_whole(error: ClampbookError, page: Path) -> bool:
    """Tell whether an error says what, where and what is right, fit for a terminal."""
    text, problems = error.text(), error.problems
    parts = [part for p in problems for part in (p.what, p.right, p.path)]
    is_told = bool(parts) and all(part and part in text for part in parts)
    return is_told and text == clean_lines(text) and {p.path for p in problems} == {str(page)}


def _what_comes_next(bench: Bench, scene: Scene) -> list[str]:
    """Save without faults and tidy up: that must be as if nothing had been."""
    found, following = bench.found(), text_of("next", scene.size)
    if found in bench.came:
        bench.came.remove(found)  # read, and replaced on purpose
    try:
        save(bench.page, following, None if found is None else hash_of(found))
    except ClampbookError:
        return [STUCK]
    collect(bench.folder)
    wrong = [] if bench.found() == following.encode() else [STUCK]
    if not names(bench.folder) <= {bench.page.name, LOCK_NAME, KEPT}:
        wrong.append(LITTER)
    return wrong if bench.is_all_there() else [*wrong, DESTROYED]
