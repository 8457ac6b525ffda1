"""The journal: every accepted change, noted outside the book before the book is written.

It is for the reading that the book's folder refuses (full, read-only, unplugged) or that a cut-off
save did not reach. Each page has a file of its own in the user's state folder; a line holds its own
checksum, so that one which was cut off is known, and says nothing.
"""

from __future__ import annotations

import errno
import os
import secrets
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path as FilePath

from model.disk.flush import flush_folder
from model.disk.guard import hash_of
from model.disk.journal_lines import Change, Fate, JournalText, Line, Way, fate_line, read_journal
from model.disk.lock import locked
from model.errors import ClampbookError

MOST = 100_000
"""Bytes of a page's journal beyond which its oldest saved lines go."""
STAY = 100
"""Lines that stay when the oldest go: what can still be undone."""
LARGEST = 64_000_000
"""Bytes beyond which nothing more is noted: then it is said that nothing keeps a reading."""
_ENDING = ".log"


@dataclass(frozen=True, slots=True)
class PageId:
    """Which page: where it really is, and what stays the same wherever it is put.

    ``path`` has no link in it any more: a folder that is unplugged must not change it.
    """

    path: FilePath
    of: str

    @property
    def name(self) -> str:
        """The file's name."""
        return self.path.name


@dataclass(frozen=True, slots=True)
class Journal:
    """The folder of journals, and the clock that dates their lines."""

    folder: FilePath
    clock: Callable[[], datetime]

    def path_of(self, page: PageId) -> FilePath:
        """Return the file of a page's journal, whether or not it is there."""
        return self.folder / f"{_hash(str(page.path.parent))}-{_hash(page.name)}{_ENDING}"

    def note(self, page: PageId, what: str, way: Way, changes: Iterable[Change]) -> str:
        """Note a change, and return its id once it is on the disk; raises :class:`OSError`."""
        id_, at = secrets.token_hex(6), self.clock().isoformat()
        line = Line(id_, at, what, way, tuple(changes), str(page.path), page.of)
        path = self.path_of(page)
        is_new = not path.exists()
        if is_new:
            self.folder.mkdir(parents=True, exist_ok=True)
        elif path.stat().st_size > LARGEST:
            raise OSError(errno.EFBIG, "the journal is too large", str(path))
        try:
            with locked(self.folder):
                _append(path, [line.text()], flush=True)
                if is_new:
                    flush_folder(self.folder)
        except OSError:
            # Nobody is told that it is kept: what of it did arrive must not come back.
            with suppress(OSError):
                _append(path, [fate_line(id_, "moved")], flush=False)
            raise
        return id_

    def close(self, page: PageId, ids: Iterable[str], fate: Fate) -> None:
        """Note what became of some lines.

        A note that does not arrive is no loss: the line is found in the book at the next opening.
        """
        lines = [fate_line(id_, fate) for id_ in ids]
        with suppress(OSError):
            path = self.path_of(page)
            if lines:
                with locked(self.folder):
                    _append(path, lines, flush=False)
            if path.stat().st_size > MOST:
                self._shorten(path)

    def read(self, page: PageId) -> JournalText:
        """Return what the journal has of a page, wherever the page was then.

        What was noted for it in a place that is not there any more comes into its own journal.
        """
        self._bring_home(page)
        return _read(self.path_of(page))

    def of_folder(self, folder: FilePath) -> Iterator[tuple[FilePath, JournalText]]:
        """Yield what waits, or is damaged, for the pages of a folder: the page, and its lines."""
        mine = f"{_hash(str(folder.resolve()))}-"
        for path in self._files():
            if path.name.startswith(mine):
                held = _read(path)
                if held.waiting or held.damaged:
                    yield FilePath(held.lines[-1].page) if held.lines else path, held

    def homeless(self) -> Iterator[tuple[FilePath, JournalText]]:
        """Yield what waits for pages in folders that are not there: the page, and its lines."""
        for path in self._files():
            if self._is_homeless(path) and (held := _read(path)).waiting:
                yield FilePath(held.lines[-1].page), held

    def _files(self) -> list[FilePath]:
        try:
            return sorted(self.folder.glob(f"*{_ENDING}"))
        except OSError:
            return []

    def _is_homeless(self, path: FilePath) -> bool:
        """Tell whether the folder that a journal is of is gone; quick, from its first lines."""
        with suppress(OSError):
            with path.open("rb") as file:
                first = read_journal(file.read(20_000))
            return bool(first.lines) and not FilePath(first.lines[0].page).parent.exists()
        return False

    def _bring_home(self, page: PageId) -> None:
        own = self.path_of(page)
        for path in self._files():
            if path == own or not path.name.endswith(f"-{_hash(page.name)}{_ENDING}"):
                continue
            held = _read(path)
            waiting = [
                line
                for line in held.waiting
                if line.of == page.of and not os.path.lexists(line.page)
            ]
            if not waiting:
                continue
            with suppress(OSError), locked(self.folder):
                moved = [replace(line, page=str(page.path)).text() for line in waiting]
                _append(own, moved, flush=True)
                flush_folder(self.folder)
                _append(path, [fate_line(line.id, "moved") for line in waiting], flush=True)

    def _shorten(self, path: FilePath) -> None:
        """Leave the oldest saved lines out; what waits, and what was put aside, stays."""
        from model.disk.save import save

        with suppress(ClampbookError, OSError):
            before = path.read_bytes()
            held = read_journal(before)
            saved = [line for line in held.lines if line.fate == "saved"][-STAY:]
            stay = {line.id for line in (*saved, *held.waiting)}
            stay |= {line.id for line in held.lines if line.fate == "aside"}
            lines: list[str] = []
            for line in held.lines:
                if line.id in stay:
                    lines.append(line.text())
                    if line.fate != "waiting":
                        lines.append(fate_line(line.id, line.fate))
            text = "\n".join(lines) + "\n"
            if len(text) < len(before):
                save(path, text, hash_of(before))


def _hash(text: str) -> str:
    return hash_of(text.encode("utf-8", "surrogateescape"))[:16]


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


def _read(path: FilePath) -> JournalText:
    """Return what a file of the journal says; one that cannot be read is damaged as a whole."""
    try:
        if path.is_symlink() or not path.is_file():
            return JournalText(damaged=int(os.path.lexists(path)))
        return read_journal(path.read_bytes())
    except FileNotFoundError:
        return JournalText()
    except OSError:
        return JournalText(damaged=1)
