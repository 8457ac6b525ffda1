"""What waits in the journal goes into the book, where the book still says what it said then."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.book.edits import ClosedEdit, Edit
from model.book.journaled import edits_of
from model.book.page_file import PageFile, changed, put
from model.disk.journal import Change, Journal, Line, PageLines

Path = tuple[str, ...]


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
    the show. Returns the page with ``held`` where the book still takes nothing. Raises as
    :func:`model.book.page_file.put` does.
    """
    held = journal.read(file.path)
    waiting = held.waiting
    if not waiting:
        return Replayed(file)
    entries = _entries(held)
    due, unfit = _due(file, entries)
    if file.page.head.closed and any(not isinstance(edit, ClosedEdit) for edit in due):
        return Replayed(file, (), waiting)
    stay = tuple(line for line in waiting if any(held.path in unfit for held in line.changes))
    going = tuple(line for line in waiting if line not in stay)
    after = file
    for edit in due:
        after = changed(after, edit)
    ids = tuple(line.id for line in going)
    if after.text == file.text:
        journal.close(file.path, ids, "saved")
        return Replayed(file, (), stay)
    paths = {path for edit in due for path, _ in edit.lines()}
    recorded = tuple(line for line in going if any(held.path in paths for held in line.changes))
    return Replayed(put(after, journal, ids), recorded, stay)


def _entries(held: PageLines) -> dict[Path, Change]:
    """Return each waiting entry once, from what it was before the first line to what it is last.

    One that a later change went over, and reached the book, waits no more.
    """
    entries: dict[Path, Change] = {}
    for line in held.lines:
        for change in line.changes:
            if line.fate == "waiting":
                first = entries.get(change.path, change)
                entries[change.path] = replace(change, before=first.before)
            elif line.fate == "saved":
                entries.pop(change.path, None)
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
