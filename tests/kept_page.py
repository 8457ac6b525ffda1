"""A page on the disk, a plain dict of what it says, and a process that records on it.

The dict is read by the standard library's tomllib. It changes where a save was acknowledged, by
the entries that were recorded and no others, and where someone else wrote to the file.
"""

from __future__ import annotations

import tempfile
from collections import Counter
from difflib import SequenceMatcher
from itertools import takewhile
from pathlib import Path
from typing import Any

import pytest

from model.book.edits import Edit, SettingEdit
from model.book.page_file import PageFile, changed, open_page
from model.book.recording import record
from model.disk.leftovers import collect
from model.disk.save import CHANGED
from model.errors import CannotDo, ClampbookError, NotConfirmed, NotSaved, UnreadableFile
from model.rig.setting import Setting
from tests.other_hand import PAGE, Entries, comments_of, entries_of

DONE: Counter[str] = Counter()
"""What was done in all stories."""
NEVER: dict[str, Any] = {"note": "", "photos": [], "closed": False}


class KeptPage:
    """The page, and the checks of every change of it."""

    def __init__(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "2027-07-01-soundcheck.toml"
        self.path.write_text(PAGE, "utf-8")
        self.disk = PAGE
        self.entries: Entries = entries_of(PAGE) or {}
        self.versions = {PAGE}
        self.attempted: set[str] = set()
        self.file: PageFile | None = open_page(self.path)
        self.undo: list[tuple[Edit, Entries]] = []

    def open_it_anew(self) -> None:
        """The process begins again: it looks for what was cut off, then opens the page."""
        collect(self.path.parent)
        self.undo.clear()
        try:
            self.file = open_page(self.path)
        except UnreadableFile:
            self.file = None
            DONE["pages that could not be read"] += 1
        else:
            assert self.file.text == self.disk
            DONE["openings"] += 1

    def opened(self) -> PageFile:
        """Return the page as the process holds it; one that cannot be read is mended by hand."""
        if self.file is None:
            self.open_it_anew()
        if self.file is None:
            self.theirs(PAGE)
            self.open_it_anew()
        assert self.file is not None
        return self.file

    @property
    def stale(self) -> bool:
        """Whether the disk has something else than the process read or wrote last."""
        return self.file is not None and self.file.text != self.disk

    def up_to_date(self) -> None:
        """Open the page anew where someone else has written."""
        self.opened()
        if self.stale:
            self.open_it_anew()
            self.opened()

    def theirs(self, text: str) -> None:
        """Take over what someone else wrote."""
        self.path.write_text(text, "utf-8")
        self.took(text)
        DONE["changes by another"] += 1

    def took(self, text: str) -> None:
        self.disk = text
        self.versions.add(text)
        self.entries = entries_of(text) or {}

    def save(self, edit: Edit, new: Entries, *, is_undo: bool = False) -> bool:
        """Record an edit; where it is acknowledged, its entries alone have changed."""
        file = self.opened()
        before = {path: self.entries.get(path, _never(path)) for path in new}
        try:
            self.file = record(file, edit)
        except (CannotDo, NotSaved) as error:
            is_closed = self.refused(file, error)
            return not is_closed and not is_undo and self.save(edit, new)
        assert file.text == self.disk, "written over what another wrote"
        self.acknowledged(edit, new)
        assert open_page(self.path).page == self.file.page
        if not is_undo:
            self.undo.append((edit.undone_on(file.page), before))
        DONE["saves acknowledged"] += 1
        return True

    def refused(self, file: PageFile, error: ClampbookError) -> bool:
        """Hold a refusal to its reason: the page is closed (True), or someone else has written.

        Then it says: open it again, then record; and so it is opened.
        """
        if error.problems[0].code == "closed":
            assert file.page.head.closed
            DONE["refused, the page being closed"] += 1
            return True
        assert self.stale, error
        assert {problem.code for problem in error.problems} == {CHANGED}
        DONE["refused, another having written"] += 1
        self.open_it_anew()
        return False

    def acknowledged(self, edit: Edit, new: Entries) -> None:
        """Take over our own change, after a look at every line of it."""
        text = self.path.read_text("utf-8")
        comments = comments_of(self.disk)
        old, now = self.disk.split("\n"), text.split("\n")
        gone, added = differing(old, now)
        assert len(gone) <= 1, (gone, added)
        places = {path for path in new if path not in self.entries}
        assert len([line for line in added if line]) <= max(1, len(places)) + 1, (gone, added)
        assert bool(gone) or not added or bool(places), "a line was added that was there"
        expected = {**self.entries, **new}
        self.took(text)
        assert self.entries == expected
        assert comments_of(text) == comments

    def save_badly(self, key: str, outcome: type[BaseException], theirs: str | None = None) -> None:
        """Record while something goes wrong: the disk has the old version or the new, whole."""
        file = self.opened()
        value = 7.25 if self.entries.get(path_of(key)) != {"read": 7.25, "by": "bad"} else 8.5
        edit = SettingEdit(key, Setting(state="read", value=value, by="bad"))
        self.attempted.add(changed(file, edit).text)
        was_stale, is_closed = self.stale, file.page.head.closed
        with pytest.raises((outcome, NotSaved, CannotDo)) as refused:
            record(file, edit)
        now = self.path.read_text("utf-8")
        if is_closed or was_stale:
            assert isinstance(refused.value, CannotDo if is_closed else NotSaved)
            assert now == self.disk
        elif theirs is not None:
            assert now == theirs, "what another wrote at the last moment is gone"
            self.took(theirs)
        elif outcome is NotSaved:
            assert now == self.disk, "said not to be saved, and is"
        elif outcome is NotConfirmed or now != self.disk:
            assert isinstance(refused.value, outcome)
            self.acknowledged(edit, {path_of(key): {"read": value, "by": "bad"}})


def path_of(key: str) -> tuple[str, ...]:
    """Return a setting's key as the path of its entry."""
    return ("record", *key.split("."))


def _never(path: tuple[str, ...]) -> Any:
    if path[0] == "notes":
        return ""
    return NEVER.get(path[-1], {"open": True})


def differing(old: list[str], new: list[str]) -> tuple[list[str], list[str]]:
    """Return the lines that are gone and those that came; all others are in their old order."""
    first = len(list(takewhile(lambda pair: pair[0] == pair[1], zip(old, new, strict=False))))
    ends = zip(reversed(old[first:]), reversed(new[first:]), strict=False)
    last = len(list(takewhile(lambda pair: pair[0] == pair[1], ends)))
    old, new = old[first : len(old) - last], new[first : len(new) - last]
    gone, added = [], []
    for what, i, j, k, m in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if what != "equal":
            gone += old[i:j]
            added += new[k:m]
    return gone, added
