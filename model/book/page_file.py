"""An open page: its file, its text and its value, changed together and saved before they count."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path as FilePath

import tomli

from model.book.edits import Edit, SettingEdit, SettingsEdit, StructureEdit, edit_text
from model.book.faults import Faults
from model.book.into_values import setting_value
from model.book.read import parse_page
from model.book.tokens import Index
from model.disk.guard import read_text
from model.disk.journal import PageId
from model.errors import CannotDo, NotSaved, Problem, UnreadableFile
from model.rig.page import Page
from model.rig.setting import Setting


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
    ``real`` is where it was when it was opened, without links.
    """

    path: FilePath
    text: str
    sha256: str
    page: Page
    index: Index
    problems: tuple[Problem, ...] = ()
    held: Held | None = None
    real: FilePath | None = None

    @property
    def id(self) -> PageId:
        """Which page it is, for the journal: where it was when it was opened, and its beginning."""
        return PageId(self.real or self.path, self.page.head.began.isoformat())

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
    return PageFile(
        path, held.text, held.sha256, read.page, read.index, read.problems, real=real_path(path)
    )


def real_path(path: FilePath) -> FilePath:
    """Return a path without links in it; as it is where that cannot be told."""
    try:
        return path.resolve()
    except (OSError, RuntimeError):
        return path.absolute()


def changed(file: PageFile, edit: Edit) -> PageFile:
    """Return the page with the edit made in text and value, not saved yet.

    Raises :class:`NotSaved` if the two would not agree: then nothing is written.
    """
    if isinstance(edit, StructureEdit):
        return _rebuilt(file, edit)
    text, index = edit_text(file.text, file.index, edit)
    page = edit.on_page(file.page)
    _check(file, edit, text, index, page)
    return replace(file, text=text, page=page, index=index)


def _rebuilt(file: PageFile, edit: StructureEdit) -> PageFile:
    """Return the page with the whole text that a step of building makes of this one."""
    if file.text != edit.before:
        problem = Problem(
            code="changed-since",
            what=f"the page was changed since: {edit.what}",
            why="what was built can be undone only where nobody wrote in between",
            right="undo what came after it first, or build it back",
            path=str(file.path),
        )
        raise CannotDo("not done", (problem,))
    read = parse_page(edit.after, str(file.path))
    if read.page is None or read.page != edit.page_after:
        raise _disagree(file, edit.what)
    return replace(file, text=edit.after, page=read.page, index=read.index, problems=read.problems)


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
