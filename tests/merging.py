"""Two people change one page on their own; git merges it; the values are read by tomllib alone."""

from __future__ import annotations

import re
import subprocess
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

LINE = re.compile(r"^([a-z0-9_.-]+) = \{.*\}.*$")


@dataclass
class Sheet:
    """A page as plain lines: what a hand does to it in an editor, or the program line by line."""

    lines: list[str]

    @classmethod
    def of(cls, text: str) -> Sheet:
        """Return the sheet of a text."""
        return cls(text.split("\n"))

    @property
    def text(self) -> str:
        """The text again."""
        return "\n".join(self.lines)

    def settings(self) -> list[str]:
        """Return the keys of the record's settings, in the file's order."""
        start = self.lines.index("[record]")
        end = next(i for i, line in enumerate(self.lines) if line.startswith("# ---- the kinds"))
        return [m[1] for line in self.lines[start:end] if (m := LINE.match(line))]

    def put(self, key: str, value: str) -> None:
        """Put a value behind a key of the record, whatever stood there."""
        (index,) = [i for i, line in enumerate(self.lines) if line.startswith(f"{key} = ")]
        self.lines[index] = f"{key} = {value}"

    def above(self, start: str, block: list[str], occurrence: int) -> None:
        """Put a block above the n-th line that is ``start``, with a blank line after."""
        places = [i for i, line in enumerate(self.lines) if line == start]
        at = places[occurrence]
        self.lines[at:at] = [*block, ""]

    def read(self, key: str, number: float, by: str) -> None:
        """Record a reading."""
        self.put(key, f'{{ read = {number}, using = "tape", by = "{by}" }}')

    def add_mount(self, crew: str, part: str, on: str) -> None:
        """Add a mount above the crew member's own line: its table and its record."""
        mark = f"# added on this page by {crew}"
        table = [f"[part.{part}]", 'type = "mount"', f'name = "New {part}"', 'kind = "ball-arm"',
                 f'on = "{on}"']  # fmt: skip
        self.above(mark, table, 0)
        record: list[str] = []
        for name in ("slide", "spin", "tilt"):
            record += [f"{part}.{name} = {{ open = true }}", ""]
        record += [f'{part}.note = ""', "", f"{part}.photos = []"]
        self.above(mark, record, 1)


def merged(folder: Path, base: str, ours: str, theirs: str) -> tuple[int, str]:
    """Merge by ``git merge-file``; return how many conflicts, and the text."""
    names = [folder / name for name in ("ours", "base", "theirs")]
    for path, text in zip(names, (ours, base, theirs), strict=True):
        path.write_text(text, "utf-8")
    done = subprocess.run(
        ["git", "merge-file", "-p", *map(str, names)], capture_output=True, check=False
    )
    return done.returncode, done.stdout.decode()


def leaves(page: dict[str, Any], path: tuple[str, ...] = ()) -> dict[tuple[str, ...], Any]:
    """Return every value of a page by its path; a setting's inline table is one value."""
    found: dict[tuple[str, ...], Any] = {}
    for key, value in page.items():
        whole = not isinstance(value, dict) or (path[:1] == ("record",) and _is_setting(value))
        found.update({(*path, key): value} if whole else leaves(value, (*path, key)))
    return found


def _is_setting(table: dict[str, Any]) -> bool:
    return bool(table.keys() & {"read", "seen", "carried", "open", "follows"})


def expected(base: str, ours: str, theirs: str) -> dict[tuple[str, ...], Any]:
    """Return what a right merge says: the base with both people's changes, value by value."""
    old = _leaves_of_base(base)
    a, b = (leaves(tomllib.loads(text)) for text in (ours, theirs))
    result = dict(old)
    for side in (a, b):
        for path in old.keys() - side.keys():
            result.pop(path, None)
        result.update({path: v for path, v in side.items() if old.get(path, _NONE) != v})
    return result


_NONE = object()


@cache
def _leaves_of_base(base: str) -> dict[tuple[str, ...], Any]:
    return leaves(tomllib.loads(base))


def some_number(rng: Random) -> float:
    """Return a reading to a tenth of a millimetre."""
    return round(rng.uniform(-900, 1300), 1)
