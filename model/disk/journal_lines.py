"""The lines of a journal: each sealed with its own checksum; text to values and back."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from typing import Any, Literal, get_args
from zlib import crc32

Way = Literal["new", "undo", "redo"]
Fate = Literal["waiting", "saved", "aside", "moved"]
"""In the journal alone; in the book; looked at by someone, and not wanted in the book; noted anew
in another line."""


@dataclass(frozen=True, slots=True)
class Change:
    """One entry of a page's text: its key, and its value as TOML before and after."""

    path: tuple[str, ...]
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Line:
    """One change of a page: when, what it is called, its entries, and what became of it.

    ``page`` is where the page was, and ``of`` says which one it is.
    """

    id: str
    at: str
    what: str
    way: Way
    changes: tuple[Change, ...]
    page: str = ""
    of: str = ""
    fate: Fate = "waiting"

    def text(self) -> str:
        """Return the line as it is noted; its fate is a line of its own."""
        held = asdict(self)
        del held["fate"]
        return sealed(held)


@dataclass(frozen=True, slots=True)
class JournalText:
    """A page's lines in order, and how many are damaged: not those that were cut off."""

    lines: tuple[Line, ...] = ()
    damaged: int = 0

    @property
    def waiting(self) -> tuple[Line, ...]:
        """The lines that are in the journal alone."""
        return tuple(line for line in self.lines if line.fate == "waiting")


def sealed(held: dict[str, Any]) -> str:
    """Return a line: the checksum of what it says, and what it says."""
    text = json.dumps(held, ensure_ascii=True)
    return f"{crc32(text.encode()):08x} {text}"


def fate_line(line_id: str, fate: Fate) -> str:
    """Return the line that says what became of another one."""
    return sealed({"id": line_id, "fate": fate})


def read_journal(data: bytes) -> JournalText:
    """Return what a journal says. A line that was cut off says nothing: nobody was told of it."""
    damaged = 0
    lines: dict[str, Line] = {}
    for text in filter(None, data.decode("utf-8", "replace").split("\n")):
        try:
            held = _unsealed(text)
            if "fate" in held:
                if held["fate"] not in get_args(Fate):
                    raise ValueError("no such fate")
                lines[held["id"]] = replace(lines[held["id"]], fate=held["fate"])
            else:
                line = _line(held)
                lines[line.id] = line
        except (ValueError, KeyError, TypeError, RecursionError):
            damaged += text.endswith("}")
    return JournalText(tuple(lines.values()), damaged)


def _unsealed(text: str) -> dict[str, Any]:
    """Return what a line says; raises :class:`ValueError` where it is not what its seal says."""
    seal, _, body = text.partition(" ")
    if seal != f"{crc32(body.encode('utf-8', 'replace')):08x}":
        raise ValueError("the line was cut off or changed")
    held = json.loads(body)
    if not isinstance(held, dict):
        raise TypeError("a line is a table")
    return held


def _line(held: dict[str, Any]) -> Line:
    changes = tuple(
        Change(tuple(map(_text, one["path"])), _text(one["before"]), _text(one["after"]))
        for one in held["changes"]
    )
    words = {f.name: _text(held[f.name]) for f in fields(Line) if f.name not in ("changes", "fate")}
    if words["way"] not in get_args(Way):
        raise ValueError("no such way")
    return Line(**{**words, "changes": changes})  # type: ignore[arg-type]


def _text(held: object) -> str:
    if not isinstance(held, str):
        raise TypeError("a text is needed")
    return held
