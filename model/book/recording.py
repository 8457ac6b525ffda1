"""Recording: a change is noted in the journal, then saved; a book that takes nothing loses none."""

from __future__ import annotations

from dataclasses import replace

from model.book.edits import Edit, StructureEdit
from model.book.journaled import changes_of
from model.book.page_file import Held, PageFile, changed
from model.disk import told
from model.disk.journal import Journal
from model.disk.journal_lines import Way
from model.disk.save import check_unchanged, save
from model.disk.told import GONE, REFUSED
from model.errors import CannotDo, ClampbookError, NotConfirmed, Problem

_TAKES_NOTHING = frozenset({REFUSED, GONE, "system"})
"""Full, read-only, unplugged: what was typed is right, and the book cannot take it now."""


def record(
    file: PageFile, edit: Edit, journal: Journal | None = None, what: str = "", way: Way = "new"
) -> PageFile:
    """Make an edit and save it; when this returns, it is on the disk.

    With a journal it is noted there first, under the name ``what``: a book that takes nothing then
    leaves a page with ``held``, whose changes go into the book with the next one that it takes.
    Without one, or where the journal is refused too, that raises :class:`NotSaved`. A page that is
    closed for the show takes no edit but its opening: raises :class:`CannotDo`.
    """
    _check_open(file, edit)
    after = changed(file, edit)
    if after.text == file.text and file.held is None:
        check_unchanged(file.path, file.sha256)  # said to be on the disk only if it is
        return after
    line = _noted(file, edit, journal, what, way)
    try:
        return put(after, journal, () if line is None else (line,))
    except NotConfirmed:
        raise  # the line waits: the next opening finds it in the book, or records it again
    except ClampbookError:
        if journal is not None and line is not None:
            journal.close(file.id, (line,), "moved")  # whoever goes on with it notes it anew
        raise


def put(file: PageFile, journal: Journal | None = None, lines: tuple[str, ...] = ()) -> PageFile:
    """Save a page whose text is ahead of the disk; ``lines`` are the journal's for what is new.

    They wait until it is saved. Returns and raises as :func:`record` does; a page with ``held``
    whose changes someone else took from the journal meanwhile is one that was changed underneath.
    """
    every = (*(file.held.ids if file.held else ()), *lines)
    if file.held is not None and journal is not None and not _still_wait(file, journal):
        raise told.changed(file.path)
    try:
        sha256 = save(file.path, file.text, file.sha256)
    except NotConfirmed:
        raise
    except ClampbookError as error:
        if journal is None or not lines or error.problems[0].code not in _TAKES_NOTHING:
            raise
        return replace(file, held=Held(every, journal.path_of(file.id), error.problems[0]))
    if journal is not None:
        journal.close(file.id, every, "saved")
    return replace(file, sha256=sha256, held=None)


def _still_wait(file: PageFile, journal: Journal) -> bool:
    waiting = {line.id for line in journal.read(file.id).waiting}
    return file.held is None or waiting.issuperset(file.held.ids)


def _noted(file: PageFile, edit: Edit, journal: Journal | None, what: str, way: Way) -> str | None:
    """Note an edit in the journal; a journal that takes nothing keeps nobody from saving."""
    if journal is None or isinstance(edit, StructureEdit):
        return None  # a rig is not built at stage side: what cannot be saved is said
    try:
        return journal.note(file.id, what, way, changes_of(edit, file.page))
    except OSError:
        return None


def _check_open(file: PageFile, edit: Edit) -> None:
    if file.page.head.closed and edit.on_page(file.page).head.closed:
        problem = Problem(
            code="closed",
            what=f"{file.name} is closed for the show",
            why="a closed page changes only after it is opened again on purpose",
            right="open it again first",
            path=str(file.path),
        )
        raise CannotDo("the page is closed", (problem,))
