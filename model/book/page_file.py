"""An open page: its file, its text and its value, changed together and saved before they count."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath

import tomli

from model.book.edits import Edit, SettingEdit, SettingsEdit, edit_text
from model.book.faults import Faults
from model.book.into_values import setting_value
from model.book.read import parse_page
from model.book.tokens import Index
from model.disk.guard import read_text
from model.disk.save import check_unchanged, save
from model.errors import CannotDo, NotSaved, Problem, UnreadableFile
from model.rig.page import Page
from model.rig.setting import Setting


@dataclass(frozen=True, slots=True)
class PageFile:
    """A page as it stands on disk. ``name`` is what other pages call it."""

    path: FilePath
    text: str
    sha256: str
    page: Page
    index: Index
    problems: tuple[Problem, ...] = ()

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
    return PageFile(file.path, text, file.sha256, page, index, file.problems)


def record(file: PageFile, edit: Edit) -> PageFile:
    """Make an edit and save it; when this returns, it is on the disk.

    A page that is closed for the show takes no edit but its opening: raises :class:`CannotDo`.
    """
    if file.page.head.closed and edit.on_page(file.page).head.closed:
        problem = Problem(
            code="closed",
            what=f"{file.name} is closed for the show",
            why="a closed page changes only after it is opened again on purpose",
            right="open it again first",
            path=str(file.path),
        )
        raise CannotDo("the page is closed", (problem,))
    after = changed(file, edit)
    if after.text == file.text:
        check_unchanged(file.path, file.sha256)  # said to be on the disk only if it is
        return after
    sha256 = save(file.path, after.text, file.sha256)
    return PageFile(after.path, after.text, sha256, after.page, after.index, after.problems)


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
