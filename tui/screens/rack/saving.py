"""Putting a change on the disk, and saying how it went: for the rack and the walk."""

from __future__ import annotations

from model.book.page_file import PageFile, record
from model.errors import ClampbookError
from model.readings.entry import show_value
from model.rig.record_flags import limit_flag
from tui.screens.rack.state import RackState, Save, not_saved, saved


def put_on_disk(state: RackState, save: Save) -> RackState:
    """Save a change; return the state that tells how it went."""
    edit = save.step.inverse if save.way == "undo" else save.step.edit
    try:
        file = record(state.file, edit)
    except ClampbookError as error:
        return not_saved(state, error)
    return saved(state, file, save, words_for(state, file, save))


def words_for(state: RackState, file: PageFile, save: Save) -> str:
    """Say what was saved: the setting, its value, what it was, and what is odd about it."""
    done = {"new": "saved", "undo": "undone", "redo": "done again"}[save.way]
    key = getattr(save.step.edit, "key", None)
    if key is None:
        return f"{done}: {save.step.what}"
    declared, after = file.page.declared[key], file.page.setting(key)
    before = state.page.setting(key)
    asked = declared.asked(state.hand.unit)
    shown = [
        f"{s.state} {show_value(s.value, asked)}" if s.value is not None else s.state
        for s in (after, before)
    ]
    flag = limit_flag(key, after, declared)
    odd = f"; flagged: {flag.what}, {flag.why}" if flag else ""
    return f"{done}: {declared.label} {shown[0]} (was {shown[1]}){odd}"
