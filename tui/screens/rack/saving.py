"""Putting a change on the disk, and saying how it went: for the rack and the walk."""

from __future__ import annotations

import contextlib
from dataclasses import replace

from model.book.build import edit_of, step_between
from model.book.edits import Edit, StructureEdit
from model.book.page_file import Held, PageFile, open_page
from model.book.recording import record
from model.book.replay import Replayed, replay
from model.compare.settings import difference_of
from model.disk.save import CHANGED
from model.errors import ClampbookError, NotConfirmed
from model.readings.entry import show_change, show_value
from model.readings.quantity import Refusal
from model.rig.building.reverse import changed_by_another
from model.rig.naming import owner_names
from model.rig.record_flags import limit_flag
from tui.places import short_path
from tui.screens.rack.state import RackState, Save, Step, not_saved, reopened, saved


def put_on_disk(state: RackState, save: Save) -> RackState:
    """Save a change; return the state that tells how it went."""
    edit = save.step.inverse if save.way == "undo" else save.step.edit
    left = save.step.edit if save.way == "undo" else save.step.inverse
    if isinstance(edit, StructureEdit) and edit.before != state.file.text:
        return _built_anew(state, save, edit)
    if save.way != "new" and left.on_page(state.page) != state.page:
        # The step is not the last word on these lines: someone else wrote there since.
        words = f"someone else changed {save.step.what} since: it stays as it is now; type it anew"
        return replace(state, wanted=None).saying(words, "refused")
    try:
        file = record(state.file, edit, state.journal, _called(state, save), save.way)
    except NotConfirmed as error:
        # It is in place all the same: go on from what the disk holds now.
        with contextlib.suppress(ClampbookError):
            state = reopened(state, open_page(state.file.path))
        return _not_confirmed(not_saved(state, error))
    except ClampbookError as error:
        if any(problem.code == CHANGED for problem in error.problems):
            built = isinstance(edit, StructureEdit)
            return (_built_anew if built else _on_the_new_page)(state, save, edit)
        return not_saved(state, error)
    return saved(state, file, save, words_for(state, file, save))


def _called(state: RackState, save: Save) -> str:
    """Return what a change is called in the journal, where no row stands beside it."""
    key = getattr(save.step.edit, "key", None)
    if key is None:
        return save.step.what
    declared = state.page.declared[key]
    return f"{owner_names(state.page)[declared.owner]}, {declared.label}"


def _not_confirmed(state: RackState) -> RackState:
    if state.journal is None:
        return state
    noted = f"{state.message.text}; it is noted in {short_path(state.journal.folder)} as well"
    return state.saying(noted, "refused")


def _on_the_new_page(state: RackState, save: Save, edit: Edit) -> RackState:
    """Go on with the page as someone else left it.

    What they did not touch is recorded there, with what the disk had refused before. Where they
    changed the same lines, theirs is shown and what was typed stays, to be taken again on purpose.
    """
    try:
        fresh, others = open_page(state.file.path), ""
        if state.journal is not None and state.file.held is not None:
            replayed = replay(fresh, state.journal)
            fresh, others = replayed.file, stay_words(replayed)
        keys = [key for key, _ in getattr(edit, "settings", ())]
        if any(key in state.page.declared and key not in fresh.page.declared for key in keys):
            after = replace(reopened(state, fresh), prompt=None, wanted=None)
            typed = f"; you typed {state.prompt.typed.text}" if state.prompt else ""
            words = f"not saved: someone else took that part off the page meanwhile{typed}"
            return after.saying(words, "refused")
        theirs = edit.undone_on(fresh.page) != edit.undone_on(state.page)
        after = reopened(state, fresh)
        if theirs:
            words = "not saved: someone else changed the same line; once more records yours over it"
            return replace(after, wanted=None).saying(f"{words}{others}", "refused")
        file = record(fresh, edit, state.journal, _called(state, save), save.way)
    except ClampbookError as error:
        return not_saved(state, error)
    words = words_for(after, file, save)
    return saved(after, file, save, f"{words}; someone else's changes came in as well{others}")


def _built_anew(state: RackState, save: Save, edit: Edit) -> RackState:
    """Make a step of building on the page as someone else left it, where it can be made there."""
    assert isinstance(edit, StructureEdit)
    try:
        fresh = open_page(state.file.path)
        if state.journal is not None and state.file.held is not None:
            fresh = replay(fresh, state.journal).file
        after = replace(reopened(state, fresh), wanted=None)
        step = edit.step if edit.step is not None and save.way == "new" else step_between(edit)
        changes = step(fresh.page)
        if isinstance(changes, Refusal):
            return after.saying(f"not done, the page was changed: {changes.text()}", "refused")
        if theirs := changed_by_another(fresh.page, edit.page_before, changes):
            words = f"not done: someone else changed {theirs}; once more does it on theirs"
            return after.saying(words, "refused")
        again = edit_of(fresh, changes, step, edit.crew)
        file = record(fresh, again)
    except ClampbookError as error:
        return not_saved(state, error)
    back = again.undone_on(fresh.page)
    done = Step(back, again, again.what) if save.way == "undo" else Step(again, back, again.what)
    word = {"new": "saved", "undo": "undone", "redo": "done again"}[save.way]
    words = f"{word}: {again.what}; someone else's changes came in as well"
    return saved(after, file, replace(save, step=done), words)


def replayed_words(replayed: Replayed) -> str:
    """Say what of the journal went into the book when a page was opened."""
    words = ""
    if recorded := replayed.recorded:
        what = ", ".join(line.what for line in recorded[:3]) + (" …" if len(recorded) > 3 else "")
        if replayed.file.held is None:
            words = f"{_changes(len(recorded))} that had not reached the book: now saved ({what})"
        else:
            words = kept_words(replayed.file.held)
    return f"{words}{stay_words(replayed)}".removeprefix("; ")


def stay_words(replayed: Replayed) -> str:
    """Say that something waits which the page says otherwise by now, or is closed for."""
    if not replayed.stay:
        return ""
    number = _changes(len(replayed.stay))
    if replayed.file.page.head.closed:
        return f"; {number} not in the book, the page is closed: open it again and come back"
    return f"; {number} kept, the page says otherwise by now: v on the book tells"


def kept_words(held: Held) -> str:
    """Say that the disk refused a page's last changes, why, and where they are safe."""
    number, why = _changes(len(held.ids)), held.problem.what
    where = short_path(held.where.parent)
    return f"{number} not in the book yet: {why}. Safe in {where}; the next reading saves all"


def _changes(number: int) -> str:
    return "1 change" if number == 1 else f"{number} changes"


def words_for(state: RackState, file: PageFile, save: Save) -> str:
    """Say what was saved: the setting, its value, what it was, and what is odd about it."""
    if file.held is not None:
        return kept_words(file.held)
    done = {"new": "saved", "undo": "undone", "redo": "done again"}[save.way]
    before_that = state.file.held
    waited = f"; so is what the disk had refused ({len(before_that.ids)})" if before_that else ""
    key = getattr(save.step.edit, "key", None)
    if key is None:
        return f"{done}: {save.step.what}{waited}"
    declared, after = file.page.declared[key], file.page.setting(key)
    before = state.page.setting(key)
    asked = declared.asked(state.hand.unit)
    shown = [
        f"{s.state} {show_value(s.value, asked)}" if s.value is not None else s.state
        for s in (after, before)
    ]
    flag = limit_flag(key, after, declared, state.hand.unit)
    odd = f"; flagged: {flag.what}, {flag.why}" if flag else ""
    change = ""
    if isinstance(after.value, int | float) and isinstance(before.value, int | float):
        by = difference_of(before.value, after.value, declared)
        change = f", {show_change(by, asked)}" if by else ", the same"
    return f"{done}: {declared.label} {shown[0]} (was {shown[1]}{change}){odd}{waited}"
