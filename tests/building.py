"""A book made from nothing, and steps of building on its page without a screen."""

from __future__ import annotations

from datetime import UTC, date, datetime
from itertools import count
from pathlib import Path

from model.book.build import structure_edit
from model.book.edits import StructureEdit
from model.book.generic import generic_kinds
from model.book.new_rig import NewRig, new_book
from model.book.page_file import PageFile, changed
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.hanging import Kinds
from model.rig.building.naming import PAIR, Pair
from model.rig.page import Page

KINDS: Kinds = generic_kinds()


def counted() -> Pair:
    """Return pairs in order, so that a run can be told again."""
    numbers = count()

    def pair() -> str:
        number = next(numbers)
        return PAIR[number // len(PAIR) % len(PAIR)] + PAIR[number % len(PAIR)]

    return pair


def empty_rig(folder: Path, crew: tuple[str, ...] = ("AK",)) -> PageFile:
    """Return the first page of a new book, on which there is nothing yet."""
    began = datetime(2026, 1, 5, 10, 0, tzinfo=UTC)
    return new_book(folder / "rig", NewRig("Side rack", date(2026, 1, 5), began, crew=crew))


class Bench:
    """A page being built in memory: each step in text and value, each undone by its inverse."""

    def __init__(self, file: PageFile) -> None:
        self.file, self.done = file, list[StructureEdit]()
        self.pair = counted()
        self.said = ""

    @property
    def page(self) -> Page:
        """The page in hand."""
        return self.file.page

    @property
    def kinds(self) -> Kinds:
        """Every kind that is known."""
        return {**KINDS, **self.page.by_kind}

    def do(self, changes: Changes | Refusal, crew: str | None = "AK") -> str:
        """Make a step; return the id of the part to look at. Fails where it was refused."""
        assert not isinstance(changes, Refusal), changes.text()
        edit = structure_edit(self.file, lambda _page: changes, crew)
        assert isinstance(edit, StructureEdit)
        self.file = changed(self.file, edit)
        self.done.append(edit)
        self.said = edit.what
        return edit.at

    def undo(self) -> None:
        """Take the last step back."""
        edit = self.done.pop()
        self.file = changed(self.file, edit.undone_on(self.file.page))

    def named(self, name: str) -> str:
        """Return the id of the part of that name."""
        (part,) = (part for part in self.page.parts if part.name == name)
        return part.id
