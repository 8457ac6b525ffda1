"""What waits in the journal goes into the book, where the book still says what it said then."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, replace

from model.book.edits import ClosedEdit, Edit
from model.book.journaled import edits_of
from model.book.page_file import PageFile, changed, open_page
from model.book.recording import put
from model.disk.journal import Journal
from model.disk.journal_lines import Change, Line
from model.disk.told import CHANGED
from model.errors import ClampbookError, NotSaved

Path = tuple[str, ...]
TRIES = 5
"""How often it is tried while someone else writes the page at the same time."""


@dataclass(frozen=True, slots=True)
class Replayed:
    """A page with what waited: the lines that went in, and those that somebody has to look at."""

    file: PageFile
    recorded: tuple[Line, ...] = ()
    stay: tuple[Line, ...] = ()


def replay(file: PageFile, journal: Journal) -> Replayed:
    """Record the waiting changes of a page, in one save; three ways, entry by entry.

    What the page says as it did before the change gets it; what it says already is done; what
    says something else by now stays waiting, and so does everything on a page that was closed for
    the show. Returns the page with ``held`` where the book still takes nothing. A page that someone
    else writes meanwhile is read again. Raises as :func:`model.book.recording.put` does: then
    every line still waits.
    """
    for last in (*[False] * (TRIES - 1), True):
        try:
            return _replay(file, journal)
        except NotSaved as error:
            if last or all(problem.code != CHANGED for problem in error.problems):
                raise
        file = open_page(file.path)
    raise AssertionError("the last try returns or raises")


def lines_of(file: PageFile, journal: Journal) -> tuple[Line, ...]:
    """Return what the journal has of a page: not of another one that had its name before."""
    return tuple(line for line in journal.read(file.id).lines if line.of == file.id.of)


def _replay(file: PageFile, journal: Journal) -> Replayed:
    lines = lines_of(file, journal)
    waiting = tuple(line for line in lines if line.fate == "waiting")
    if not waiting:
        return Replayed(file)
    entries = _entries(lines)
    due, unfit = _due(file, entries)
    if file.page.head.closed and any(not isinstance(edit, ClosedEdit) for edit in due):
        return Replayed(file, (), waiting)
    stay = tuple(line for line in waiting if any(held.path in unfit for held in line.changes))
    going = tuple(line.id for line in waiting if line not in stay)
    after = file
    for edit in due:
        after = changed(after, edit)
    if after.text == file.text:
        return Replayed(_confirmed(after, journal, going), (), stay)
    paths = {path for edit in due for path, _ in edit.lines()}
    recorded = tuple(line for line in waiting if any(held.path in paths for held in line.changes))
    return Replayed(put(after, journal, going), recorded, stay)


def _confirmed(file: PageFile, journal: Journal, going: tuple[str, ...]) -> PageFile:
    """Write a page that says everything already once more: nobody knows that the disk has it.

    After a flush that failed only a fresh file can be trusted. Where that is refused they wait on.
    """
    after = file
    with suppress(ClampbookError):
        after = put(file, journal, going) if going else file
    return file if after.held is not None else after


def _entries(lines: Iterable[Line]) -> dict[Path, Change]:
    """Return each waiting entry once, from what it was before the first line to what it is last.

    One that a later change went over knowingly, and that reached the book, waits no more.
    """
    entries: dict[Path, Change] = {}
    for line in lines:
        for change in line.changes:
            held = entries.get(change.path)
            if line.fate == "waiting":
                entries[change.path] = replace(change, before=held.before) if held else change
            elif line.fate == "saved" and held is not None and held.after == change.before:
                del entries[change.path]
    return entries


def _due(file: PageFile, entries: dict[Path, Change]) -> tuple[list[Edit], set[Path]]:
    """Return the edits that the page is to get, and the entries that are otherwise by now."""
    due: list[tuple[Path, str]] = []
    unfit: set[Path] = set()
    for path, change in entries.items():
        if _says(file, path, change.after):
            continue
        if _says(file, path, change.before):
            due.append((path, change.after))
        else:
            unfit.add(path)
    return list(edits_of(file.page, due) or ()), unfit


def _says(file: PageFile, path: Path, text: str) -> bool:
    """Tell whether the page says so already, whatever way it is written."""
    edits = edits_of(file.page, [(path, text)])
    return edits is not None and all(edit.undone_on(file.page) == edit for edit in edits)
