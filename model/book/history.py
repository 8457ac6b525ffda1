"""What can be undone of a page that is opened again: its last changes, from the journal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from model.book.edits import Edit
from model.book.journaled import edits_of
from model.disk.journal_lines import Line
from model.rig.page import Page

MOST = 200


@dataclass(frozen=True, slots=True)
class Past:
    """One change: the edit, the one that takes it back, and what it is called."""

    edit: Edit
    inverse: Edit
    what: str


def past_changes(page: Page, lines: Iterable[Line]) -> tuple[tuple[Past, ...], tuple[Past, ...]]:
    """Return what can be undone on a page, last one last, and what can be done again.

    Only what the page still says is there: a change that someone went over since, in an editor or
    on another machine, ends the list. A page that is closed for the show has nothing to undo.
    """
    if page.head.closed:
        return (), ()
    done: list[Line] = []
    undone: list[Line] = []
    for line in lines:
        if line.fate in ("aside", "moved"):
            continue
        if line.way == "new":
            done.append(line)
            undone.clear()
        else:
            here, there = (done, undone) if line.way == "undo" else (undone, done)
            if here:
                there.append(here.pop())
    return _said(page, done[-MOST:], back=True), _said(page, undone[-MOST:], back=False)


def _said(page: Page, lines: list[Line], *, back: bool) -> tuple[Past, ...]:
    """Return the last lines that follow from the page as it is, going back or forth in time."""
    found: list[Past] = []
    for line in reversed(lines):
        past = _past(page, line)
        if past is None:
            break
        now, then = (past.edit, past.inverse) if back else (past.inverse, past.edit)
        if now.undone_on(page) != now:
            break
        found.append(past)
        page = then.on_page(page)
    return tuple(reversed(found))


def _past(page: Page, line: Line) -> Past | None:
    edits = edits_of(page, [(held.path, held.after) for held in line.changes])
    inverses = edits_of(page, [(held.path, held.before) for held in line.changes])
    if not edits or not inverses or len(edits) != 1 or len(inverses) != 1:
        return None
    return Past(edits[0], inverses[0], line.what)
