"""An open page: its file, its text and its value, changed together and saved before they count."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path as FilePath

import tomli

from model.book.edits import Edit, SettingEdit, SettingsEdit, edit_text
from model.book.faults import Faults
from model.book.into_values import setting_value
from model.book.journaled import changes_of
from model.book.read import parse_page
from model.book.tokens import Index
from model.disk.guard import read_text
from model.disk.journal import Journal, Way
from model.disk.save import GONE, REFUSED, check_unchanged, save
from model.errors import CannotDo, ClampbookError, NotConfirmed, NotSaved, Problem, UnreadableFile
from model.rig.page import Page
from model.rig.setting import Setting

_TAKES_NOTHING = frozenset({REFUSED, GONE, "system"})
"""Full, read-only, unplugged: what was typed is right, and the book cannot take it now."""


@dataclass(frozen=True, slots=True)
class Held:
    """Changes that the disk refused: in the journal at ``where``, and not in the book yet."""

    ids: tuple[str, ...]
    where: FilePath
    problem: Problem


@dataclass(frozen=True, slots=True)
class PageFile:
    """A page as it stands on disk. ``name`` is what other pages call it.

    With ``held`` the text is ahead of the disk, whose own is the one that ``sha256`` tells.
    """

    path: FilePath
    text: str
    sha256: str
    page: Page
    index: Index
    problems: tuple[Problem, ...] = ()
    held: Held | None = None

    @property
    def name(self) -> str:
        """The file's name without its ending."""
        return self.path.stem


def open_page(path: FilePath) -> PageFile:
    """Open a page; raises :class:`UnreadableFile` with every reason where it cannot be read."""
    held = read_text(path)
    read = parse_page(held.text, str(path))
    if read.page is None:
        raise UnreadableFile(f"{path.name} cannot be read", read.problems)
    return PageFile(path, held.text, held.sha256, read.page, read.index, read.problems)


def changed(file: PageFile, edit: Edit) -> PageFile:
    """Return the page with the edit made in text and value, not saved yet.

    Raises :class:`NotSaved` if the two would not agree: then nothing is written.
    """
    text, index = edit_text(file.text, file.index, edit)
    page = edit.on_page(file.page)
    _check(file, edit, text, index, page)
    return replace(file, text=text, page=page, index=index)


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
    return put(after, journal, () if line is None else (line,))


def put(file: PageFile, journal: Journal | None = None, lines: tuple[str, ...] = ()) -> PageFile:
    """Save a page whose text is ahead of the disk; ``lines`` are the journal's for what is new.

    Returns and raises as :func:`record` does.
    """
    every = (*(file.held.ids if file.held else ()), *lines)
    try:
        sha256 = save(file.path, file.text, file.sha256)
    except NotConfirmed:
        raise  # the lines wait: the next opening finds them in the book, or records them again
    except ClampbookError as error:
        if journal is None:
            raise
        if not lines or error.problems[0].code not in _TAKES_NOTHING:
            journal.close(file.path, lines, "aside")
            raise
        return replace(file, held=Held(every, journal.path_of(file.path), error.problems[0]))
    if journal is not None:
        journal.close(file.path, every, "saved")
    return replace(file, sha256=sha256, held=None)


def _noted(file: PageFile, edit: Edit, journal: Journal | None, what: str, way: Way) -> str | None:
    """Note an edit in the journal; a journal that takes nothing keeps nobody from saving."""
    if journal is None:
        return None
    try:
        return journal.note(file.path, what, way, changes_of(edit, file.page))
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


def _check(file: PageFile, edit: Edit, text: str, index: Index, page: Page) -> None:
    """Hold the new text against the new value: the lines alone where only settings changed."""
    same_length = text.count("\n") == file.text.count("\n")
    if isinstance(edit, SettingEdit | SettingsEdit) and same_length:
        before, after = file.text.split("\n"), text.split("\n")
        differ = {i for i, (a, b) in enumerate(zip(before, after, strict=True), 1) if a != b}
        for key, setting in edit.settings:
            place = index.places.get(("record", *key.split(".")))
            if place is None or _setting_in(file, place.value_in(after), key) != setting:
                raise _disagree(file, key)
            differ.discard(place.line)
        if differ:
            raise _disagree(file, edit.settings[0][0])
        return
    read = parse_page(text, str(file.path))
    if read.page != page:
        raise _disagree(file, ", ".join(".".join(path) for path, _ in edit.lines()))


def _setting_in(file: PageFile, value: str, key: str) -> Setting | None:
    declared = file.page.declared.get(key)
    faults = Faults(str(file.path))
    quantity = declared.quantity if declared else None
    try:
        table = tomli.loads(f"k = {value}")["k"]
    except ValueError:
        return None
    return setting_value(("record", key), table, quantity, faults)


def _disagree(file: PageFile, key: str) -> NotSaved:
    problem = Problem(
        code="text-and-value",
        what="the changed text would not say what was recorded",
        why="this is a fault of Clampbook's; nothing was written",
        right="report it with the page; meanwhile the line can be changed in an editor",
        path=str(file.path),
        key=key,
    )
    return NotSaved("not saved; the old file is whole", (problem,))
