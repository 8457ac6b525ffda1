"""The answer of looking for versions: what is printed, and ``--json``."""

from __future__ import annotations

from typing import Literal

from model.book.beside.merge import Entry
from model.book.beside.recover import Recovered
from model.book.beside.versions import Sort, Version
from model.book.edits import Edit, SettingEdit
from model.frozen import Frozen
from model.readings.entry import show_value
from model.readings.quantity import LengthUnit
from model.rig.page import Page


class EntryTold(Frozen):
    """One thing that a version says otherwise than the page, both in words."""

    key: str
    what: str
    here: str
    there: str


class VersionTold(Frozen):
    """A version beside a page: what only it has, what both say differently, what else differs.

    ``opened`` is open there, and perhaps on purpose.
    """

    number: int
    sort: Sort
    path: str
    page: str
    base: str = ""
    only_there: tuple[EntryTold, ...] = ()
    both: tuple[EntryTold, ...] = ()
    opened: tuple[EntryTold, ...] = ()
    other: tuple[str, ...] = ()
    problem: str | None = None
    right: str | None = None


class Took(Frozen):
    """What was recorded from a version, and what of it is still to be looked at."""

    page: str
    path: str
    taken: tuple[EntryTold, ...]
    left: tuple[EntryTold, ...]
    settled: bool
    kept: str | None = None


class VersionsFound(Frozen):
    """Every version beside a book's pages; ``took`` where something was taken from one.

    ``elsewhere`` tells pages that are not there now, and that changes wait for; ``damaged`` the
    journals that have lines which say nothing any more.
    """

    answer: Literal["recover"] = "recover"
    version: Literal[1] = 1
    book: str
    versions: tuple[VersionTold, ...]
    took: Took | None = None
    elsewhere: tuple[str, ...] = ()
    damaged: tuple[str, ...] = ()


def version_told(number: int, version: Version, unit: LengthUnit) -> VersionTold:
    """Tell a version by its number: what both say, where there is a page to hold it against."""
    merged, page, problem = version.merge, version.here, version.problem
    told = VersionTold(
        number=number,
        sort=version.sort,
        path=str(version.path),
        page=version.page.stem if version.page.suffix == ".toml" else version.page.name,
        base=version.base,
        problem=problem.what if problem else None,
        right=problem.right if problem else None,
    )
    if merged is None or page is None:
        return told
    return told.model_copy(
        update={
            "only_there": entries_told(merged.only_there, page, unit),
            "both": entries_told(merged.both, page, unit),
            "opened": entries_told(merged.opened, page, unit),
            "other": merged.other,
        }
    )


def took_told(recovered: Recovered, unit: LengthUnit) -> Took:
    """Tell what was taken."""
    file = recovered.file
    return Took(
        page=file.name,
        path=str(file.path),
        taken=entries_told(recovered.taken, file.page, unit),
        left=entries_told(recovered.left, file.page, unit),
        settled=recovered.settled,
        kept=str(file.held.where) if file.held else None,
    )


def entries_told(entries: tuple[Entry, ...], page: Page, unit: LengthUnit) -> tuple[EntryTold, ...]:
    """Tell what both versions say of each entry."""
    return tuple(
        EntryTold(
            key=entry.key,
            what=entry.what,
            here=edit_words(entry.here, page, unit),
            there=edit_words(entry.there, page, unit),
        )
        for entry in entries
    )


def edit_words(edit: Edit, page: Page, unit: LengthUnit) -> str:
    """Say what an edit makes of its one entry: ``read 812 mm (AK)``."""
    if isinstance(edit, SettingEdit):
        setting = edit.setting
        if setting.value is None:
            return setting.state
        asked = page.declared[edit.key].asked(unit)
        who = f" ({setting.by})" if setting.by else ""
        return f"{setting.state} {show_value(setting.value, asked)}{who}"
    texts = [value for _, value in edit.lines()]
    words = [text if isinstance(text, str) else ", ".join(map(str, text)) for text in texts
             if isinstance(text, (str, list, tuple)) and text]  # fmt: skip
    return "; ".join(words) or "nothing"
