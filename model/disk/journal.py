"""The journal: every accepted change, noted outside the book before the book is written.

It is for the reading that the book's folder refuses (full, read-only, unplugged) or that a cut-off
save did not reach. Each page has a file of its own in the user's state folder; a line holds its own
checksum, so that one which was cut off is known, and says nothing.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from pathlib import Path as FilePath
from typing import Any, Literal
from zlib import crc32

from model.disk.flush import flush_folder
from model.disk.guard import read_bytes
from model.errors import ClampbookError

Way = Literal["new", "undo", "redo"]
Fate = Literal["waiting", "saved", "aside"]
"""In the journal alone; in the book; looked at by someone, and not wanted in the book."""
MOST = 400_000
"""Bytes of a page's journal beyond which its oldest saved lines go."""
STAY = 200
"""Lines that stay when the oldest go: what can still be undone."""


@dataclass(frozen=True, slots=True)
class Change:
    """One entry of a page's text: its key, and its value as TOML before and after."""

    path: tuple[str, ...]
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Line:
    """One change of a page: when, what it is called, its entries, and what became of it."""

    id: str
    at: str
    what: str
    way: Way
    changes: tuple[Change, ...]
    fate: Fate = "waiting"


@dataclass(frozen=True, slots=True)
class PageLines:
    """A page's lines in order, and how many were cut off or damaged."""

    page: FilePath
    lines: tuple[Line, ...] = ()
    damaged: int = 0

    @property
    def waiting(self) -> tuple[Line, ...]:
        """The lines that are in the journal alone."""
        return tuple(line for line in self.lines if line.fate == "waiting")


@dataclass(frozen=True, slots=True)
class Journal:
    """The folder of journals, and the clock that dates their lines."""

    folder: FilePath
    clock: Callable[[], datetime]

    def path_of(self, page: FilePath) -> FilePath:
        """Return the file of a page's journal, whether or not it is there."""
        name = hashlib.sha256(str(page.resolve()).encode("utf-8", "surrogateescape")).hexdigest()
        return self.folder / f"{name[:24]}.log"

    def note(self, page: FilePath, what: str, way: Way, changes: Iterable[Change]) -> str:
        """Note a change, and return its id once it is on the disk; raises :class:`OSError`."""
        line = Line(secrets.token_hex(6), self.clock().isoformat(), what, way, tuple(changes))
        path = self.path_of(page)
        is_new = not path.exists()
        if is_new:
            self.folder.mkdir(parents=True, exist_ok=True)
            _append(path, [_sealed({"page": str(page.resolve())})], flush=False)
        fields = asdict(line)
        del fields["fate"]
        _append(path, [_sealed(fields)], flush=True)
        if is_new:
            flush_folder(self.folder)
        return line.id

    def close(self, page: FilePath, ids: Iterable[str], fate: Fate) -> None:
        """Note what became of some lines.

        A note that does not arrive is no loss: the line is found in the book at the next opening.
        """
        path = self.path_of(page)
        with suppress(OSError):
            _append(path, [_sealed({"id": id_, "fate": fate}) for id_ in ids], flush=False)
            if path.stat().st_size > MOST:
                self._shorten(page)

    def read(self, page: FilePath) -> PageLines:
        """Return a page's lines; one that cannot be read counts as damaged."""
        return replace(_read(self.path_of(page)), page=page)

    def pages(self) -> tuple[PageLines, ...]:
        """Return the lines of every page that has some waiting, or some damaged."""
        try:
            paths = sorted(self.folder.glob("*.log"))
        except OSError:
            return ()
        every = (_read(path) for path in paths)
        return tuple(held for held in every if held.waiting or held.damaged)

    def _shorten(self, page: FilePath) -> None:
        from model.disk.save import save

        path = self.path_of(page)
        with suppress(ClampbookError):
            before = read_bytes(path)
            held = _read(path)
            saved = [line for line in held.lines if line.fate == "saved"][-STAY:]
            stay = {line.id for line in (*saved, *held.waiting)}
            lines = [_sealed({"page": str(held.page)})]
            for line in held.lines:
                if line.id in stay:
                    fields = asdict(line)
                    fate = fields.pop("fate")
                    lines.append(_sealed(fields))
                    if fate != "waiting":
                        lines.append(_sealed({"id": line.id, "fate": fate}))
            save(path, "\n".join(lines) + "\n", hashlib.sha256(before).hexdigest())


def _sealed(fields: dict[str, Any]) -> str:
    text = json.dumps(fields, ensure_ascii=True)
    return f"{crc32(text.encode()):08x} {text}"


def _append(path: FilePath, lines: list[str], *, flush: bool) -> None:
    """Add lines, each begun on a new one, whatever the last writer left unended."""
    data = "".join(f"\n{line}\n" for line in lines).encode()
    flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT
    flags |= getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags, 0o600)
    try:
        while data:
            data = data[os.write(handle, data) :]
        if flush:
            os.fsync(handle)
    finally:
        os.close(handle)


def _read(path: FilePath) -> PageLines:
    try:
        text = read_bytes(path).decode("utf-8", "replace")
    except ClampbookError:
        return PageLines(FilePath(), damaged=int(path.exists()))
    page, damaged = FilePath(), 0
    lines: dict[str, Line] = {}
    for text_line in filter(None, text.split("\n")):
        try:
            fields = _unsealed(text_line)
            if "page" in fields:
                page = FilePath(fields["page"])
            elif "fate" in fields:
                lines[fields["id"]] = replace(lines[fields["id"]], fate=fields["fate"])
            else:
                line = _line(fields)
                lines[line.id] = line
        except (ValueError, KeyError, TypeError, RecursionError):
            damaged += 1
    return PageLines(page, tuple(lines.values()), damaged)


def _line(fields: dict[str, Any]) -> Line:
    changes = tuple(
        Change(tuple(held["path"]), held["before"], held["after"]) for held in fields.pop("changes")
    )
    return Line(**fields, changes=changes)


def _unsealed(text: str) -> dict[str, Any]:
    """Return what a line says; raises :class:`ValueError` where it is not what its seal says."""
    seal, _, body = text.partition(" ")
    fields = json.loads(body)
    if seal != f"{crc32(body.encode('utf-8', 'replace')):08x}" or not isinstance(fields, dict):
        raise ValueError("the line was cut off or changed")
    return fields
