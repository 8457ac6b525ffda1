"""Building on an open page: a step made, held against the text, and put on the disk."""

from __future__ import annotations

from collections.abc import Callable

from model.book.built import built
from model.book.edits import StructureEdit
from model.book.generic import generic_kinds
from model.book.page_file import PageFile
from model.book.recording import record
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.hanging import Kinds
from model.rig.building.reverse import between
from model.rig.kind import Kind
from model.rig.page import Page

Step = Callable[[Page], Changes | Refusal]
"""A step of building that can be worked out again on the page as someone else left it."""


def known_kinds(page: Page, own: tuple[Kind, ...] = ()) -> Kinds:
    """Return every kind that a part may be of: the generic, the book's own, the page's."""
    return {**generic_kinds(), **{kind.id: kind for kind in own}, **page.by_kind}


def structure_edit(file: PageFile, step: Step, crew: str | None) -> StructureEdit | Refusal:
    """Return the edit that makes a step on a page, or why it cannot be done."""
    changes = step(file.page)
    return changes if isinstance(changes, Refusal) else edit_of(file, changes, step, crew)


def edit_of(file: PageFile, changes: Changes, step: Step, crew: str | None) -> StructureEdit:
    """Return the edit of a step that was worked out on the page: ``changes`` are what it gave."""
    after = built(file, changes, crew)
    return StructureEdit(
        what=changes.what, at=changes.at, before=file.text, after=after.text,
        page_before=file.page, page_after=after.page, step=step, crew=crew,
    )  # fmt: skip


def step_between(edit: StructureEdit) -> Step:
    """Return a step that does what an edit does, on a page that was changed elsewhere since."""
    return lambda page: between(page, edit.page_before, edit.page_after, edit.what)


def build(
    file: PageFile, step: Step, crew: str | None = None
) -> tuple[PageFile, StructureEdit] | Refusal:
    """Make a step and save it; return the page and what was done. Raises as recording does."""
    edit = structure_edit(file, step, crew)
    if isinstance(edit, Refusal):
        return edit
    return record(file, edit), edit
