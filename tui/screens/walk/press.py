"""What each key does on the walk: a pure (state, key, seconds) -> state."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from model.book.edits import Edit, SettingEdit
from model.book.take import all_seen_edit, seen_edit
from model.readings.quantity import Refusal
from model.rig.naming import owner_names
from tui.keys import ENTRY_STARTS, Keys
from tui.screens.rack.press import ACTIONS as RACK
from tui.screens.rack.prompt import begin_entry, press_prompt, saving
from tui.screens.rack.state import Save
from tui.screens.walk.state import FIRST_REPEAT, REPEAT, WalkState, stepped_on, to_next_left


def press(state: WalkState, key: str, char: str | None, keys: Keys, seconds: float) -> WalkState:
    """Return the state after a key pressed at ``seconds`` of any steady clock."""
    before, since = state, seconds - state.entered
    state = replace(state, rack=replace(state.rack, wanted=None))
    if key == "enter":
        held = 0.0 <= since < REPEAT
        state = replace(state, entered=seconds, gap=since, is_held=held)
        if held:
            return state if before.is_held else _taken_back(state, before.gap)
    else:
        state = replace(state, entered=-1.0)  # a key that is held down sends no other between
    rack = state.rack
    if rack.prompt is None:
        # Whatever the rack's own cursor did: what is drawn is what is written.
        rack = rack.shown_row(state.key)
        state = replace(state, rack=rack)
    if rack.prompt is not None:
        return replace(state, rack=press_prompt(rack, rack.prompt, key, char))
    if char is not None and char in ENTRY_STARTS:
        return replace(state, rack=begin_entry(rack, char))
    action = keys.action("walk", key)
    if action is None:
        return state
    if action in _ACTIONS:
        state = _ACTIONS[action](state)
    else:
        state = replace(state, rack=RACK[action](rack))
    return replace(state, rack=state.rack.without_what_was_said(rack))


def _taken_back(state: WalkState, gap: float) -> WalkState:
    """Take back what the Enter before marked, if it was the first repetition of a held key.

    A terminal waits a while before it repeats: that Enter came after such a while, and what it
    marked nobody looked at.
    """
    done = state.rack.done
    if not done or not FIRST_REPEAT[0] <= gap <= FIRST_REPEAT[1]:
        return state
    edit = done[-1].edit
    if not isinstance(edit, SettingEdit) or edit.setting.state != "seen":
        return state
    return replace(state, rack=replace(state.rack, wanted=Save(done[-1], "undo")))


def _confirm(state: WalkState) -> WalkState:
    setting = state.page.setting(state.key)
    match setting.state:
        case "carried":
            edit = seen_edit(state.page, state.key, state.rack.file.name, state.rack.hand.by)
            return _marked(state, edit)
        case "open":
            return state.saying("it is open: type its value, or step over it", refused=True)
    return stepped_on(state.saying(""))


def _marked(state: WalkState, edit: Edit | Refusal) -> WalkState:
    if isinstance(edit, Refusal):
        return state.saying(f"refused: {edit.text()}", refused=True)
    label = state.page.declared[state.key].label
    return replace(state, rack=saving(state.rack, edit, f"{label} seen", step_on=True))


def _all_seen(state: WalkState) -> WalkState:
    owner = state.page.declared[state.key].owner
    return _part_marked(state, owner, state.rack.tree.below(owner))


def _part_seen(state: WalkState) -> WalkState:
    owner = state.page.declared[state.key].owner
    return _part_marked(state, owner, (owner,))


def _part_marked(state: WalkState, owner: str, owners: tuple[str, ...]) -> WalkState:
    again = "these are words: e begins them; press the key again to mark the part"
    is_words = state.page.declared[state.key].quantity == "word"
    if is_words and state.rack.message.text != again:
        return state.saying(again)
    edit = all_seen_edit(state.page, owners, state.rack.file.name, state.rack.hand.by)
    if isinstance(edit, Refusal):
        return state.saying(f"refused: {edit.text()}", refused=True)
    name = owner_names(state.page)[owner]
    opens = [
        d
        for d in state.page.declared.values()
        if d.owner in owners and state.page.setting(d.key).state == "open"
    ]
    words = f"{name}: {len(edit.settings)} seen" + (" on it" if len(owners) > 1 else "")
    words += f", {len(opens)} open left" if opens else ""
    return replace(state, rack=saving(state.rack, edit, words, step_on=True))


def _short(state: WalkState) -> WalkState:
    if not state.short:
        return state.saying("this book has no short walk: short_walk in book.toml", refused=True)
    is_short = not state.is_short
    keys, key = (state.short if is_short else state.whole), state.key
    state = replace(state, keys=keys, is_short=is_short, at=0)
    if key in keys:
        state = state.gone_to(keys.index(key))
    else:
        state = to_next_left(state.gone_to(0), here_too=True)
    return state.saying("the short walk" if is_short else "the whole walk")


_ACTIONS: Mapping[str, Callable[[WalkState], WalkState]] = {
    "confirm": _confirm,
    "over": lambda state: stepped_on(state.saying("")),
    "before": lambda state: state.saying("").gone_to(state.at - 1),
    "all_seen": _all_seen,
    "part_seen": _part_seen,
    "words": lambda state: replace(state, rack=RACK["type"](state.rack)),
    "short": _short,
    "next_left": to_next_left,
}
