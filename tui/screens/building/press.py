"""What each key does on the building screen: a pure (state, key) -> state."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from model.readings.quantity import LENGTH_UNITS
from model.rig.building.grips import BarWish, Grip, gripped
from model.rig.building.hanging import hangers, is_rail
from model.rig.building.naming import free_name
from model.rig.building.spots import gap_added, height_added
from model.rig.building.steps import (
    Wish,
    added,
    changed,
    copied,
    hung,
    ordered,
    other_kind,
    removed,
)
from model.rig.part import FLOOR, NOT_HUNG
from tui.keys import Keys
from tui.screens.building.state import Asking, BuildState
from tui.screens.rack.press import ACTIONS as RACK
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.cursor import moved
from tui.widgets.typed import Typed

PIECE = "piece:"
"""What begins the id of a choice that is a piece without a kind: drum, cymbal, …"""
PIECES: Mapping[str, str] = {
    "drum": 'shell 10" x 7"',
    "cymbal": 'disc 16"',
    "pad": 'disc 10"',
    "percussion": "",
}
"""What a piece without a kind is called, and what its size looks like."""


def press(state: BuildState, key: str, char: str | None, keys: Keys, height: int) -> BuildState:
    """Return the state after a key; ``height`` rows are in view."""
    state = replace(state, wanted=None, rack=replace(state.rack, wanted=None))
    if state.asking is not None:
        return _press_line(state, state.asking, key, char)
    action = keys.action("build", key)
    place = moved(action, state.cursor, len(state.rows), height)
    if place is not None:
        return replace(state.saying(""), cursor=place)
    if action is None:
        return state
    return _ACTIONS[action](state)


def _press_line(state: BuildState, asking: Asking, key: str, char: str | None) -> BuildState:
    answer = asking.typed.press(key, char)
    if answer == "leave":
        return replace(state, asking=None).saying("left as it was")
    if isinstance(answer, Typed):
        return replace(state.saying(""), asking=replace(asking, typed=answer))
    return _TAKEN[asking.sort](state, asking) if answer == "take" else state


def ask_for(state: BuildState, kind_id: str) -> BuildState:
    """Return the state that asks for the name of a new part of a kind, on the row's part."""
    on = state.row.id
    names = {part.name for part in state.page.parts}
    if kind_id.startswith(PIECE):
        sort = kind_id.removeprefix(PIECE)
        wish = Wish("", type="piece", on=(on,), fields={"sort": sort})
        return _asking(state, wish, free_name(sort.capitalize(), names))
    wish = Wish("", kind_id, on=(on,))
    return _asking(state, wish, free_name(short_name(state.kinds[kind_id].name), names))


def short_name(kind_name: str) -> str:
    """Return what a part is called if nobody says otherwise: the kind's first words."""
    words = kind_name.split(",")[0]
    for stop in (" on ", " in ", " with ", " that ", " held ", " whose ", " from ", " beside "):
        words = words.split(stop)[0]
    return words[:1].upper() + words[1:]


def ask_bar(state: BuildState, grip: Grip, *, curved: bool) -> BuildState:
    """Return the state that asks for a bar's name: on the marked tubes, or the row's."""
    rails = rails_of(state)
    names = {part.name for part in state.page.parts}
    bar = BarWish("", rails, grip, curved)
    offer = free_name("Curved bar" if curved else "Bar", names)
    return replace(state, asking=Asking("bar", Typed.offer(offer), bar=bar))


def rails_of(state: BuildState) -> tuple[str, ...]:
    """Return the tubes that a bar would be held on: the marked ones, then the row's own."""
    marked = tuple(id_ for id_ in state.marked if is_rail(state.page.by_id[id_]))
    own = (state.part,) if state.part and is_rail(state.page.by_id[state.part]) else ()
    return tuple(dict.fromkeys((*marked, *own)))[:2]


def hang_on(state: BuildState, on: str, at: str | None, kind: str | None = None) -> BuildState:
    """Return the state that hangs the row's part elsewhere."""
    part, kinds = state.part, state.kinds
    assert part is not None
    return state.stepping(lambda page: hung(page, part, (on,), at, kind, kinds))


def ask_field(state: BuildState, word: str, shown: str) -> BuildState:
    """Return the state that asks for one thing of the row's part."""
    assert state.part is not None
    return replace(state, asking=Asking("field", Typed.offer(shown), part=state.part, word=word))


def give_kind(state: BuildState, kind_id: str) -> BuildState:
    """Return the state that gives the row's part another kind."""
    part, kinds = state.part, state.kinds
    assert part is not None
    return state.stepping(lambda page: other_kind(page, part, kind_id, kinds))


def add_spot(state: BuildState, way: str) -> BuildState:
    """Return the state that adds a spot: ``gap`` to the marked part, or an edge's height."""
    part, pair = state.part, state.pair
    assert part is not None
    if way == "gap":
        other = state.marked[-1]
        state = replace(state, marked=())
        return state.stepping(lambda page: gap_added(page, other, part, pair=pair))
    return state.stepping(lambda page: height_added(page, part, way, pair=pair))


def _asking(state: BuildState, wish: Wish, offer: str) -> BuildState:
    return replace(state, asking=Asking("name", Typed.offer(offer), wish=wish))


def _take_name(state: BuildState, asking: Asking) -> BuildState:
    wish = asking.wish
    assert wish is not None
    name = asking.typed.text.strip()
    if "sort" not in wish.fields:
        return _add(state, replace(wish, name=name))
    named = replace(wish, name=name, fields={**wish.fields, "role": name.lower()})
    return replace(state.saying(""), asking=Asking("size", Typed(), wish=named))


def _take_size(state: BuildState, asking: Asking) -> BuildState:
    wish = asking.wish
    assert wish is not None
    fields = {word: typed for word, typed in wish.fields.items() if word != "sort"}
    if typed := asking.typed.text.strip():
        fields["size"] = with_surface(wish.fields["sort"], typed)
    return _add(state, replace(wish, fields=fields))


def with_surface(sort: str, typed: str) -> str:
    """Return a size with what sort of surface it is: ``20"`` of a cymbal is a disc."""
    if typed.split(" ", 1)[0] in ("disc", "shell", "slab"):
        return typed
    if sort == "drum":
        return f"shell {typed}"
    return f"slab {typed}" if "x" in typed or "×" in typed else f"disc {typed}"


def _add(state: BuildState, wish: Wish) -> BuildState:
    kinds, unit, pair = state.kinds, state.rack.hand.unit, state.pair
    after = state.stepping(lambda page: added(page, wish, kinds, unit, pair))
    return after if after.rack.wanted is None else replace(after, asking=None)


def _take_bar(state: BuildState, asking: Asking) -> BuildState:
    assert asking.bar is not None
    wish = replace(asking.bar, name=asking.typed.text.strip())
    kinds, unit, pair = state.kinds, state.rack.hand.unit, state.pair
    after = state.stepping(lambda page: gripped(page, wish, kinds, unit, pair))
    return after if after.rack.wanted is None else replace(after, asking=None, marked=())


def _take_field(state: BuildState, asking: Asking) -> BuildState:
    words, unit = {asking.word: asking.typed.text}, state.rack.hand.unit
    if asking.word == "dial":  # a new one: its name, then its unit
        name, _, dial_unit = asking.typed.text.strip().partition(" ")
        words = {f"dial.{name}": dial_unit.strip() or "word"}
    after = state.stepping(lambda page: changed(page, asking.part, words, unit))
    return after if after.rack.wanted is None else replace(after, asking=None)


_TAKEN: Mapping[str, Callable[[BuildState, Asking], BuildState]] = {
    "name": _take_name,
    "size": _take_size,
    "bar": _take_bar,
    "field": _take_field,
}


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
    part = state.part
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
    on_it = [state.page.by_id[id_].name for id_ in hangers(state.page, state.row.id)]
    if not on_it:
        return "nothing hangs on it"
    more = f" and {len(on_it) - 4} more" if len(on_it) > 4 else ""
    return f"on it: {', '.join(on_it[:4])}{more}"


_ACTIONS: Mapping[str, Callable[[BuildState], BuildState]] = {
    "add_part": _want_kinds,
    "add_bar": _want_bars,
    "hang": _on_part("places"),
    "set_part": _on_part("fields"),
    "rename": _rename,
    "other_kind": _on_part("other kind"),
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
