"""Two versions of a page, setting by setting: what only one has, and where they disagree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.book.edits import CrewNoteEdit, Edit, RemarksEdit, SettingEdit, SettingsEdit
from model.rig.naming import owner_names
from model.rig.page import Page, Remarks
from model.rig.setting import carried_on

_UNTOUCHED = frozenset({"carried", "open", "follows"})


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that the other version says otherwise: what it is, here and there.

    ``key`` names it: a setting, or a part's or a crew member's note as ``part.note``, ``notes.AK``.
    """

    key: str
    what: str
    here: Edit
    there: Edit


@dataclass(frozen=True, slots=True)
class Merge:
    """How another version of a page differs from the page.

    ``only_there`` was recorded there alone and can be taken as it is; ``both`` was recorded on
    both, differently; ``other`` says what else differs, which is not taken by setting. ``opened``
    is open there and has a value here: without what both were made from nobody can tell whether it
    was opened on purpose.
    """

    only_there: tuple[Entry, ...]
    both: tuple[Entry, ...]
    other: tuple[str, ...]
    opened: tuple[Entry, ...] = ()

    @property
    def is_same(self) -> bool:
        """Whether the other version says nothing that the page does not say."""
        return not (self.only_there or self.both or self.other or self.opened)

    @property
    def asked(self) -> tuple[Entry, ...]:
        """What is taken only where it is asked for, entry by entry."""
        return (*self.both, *self.opened)


def merge(here: Page, there: Page, base: Page | None = None) -> Merge:
    """Hold another version of a page against it, three ways, setting by setting.

    ``base`` is what both were made from, as it stood on a page just begun. Without one a setting
    counts as untouched while it is carried, open or following: a page that was just begun has no
    others. What the page went further with stays as it is.
    """
    only_there: list[Entry] = []
    both: list[Entry] = []
    opened: list[Entry] = []
    for entry in _entries(here, there):
        if entry.here == entry.there:
            continue
        if base is None and _is_opened(entry):
            opened.append(entry)
        elif not _untouched(entry.there, base):
            (only_there if _untouched(entry.here, base) else both).append(entry)
    return Merge(tuple(only_there), tuple(both), tuple(_other(here, there)), tuple(opened))


def _is_opened(entry: Entry) -> bool:
    here, there = entry.here, entry.there
    if not isinstance(here, SettingEdit) or not isinstance(there, SettingEdit):
        return False
    return there.setting.state == "open" and here.setting.value is not None


def begun_base(source: Page, name: str) -> Page:
    """Return a page as the next one begins with it, everything carried, for the base of two."""
    record = {key: carried_on(setting, name) for key, setting in source.record}
    page = source.with_settings(record)
    for owner, _ in source.remarks:
        page = page.with_remarks(owner, Remarks())
    for crew, _ in source.crew:
        page = page.with_crew_note(crew, "")
    return page


def taking(entries: tuple[Entry, ...]) -> tuple[Edit, ...]:
    """Return the edits that make a page say what the other version says; settings in one."""
    settings = [
        pair for e in entries if isinstance(e.there, SettingEdit) for pair in e.there.settings
    ]
    others = [entry.there for entry in entries if not isinstance(entry.there, SettingEdit)]
    return (*([SettingsEdit(tuple(settings))] if settings else []), *others)


def _entries(here: Page, there: Page) -> Iterator[Entry]:
    names = owner_names(here)
    for key, declared in here.declared.items():
        if key in there.declared:
            what = f"{names[declared.owner]}, {declared.label}"
            edit = SettingEdit(key, there.setting(key))
            yield Entry(key, what, edit.undone_on(here), edit)
    for owner in names.keys() & there.notes_on.keys():
        told = RemarksEdit(owner, there.notes_on[owner])
        yield Entry(f"{owner}.note", f"note on {names[owner]}", told.undone_on(here), told)
    for crew, note in there.crew:
        said = CrewNoteEdit(crew, note)
        yield Entry(f"notes.{crew}", f"{crew}'s note about the page", said.undone_on(here), said)


def _untouched(edit: Edit, base: Page | None) -> bool:
    if base is not None and not (isinstance(edit, SettingEdit) and edit.key not in base.declared):
        return edit.undone_on(base) == edit
    match edit:
        case SettingEdit():
            setting = edit.setting
            return setting.state in _UNTOUCHED and not (
                setting.state == "follows" and setting.value
            )
        case RemarksEdit():
            return edit.remarks == Remarks()
        case CrewNoteEdit():
            return not edit.note
    return False


def _other(here: Page, there: Page) -> Iterator[str]:
    only = [key for key in there.declared if key not in here.declared]
    if only:
        yield f"settings of other parts: {', '.join(only[:4])}{' …' if len(only) > 4 else ''}"
    if here.parts != there.parts:
        yield "parts are declared otherwise"
    if here.head.closed != there.head.closed:
        yield "it is closed there" if there.head.closed else "it is closed here"
    if here.head.venue != there.head.venue:
        yield f"the house is {there.head.venue or 'not named'} there"
    for field in ("kinds", "instruments", "marks", "spots"):
        if getattr(here, field, None) != getattr(there, field, None):
            yield f"{field} are written otherwise"
