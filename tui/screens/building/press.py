"""What each key does on the building screen: a pure (state, key) -> state."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from model.book.generic import generic_ids
from model.readings.quantity import LENGTH_UNITS
from model.rig.building.copying import copied
from model.rig.building.hanging import hangers
from model.rig.building.spots import spot_removed
from model.rig.building.steps import (
    ordered,
    removed,
)
from model.rig.part import FLOOR, NOT_HUNG
from tui.keys import Keys
from tui.screens.building.asking import ask_field, ask_own_kind, press_line, rails_of
from tui.screens.building.state import BuildState
from tui.screens.rack.press import ACTIONS as RACK
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.cursor import moved


def press(state: BuildState, key: str, char: str | None, keys: Keys, height: int) -> BuildState:
    """Return the state after a key; ``height`` rows are in view."""
    state = replace(state, wanted=None, rack=replace(state.rack, wanted=None))
    if state.asking is not None:
        return press_line(state, state.asking, key, char)
    action = keys.action("build", key)
    place = moved(action, state.cursor, len(state.rows), height)
    if place is not None:
        return replace(state.saying(""), cursor=place)
    if action is None:
        return state
    if action in _CHANGING and state.page.head.closed:
        words = "the page is closed for the show: x twice on the rack opens it again"
        return state.saying(words, "refused")
    return _ACTIONS[action](state)


def _want_kinds(state: BuildState) -> BuildState:
    return replace(state, wanted="kinds")


def _want_bars(state: BuildState) -> BuildState:
    if not rails_of(state):
        return state.saying("a bar is held on a post or a bar: choose one", "refused")
    return replace(state, wanted="bars")


def _on_part(wanted: str) -> Callable[[BuildState], BuildState]:
    def act(state: BuildState) -> BuildState:
        if state.part is None:
            return state.saying(f"{state.row.name} is no part: choose one", "refused")
        return replace(state, wanted=wanted)  # type: ignore[arg-type]

    return act


def _rename(state: BuildState) -> BuildState:
    if state.part is None:
        return state.saying(f"{state.row.name} is no part: choose one", "refused")
    return ask_field(state, "name", state.page.by_id[state.part].name)


def _own_kind(state: BuildState) -> BuildState:
    part = state.page.by_id.get(state.row.id)
    if part is None or part.kind is None:
        return state.saying(f"{state.row.name} has no kind to make another from", "refused")
    if part.kind not in generic_ids():
        return state.saying("it is of a kind of your own already: Enter sets what it has")
    return ask_own_kind(state, part.name)


def _mark(state: BuildState) -> BuildState:
    part = state.part
    if part is None:
        return state.saying(f"{state.row.name} is no part: choose one", "refused")
    rest = tuple(id_ for id_ in state.marked if id_ != part)
    marked = rest if part in state.marked else (*rest, part)
    names = ", ".join(state.page.by_id[id_].name for id_ in marked)
    down = min(state.cursor + 1, len(state.rows) - 1)
    state = replace(state, marked=marked, cursor=down)
    return state.saying(f"marked: {names}" if names else "nothing is marked")


def _copy(state: BuildState) -> BuildState:
    parts = state.marked or ((state.part,) if state.part else ())
    if not parts:
        return state.saying(f"{state.row.name} is no part: choose one", "refused")
    pair = state.pair
    state = replace(state, marked=())
    return state.stepping(lambda page: copied(page, parts, pair=pair))


def _take_off(state: BuildState) -> BuildState:
    part, row = state.part, state.row.id
    if row in state.page.by_spot:
        return state.stepping(lambda page: spot_removed(page, row))
    if part is None:
        return state.saying(f"{state.row.name} is no part: choose one", "refused")
    return state.stepping(lambda page: removed(page, part))


def _earlier(state: BuildState) -> BuildState:
    return _reorder(state, -1)


def _later(state: BuildState) -> BuildState:
    return _reorder(state, 1)


def _reorder(state: BuildState, by: int) -> BuildState:
    """Move a part before or behind its neighbour that hangs on the same, in hand order."""
    part = state.part
    if part is None:
        return state.saying(f"{state.row.name} is no part: choose one", "refused")
    beside = [p.id for p in state.page.parts if p.on[0] == state.page.by_id[part].on[0]]
    place = beside.index(part) + by
    if not 0 <= place < len(beside):
        return state.saying("it is the last of them" if by > 0 else "it is the first of them")
    if by < 0:
        return state.stepping(lambda page: ordered(page, part, before=beside[place]))
    other = beside[place]
    return state.stepping(lambda page: ordered(page, other, before=part))


def _spot(state: BuildState) -> BuildState:
    if state.part is None:
        return state.saying(f"{state.row.name} is no part: choose one", "refused")
    return replace(state, wanted="spots")


def _of_the_rack(action: str) -> Callable[[BuildState], BuildState]:
    def act(state: BuildState) -> BuildState:
        return replace(state, rack=RACK[action](state.rack))

    return act


def _unit(state: BuildState) -> BuildState:
    hand = state.rack.hand
    unit = LENGTH_UNITS[(LENGTH_UNITS.index(hand.unit) + 1) % len(LENGTH_UNITS)]
    state = replace(state, rack=replace(state.rack, hand=replace(hand, unit=unit)))
    return state.saying(f"lengths in {UNIT_WORDS[unit]}")


def hanging_words(state: BuildState) -> str:
    """Say what hangs on the row's part: what would not be hung if it were taken off."""
    if state.row.id in (FLOOR, NOT_HUNG):
        number = len(state.page.parts)
        return f"{number} part{'s' * (number != 1)} on this page"
    if state.row.id not in state.page.by_id:
        return "a spot: a direct check measure, asked for at the end of the walk; x takes it off"
    on_it = [state.page.by_id[id_].name for id_ in hangers(state.page, state.row.id)]
    if not on_it:
        return "nothing hangs on it"
    more = f" and {len(on_it) - 4} more" if len(on_it) > 4 else ""
    return f"on it: {', '.join(on_it[:4])}{more}"


_CHANGING = frozenset({
    "add_part", "add_bar", "hang", "set_part", "rename", "other_kind", "own_kind", "copy_part",
    "take_off", "earlier", "later", "add_spot", "undo", "redo",
})  # fmt: skip
_ACTIONS: Mapping[str, Callable[[BuildState], BuildState]] = {
    "add_part": _want_kinds,
    "add_bar": _want_bars,
    "hang": _on_part("places"),
    "set_part": _on_part("fields"),
    "rename": _rename,
    "other_kind": _on_part("other kind"),
    "own_kind": _own_kind,
    "mark_part": _mark,
    "copy_part": _copy,
    "take_off": _take_off,
    "earlier": _earlier,
    "later": _later,
    "add_spot": _spot,
    "undo": _of_the_rack("undo"),
    "redo": _of_the_rack("redo"),
    "unit": _unit,
    "look": lambda state: replace(state, wanted="look"),
    "problems": lambda state: replace(state, wanted="problems"),
    "help": lambda state: replace(state, wanted="help"),
    "back": lambda state: replace(state, wanted="back"),
    "back_too": lambda state: replace(state, wanted="back"),
}
