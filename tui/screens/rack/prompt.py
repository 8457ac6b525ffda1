"""A line being typed on the rack screen: readings, notes, photos, names to find, who reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import get_args

from model.book.edits import CrewNoteEdit, Edit, RemarksEdit, SettingEdit
from model.book.take import reading_edit
from model.readings.quantity import Refusal
from model.rig.naming import owner_names, parts_named, settings_named
from model.rig.page import Remarks
from tui.screens.rack.state import Prompt, PromptSort, RackState, Save, Step
from tui.widgets.typed import Typed


def begin_entry(state: RackState, text: str) -> RackState:
    """Return the state with an entry begun by its first character."""
    if state.row.sort != "setting":
        return state.saying(f"{state.row.label} is a part; its settings are below it", "refused")
    if state.page.head.closed:
        return state.saying("the page is closed for the show: x twice opens it again", "refused")
    prompt = Prompt("reading", state.row.id, Typed.of(text))
    return replace(state.saying(""), prompt=prompt)


def press_prompt(state: RackState, prompt: Prompt, key: str, char: str | None) -> RackState:
    """Return the state after a key while a line is typed."""
    if prompt.sort == "find" and key in ("down", "tab"):
        return _found(state, prompt.typed.text, following=True)
    answer = prompt.typed.press(key, char)
    if answer == "leave":
        state = replace(state, prompt=None).saying("left as it was")
        return state.shown_row(prompt.target) if prompt.sort == "find" else state
    if answer == "take":
        return _TAKEN[prompt.sort](state, prompt)
    if isinstance(answer, Typed):
        state = replace(state.saying(""), prompt=replace(prompt, typed=answer))
        return _found(state, answer.text) if prompt.sort == "find" else state
    return state


def _matches(state: RackState, text: str) -> tuple[str, ...]:
    """Return the parts that are meant, or the settings where it is one's id, with its dot."""
    return parts_named(state.page, text) or settings_named(state.page, text)


def _found(state: RackState, text: str, *, following: bool = False) -> RackState:
    """Go to the best match as one types, or to the one that follows the match in hand."""
    matches = _matches(state, text)
    if not matches:
        return state.saying(f"no part or setting is named so: {text}") if text else state
    own = state.row.id if matches[0] in state.page.declared else state.row.owner
    here = matches.index(own) + 1 if own in matches else 0
    place = here % len(matches) if following else 0
    others = f", {place + 1} of {len(matches)}: ↓ for the next" if len(matches) > 1 else ""
    names, declared = owner_names(state.page), state.page.declared.get(matches[place])
    name = f"{names[declared.owner]}, {declared.label}" if declared else names[matches[place]]
    return state.shown_row(matches[place]).saying(f"{name}{others}")


def entered(state: RackState, prompt: Prompt) -> SettingEdit | Refusal:
    """Return the edit that Enter would make of a reading being typed, or why it is refused."""
    declared = state.page.declared[prompt.target]
    using = dict(state.instruments).get(declared.quantity)
    hand = replace(state.hand, using=using)
    return reading_edit(state.page, prompt.target, prompt.typed.text, hand)


def _take_reading(state: RackState, prompt: Prompt) -> RackState:
    edit = entered(state, prompt)
    if isinstance(edit, Refusal):
        return state.saying(f"refused: {edit.text()}", "refused")
    return saving(state, edit, state.page.declared[prompt.target].label, step_on=True)


def _take_note(state: RackState, prompt: Prompt) -> RackState:
    held = state.page.notes_on.get(prompt.target, Remarks())
    remarks = Remarks(note=prompt.typed.text.strip(), photos=held.photos)
    return saving(state, RemarksEdit(prompt.target, remarks), "note")


def _take_photos(state: RackState, prompt: Prompt) -> RackState:
    names = tuple(name.strip() for name in prompt.typed.text.split(",") if name.strip())
    odd = [name for name in names if "/" in name or "\\" in name or name.startswith(".")]
    if odd:
        return state.saying(
            f"refused: {odd[0]} is not a plain file name; right: clamp-l-1.jpg", "refused"
        )
    held = state.page.notes_on.get(prompt.target, Remarks())
    return saving(
        state, RemarksEdit(prompt.target, Remarks(note=held.note, photos=names)), "photos"
    )


def _take_page_note(state: RackState, prompt: Prompt) -> RackState:
    edit = CrewNoteEdit(prompt.target, prompt.typed.text.strip())
    return saving(state, edit, "note about the page")


def _take_reader(state: RackState, prompt: Prompt) -> RackState:
    by = prompt.typed.text.strip() or None
    state = replace(state, prompt=None, hand=replace(state.hand, by=by))
    return state.saying(f"{by} reads now" if by else "readings name nobody now")


def _take_find(state: RackState, prompt: Prompt) -> RackState:
    state = replace(state, prompt=None)
    if not _matches(state, prompt.typed.text):
        return state.shown_row(prompt.target)
    if state.row.owner in state.folded:
        state = state.with_folded(state.folded - {state.row.owner})
    below = state.index + 1
    if state.row.sort == "part" and below < len(state.rows):
        row = state.rows[below]
        if row.sort == "setting" and row.owner == state.row.owner:
            return state.moved_to(below)
    return state


_TAKEN: Mapping[PromptSort, Callable[[RackState, Prompt], RackState]] = {
    "reading": _take_reading,
    "note": _take_note,
    "page note": _take_page_note,
    "photos": _take_photos,
    "find": _take_find,
    "reader": _take_reader,
}
assert set(_TAKEN) == set(get_args(PromptSort))


def saving(state: RackState, edit: Edit, what: str, *, step_on: bool = False) -> RackState:
    """Return the state that asks for an edit to be put on the disk."""
    step = Step(edit, edit.undone_on(state.page), what)
    return replace(state, wanted=Save(step, "new", step_on))
