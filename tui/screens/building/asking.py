"""What is asked while building: a new part's name and size, a bar's name, one field of a part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from model.rig.building.grips import BarWish, Grip, gripped
from model.rig.building.hanging import clamps_of, is_rail
from model.rig.building.naming import free_name, names_of
from model.rig.building.own_kind import kind_set, own_kind
from model.rig.building.spots import gap_added, height_added
from model.rig.building.steps import Wish, added, changed, hung, other_kind
from tui.screens.building.state import Asking, BuildState
from tui.widgets.typed import Typed

PIECE = "piece:"
"""What begins the id of a choice that is a piece without a kind: drum, cymbal, …"""
KIND = "kind:"
"""What begins the word of a field that is of the part's own kind."""
PIECES: Mapping[str, str] = {
    "drum": 'shell 10" x 7"',
    "cymbal": 'disc 16"',
    "pad": 'disc 10"',
    "percussion": "",
}
"""What a piece without a kind is called, and what its size looks like."""


SIZED: Mapping[str, str] = {"floor-kick": "drum", "floor-legs": "drum", "floor-seat": "pad"}
"""Kinds of a piece that stands, and what its size looks like."""


def press_line(state: BuildState, asking: Asking, key: str, char: str | None) -> BuildState:
    """Return the state after a key while a line is typed."""
    answer = asking.typed.press(key, char)
    if answer == "leave":
        return replace(state, asking=None).saying("left as it was")
    if isinstance(answer, Typed):
        return replace(state.saying(""), asking=replace(asking, typed=answer))
    return _TAKEN[asking.sort](state, asking) if answer == "take" else state


def ask_for(state: BuildState, kind_id: str) -> BuildState:
    """Return the state that asks for the name of a new part of a kind, on the row's part."""
    on = state.row.id
    names = names_of(state.page)
    if kind_id.startswith(PIECE):
        sort = kind_id.removeprefix(PIECE)
        wish = Wish("", type="piece", on=(on,), fields={"sort": sort})
        return _asking(state, wish, free_name(sort.capitalize(), names))
    fields = {"sort": SIZED[kind_id]} if kind_id in SIZED else {}
    wish = Wish("", kind_id, on=(on,), fields=fields)
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
    names = names_of(state.page)
    bar = BarWish("", rails, grip, curved)
    offer = free_name("Curved bar" if curved else "Bar", names)
    return replace(state, asking=Asking("bar", Typed.offer(offer), bar=bar))


def rails_of(state: BuildState) -> tuple[str, ...]:
    """Return the tubes that a bar would be held on: the marked ones, then the row's own."""
    marked = tuple(id_ for id_ in state.marked if is_rail(state.page.by_id[id_]))
    own = (state.part,) if state.part and is_rail(state.page.by_id[state.part]) else ()
    return tuple(dict.fromkeys((*marked, *own)))[:2]


def hang_on(state: BuildState, on: str, at: str | None, kind: str | None = None) -> BuildState:
    """Return the state that hangs the row's part elsewhere.

    A bar in two clamps goes from the marked one, else from the one at its end A, to that.
    """
    part, kinds = state.part, state.kinds
    assert part is not None
    held = state.page.by_id[part]
    places: tuple[str, ...] = (on,)
    if clamps_of(state.page.by_kind.get(held.kind or "")) == 2 and on in state.page.by_id:
        marked = [id_ for id_ in state.marked if id_ != on]
        first = marked[-1] if marked else held.on[0]
        places = (first, on)
    return state.stepping(lambda page: hung(page, part, places, at, kind, kinds))


def ask_field(state: BuildState, word: str, shown: str) -> BuildState:
    """Return the state that asks for one thing of the row's part."""
    assert state.part is not None
    return replace(state, asking=Asking("field", Typed.offer(shown), part=state.part, word=word))


def ask_own_kind(state: BuildState, name: str) -> BuildState:
    """Return the state that asks what the row's part's own kind is called."""
    assert state.part is not None
    typed = Typed.offer(f"{name}'s kind")
    return replace(state, asking=Asking("own kind", typed, part=state.part))


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
    return state.stepping(lambda page: added(page, wish, kinds, unit, pair))


def _take_bar(state: BuildState, asking: Asking) -> BuildState:
    assert asking.bar is not None
    wish = replace(asking.bar, name=asking.typed.text.strip())
    kinds, unit, pair = state.kinds, state.rack.hand.unit, state.pair
    return state.stepping(lambda page: gripped(page, wish, kinds, unit, pair))


def _take_own_kind(state: BuildState, asking: Asking) -> BuildState:
    name, kinds, pair = asking.typed.text, state.kinds, state.pair
    return state.stepping(lambda page: own_kind(page, asking.part, name, kinds, pair))


def _take_field(state: BuildState, asking: Asking) -> BuildState:
    if asking.typed.is_offer:  # what was there already, as it was shown
        return replace(state, asking=None).saying("left as it was")
    words, unit = {asking.word: asking.typed.text}, state.rack.hand.unit
    if asking.word.startswith(KIND):
        kind = str(state.page.by_id[asking.part].kind)
        word, text = asking.word.removeprefix(KIND), asking.typed.text
        if word in ("JOINT", "end.NAME"):  # a new one: its name, then what it is
            name, _, text = text.strip().partition(" ")
            word = name if word == "JOINT" else f"end.{name}"
        of_kind = {word: text}
        return state.stepping(lambda page: kind_set(page, kind, of_kind, unit))
    if asking.word == "dial":  # a new one: its name, then its unit
        name, _, dial_unit = asking.typed.text.strip().partition(" ")
        words = {f"dial.{name}": dial_unit.strip() or "word"}
    return state.stepping(lambda page: changed(page, asking.part, words, unit))


_TAKEN: Mapping[str, Callable[[BuildState, Asking], BuildState]] = {
    "name": _take_name,
    "size": _take_size,
    "bar": _take_bar,
    "field": _take_field,
    "own kind": _take_own_kind,
}
