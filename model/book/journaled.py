"""A change of a page as the journal holds it: entries of TOML text, and back to the edit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import tomli

from model.book.edits import ClosedEdit, CrewNoteEdit, Edit, RemarksEdit, SettingEdit, SettingsEdit
from model.book.faults import Faults
from model.book.into_values import setting_value
from model.book.layout import value_text
from model.disk.journal_lines import Change
from model.rig.page import Page, Remarks
from model.rig.setting import Setting

Entry = tuple[tuple[str, ...], str]
"""An entry's key, and its value as TOML text."""


def changes_of(edit: Edit, page: Page) -> tuple[Change, ...]:
    """Return what an edit changes on ``page``, before and after."""
    before = edit.undone_on(page).lines()
    return tuple(
        Change(path, value_text(old), value_text(new))
        for (path, new), (_, old) in zip(edit.lines(), before, strict=True)
    )


def edits_of(page: Page, entries: Iterable[Entry]) -> tuple[Edit, ...] | None:
    """Return the edits that make the entries so: settings in one, then notes, then closing.

    None where an entry does not fit the page: its setting is not declared, or it says nothing that
    can be read.
    """
    settings: dict[str, Setting] = {}
    remarks: dict[str, Remarks] = {}
    last: list[Edit] = []
    for path, text in entries:
        value = _value(text)
        match path:
            case ("record", owner, "note" | "photos") if not _has_notes(page, owner):
                return None
            case ("record", owner, "note") if isinstance(value, str):
                held = _remarks(page, remarks, owner)
                remarks[owner] = held.model_copy(update={"note": value})
            case ("record", owner, "photos") if isinstance(value, list):
                held = _remarks(page, remarks, owner)
                remarks[owner] = held.model_copy(update={"photos": tuple(map(str, value))})
            case ("record", *rest) if isinstance(value, dict):
                setting = _setting(page, ".".join(rest), value)
                if setting is None:
                    return None
                settings[".".join(rest)] = setting
            case ("notes", crew) if isinstance(value, str):
                last.append(CrewNoteEdit(crew, value))
            case ("closed",) if isinstance(value, bool):
                last.append(ClosedEdit(value))
            case _:
                return None
    edits: list[Edit] = []
    if len(settings) == 1:
        edits.append(SettingEdit(*next(iter(settings.items()))))
    elif settings:
        edits.append(SettingsEdit(tuple(settings.items())))
    edits += [RemarksEdit(owner, held) for owner, held in remarks.items()]
    return (*edits, *sorted(last, key=lambda edit: isinstance(edit, ClosedEdit)))


def _has_notes(page: Page, owner: str) -> bool:
    return owner in page.by_id or owner in page.by_spot or owner in page.notes_on


def _remarks(page: Page, found: dict[str, Remarks], owner: str) -> Remarks:
    return found.get(owner) or page.notes_on.get(owner, Remarks())


def _value(text: str) -> Any:
    try:
        return tomli.loads(f"k = {text}")["k"]
    except (ValueError, RecursionError, MemoryError):
        return None


def _setting(page: Page, key: str, table: dict[str, Any]) -> Setting | None:
    declared = page.declared.get(key)
    if declared is None:
        return None
    return setting_value(("record", key), table, declared.quantity, Faults(""))
