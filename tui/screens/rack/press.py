"""What each key does on the rack screen: a pure (state, key) -> state."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from model.book.edits import ClosedEdit, SettingEdit
from model.book.take import fitting_instruments, open_edit, seen_edit
from model.picture.scene import VIEWS, View
from model.readings.quantity import LENGTH_UNITS, Refusal
from model.rig.naming import owner_names
from model.rig.page import Remarks
from tui.keys import ENTRY_STARTS, Keys
from tui.screens.rack.prompt import begin_entry, press_prompt, saving
from tui.screens.rack.rows import foldable
from tui.screens.rack.state import Ask, Prompt, PromptSort, RackState, Save, next_setting
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.cursor import moved
from tui.widgets.typed import Typed


def press(state: RackState, key: str, char: str | None, keys: Keys, height: int) -> RackState:
    """Return the state after a key; ``height`` rows are in view."""
    state = replace(state, wanted=None)
    if state.prompt is not None:
        return press_prompt(state, state.prompt, key, char)
    if char is not None and char in ENTRY_STARTS:
        return begin_entry(state, char)
    action = keys.action("rack", key)
    if action is None:
        return state
    place = moved(action, state.index, len(state.rows), height)
    if place is not None:
        return state.saying("").moved_to(place)
    return ACTIONS[action](state).without_what_was_said(state)


def _type(state: RackState) -> RackState:
    if state.row.sort != "setting":
        return _fold(state)
    return replace(state.saying(""), prompt=Prompt("reading", state.row.id))


def _seen(state: RackState) -> RackState:
    return _marked(state, "seen")


def _unknown(state: RackState) -> RackState:
    return _marked(state, "open")


def _marked(state: RackState, mark: str) -> RackState:
    if state.row.sort != "setting":
        return state.saying(f"{state.row.label} is a part; a setting is marked {mark}", "refused")
    key = state.row.id
    owner = owner_names(state.page)[state.row.owner]
    again = f"press o again: nothing is known of {owner}, {state.row.label} any more"
    if (
        mark == "open"
        and state.page.setting(key).value is not None
        and (state.message.text != again)
    ):
        return state.saying(again)
    edit: SettingEdit | Refusal
    if mark == "seen" and state.page.setting(key).state == "open":
        is_words = state.page.declared[key].quantity == "word"
        way = "Enter begins its words" if is_words else "type its value"
        return state.saying(f"it is open, and has no mark to be seen at: {way}", "refused")
    if mark == "seen":
        edit = seen_edit(state.page, key, state.file.name, state.hand.by)
    else:
        edit = open_edit(state.page, key)
    if isinstance(edit, Refusal):
        return state.saying(f"refused: {edit.text()}", "refused")
    return saving(state, edit, f"{state.row.label} {mark}", step_on=True)


def _undo(state: RackState) -> RackState:
    if not state.done:
        return state.saying("nothing to undo")
    if state.page.head.closed and isinstance(state.done[-1].edit, ClosedEdit):
        return state.saying("the page is closed for the show: x twice opens it again", "refused")
    return replace(state, wanted=Save(state.done[-1], "undo"))


def _redo(state: RackState) -> RackState:
    if not state.undone:
        return state.saying("nothing to do again")
    return replace(state, wanted=Save(state.undone[-1], "redo"))


def _next_left(state: RackState) -> RackState:
    every = state.with_folded(frozenset())
    here = every.at.get(state.cursor, 0)
    turn = [*range(here + 1, len(every.rows)), *range(here + 1)]
    for index in turn:
        row = every.rows[index]
        if row.sort == "setting" and state.page.setting(row.id).state in ("carried", "open"):
            return state.shown_row(row.id)
    return state.saying("nothing is left: every setting was read or seen")


def _view(state: RackState) -> RackState:
    """Go on to the next view, and after the last to none."""
    following: dict[View | None, View | None] = dict(
        zip((None, *VIEWS), (*VIEWS, None), strict=True)
    )
    return replace(state.saying(""), view=following[state.view])


def _fold(state: RackState) -> RackState:
    owner = state.row.owner
    return replace(state, cursor=owner).with_folded(state.folded ^ {owner})


def _fold_all(state: RackState) -> RackState:
    every = foldable(state.page)
    return state.with_folded(frozenset() if state.folded else every)


def _out(state: RackState) -> RackState:
    if state.row.sort == "setting":
        return state.shown_row(state.row.owner)
    if state.row.owner not in state.folded:
        return state.with_folded(state.folded | {state.row.owner})
    part = state.page.by_id.get(state.row.owner)
    return state.shown_row(part.on[0]) if part else state


def _into(state: RackState) -> RackState:
    if state.row.sort != "setting" and state.row.owner in state.folded:
        return state.with_folded(state.folded - {state.row.owner})
    return state.moved_to(state.index + 1)


def _note(state: RackState) -> RackState:
    return _about_part(state, "note", lambda held: held.note)


def _photos(state: RackState) -> RackState:
    return _about_part(state, "photos", lambda held: ", ".join(held.photos))


def _about_part(state: RackState, sort: PromptSort, text: Callable[[Remarks], str]) -> RackState:
    owner = state.row.owner
    if owner not in state.page.by_id and owner not in state.page.by_spot:
        return state.saying("only a part or a spot has notes and photos", "refused")
    held = state.page.notes_on.get(owner, Remarks())
    return replace(state.saying(""), prompt=Prompt(sort, owner, Typed.of(text(held))))


def _page_note(state: RackState) -> RackState:
    by = state.hand.by
    if by is None:
        return state.saying("a note about the page has its writer: b says who reads", "refused")
    held = dict(state.page.crew).get(by, "")
    return replace(state.saying(""), prompt=Prompt("page note", by, Typed.of(held)))


def _instrument(state: RackState) -> RackState:
    declared = state.page.declared.get(state.row.id)
    fit = fitting_instruments(state.page, declared) if declared else []
    if declared is None or not fit:
        return state.saying("this is measured with no instrument", "refused")
    chosen = dict(state.instruments)
    turn: list[str | None] = [None, *fit]
    now = chosen.pop(declared.quantity, None)
    following = turn[(turn.index(now) + 1) % len(turn)] if now in turn else None
    if following is not None:
        chosen[declared.quantity] = following
    plural = {"length": "lengths", "angle": "angles", "teeth": "teeth"}[declared.quantity]
    words = following or "their usual instrument"
    state = replace(state, instruments=tuple(chosen.items()))
    return state.saying(f"{plural} are read with {words} from now on")


def _reader(state: RackState) -> RackState:
    typed = Typed.offer(state.hand.by or "")
    return replace(state.saying(""), prompt=Prompt("reader", "", typed))


def _find(state: RackState) -> RackState:
    return replace(state.saying(""), prompt=Prompt("find", state.cursor))


def _close(state: RackState) -> RackState:
    closed = state.page.head.closed
    again = "press x again to open it again" if closed else "press x again to close it for the show"
    if state.message.text != again:
        return state.saying(again)
    return saving(
        state, ClosedEdit(not closed), "opened again" if closed else "closed for the show"
    )


def _unit(state: RackState) -> RackState:
    turn = LENGTH_UNITS.index(state.hand.unit)
    unit = LENGTH_UNITS[(turn + 1) % len(LENGTH_UNITS)]
    return replace(state, hand=replace(state.hand, unit=unit)).saying(
        f"lengths in {UNIT_WORDS[unit]}"
    )


def _asks(ask: Ask) -> Callable[[RackState], RackState]:
    return lambda state: replace(state, wanted=ask)


ACTIONS: Mapping[str, Callable[[RackState], RackState]] = {
    "type": _type,
    "seen": _seen,
    "unknown": _unknown,
    "undo": _undo,
    "redo": _redo,
    "next_setting": next_setting,
    "last_setting": lambda state: next_setting(state, back=True),
    "next_left": _next_left,
    "find": _find,
    "note": _note,
    "page_note": _page_note,
    "photos": _photos,
    "instrument": _instrument,
    "reader": _reader,
    "other": _asks("other"),
    "view": _view,
    "fold": _fold,
    "fold_all": _fold_all,
    "out": _out,
    "into": _into,
    "close": _close,
    "unit": _unit,
    "walk": _asks("walk"),
    "differences": _asks("differences"),
    "putback": _asks("putback"),
    "build": _asks("build"),
    "look": _asks("look"),
    "problems": _asks("problems"),
    "help": _asks("help"),
    "back": _asks("back"),
    "back_too": _asks("back"),
}
