"""What each key does on the checklist: a pure (state, key) -> state."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from model.compare.putback.answer import Remains, StructureStep
from model.readings.quantity import LENGTH_UNITS
from tui.keys import ENTRY_STARTS, Keys
from tui.screens.putback.rows import SIDES, LineRow, StepRow, Words, ticks_at
from tui.screens.putback.state import (
    Adopt,
    Ask,
    Asking,
    PutBackState,
    Reading,
    Shorten,
    Ticking,
    to_next_left,
    with_rows,
)
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.cursor import moved
from tui.widgets.typed import Typed

NO_PLACE = "a reading belongs to a line with a setting of its own"
MOST_MINUTES = 24 * 60


def press(state: PutBackState, key: str, char: str | None, keys: Keys, height: int) -> PutBackState:
    """Return the state after a key; ``height`` rows are in view."""
    state = replace(state, wanted=None)
    if state.asking is not None:
        return _typed(state, state.asking, key, char)
    if char is not None and char in ENTRY_STARTS:
        return _entry(state, char)
    action = keys.action("putback", key)
    if action is None:
        return state
    if action in ("done", "toggle") and state.message == NO_PLACE:
        return state.saying("")  # whoever typed a number and Enter meant to tick nothing
    place = moved(action, state.cursor, len(state.rows), height)
    if place is not None and not state.rows:
        return state.saying("")
    if place is not None:
        return replace(state.saying(""), cursor=_to_a_box(state, place))
    return _ACTIONS[action](state)


def _to_a_box(state: PutBackState, place: int) -> int:
    """Return the next row from ``place`` on that is more than words, the way one was going."""
    way = 1 if place >= state.cursor else -1
    onward: Iterable[int] = range(place, len(state.rows) if way > 0 else -1, way)
    back = range(place, -1, -1) if way > 0 else range(place, len(state.rows))
    every = (index for way_on in (onward, back) for index in way_on)
    return next((i for i in every if not isinstance(state.rows[i], Words)), state.cursor)


def _entry(state: PutBackState, char: str) -> PutBackState:
    line = state.line
    if line is None or line.tick.startswith("roll."):
        return state.saying(NO_PLACE, refused=True)
    return replace(state.saying(""), asking=Asking("reading", line.tick, Typed.of(char)))


def _typed(state: PutBackState, asking: Asking, key: str, char: str | None) -> PutBackState:
    answer = asking.typed.press(key, char)
    if answer == "leave":
        return replace(state, asking=None).saying("left as it was")
    if answer == "take":
        if asking.sort == "minutes":
            return _take_minutes(state, asking.typed.text.strip())
        if asking.sort == "reason":
            return _take_reason(state, asking.typed.text.strip())
        return replace(state, wanted=Reading(asking.target, asking.typed.text))
    if isinstance(answer, Typed):
        return replace(state.saying(""), asking=replace(asking, typed=answer))
    return state


def _take_minutes(state: PutBackState, text: str) -> PutBackState:
    if not text:
        return replace(state, asking=None, wanted=Shorten(None))
    try:
        minutes = float(text.replace(",", "."))
    except ValueError:
        minutes = float("nan")
    if not 0.0 < minutes <= MOST_MINUTES:
        return state.saying(
            f"refused: {text!r} is no number of minutes; right: 10, or nothing for the whole list",
            refused=True,
        )
    return replace(state, asking=None, wanted=Shorten(minutes))


def _take_reason(state: PutBackState, text: str) -> PutBackState:
    if not text:
        return state.saying("a new normal has a reason; right: lower since March", refused=True)
    return replace(state, wanted=Adopt(_chosen(state), text))


def _chosen(state: PutBackState) -> tuple[str, ...]:
    """Return the pieces that are chosen, in their order; else the one under the cursor."""
    row = state.row
    chosen = tuple(held.piece for held in state.work.standing if held.piece in state.chosen)
    return chosen or ((row.piece,) if isinstance(row, Remains) else ())


def _normal(state: PutBackState) -> PutBackState:
    if not state.pieces or not _chosen(state):
        return state.saying("choose the pieces first: p shows them, Space chooses", refused=True)
    return replace(state.saying(""), asking=Asking("reason", ""))


def _done(state: PutBackState) -> PutBackState:
    """Tick the row and go on to the next that is left; a step's head stands for all its lines."""
    keys = _left_at(state)
    if keys is None:
        return state.saying("there is no box on this line", refused=True)
    return replace(state, wanted=Ticking(keys, True)) if keys else to_next_left(state.saying(""))


def _left_at(state: PutBackState) -> tuple[str, ...] | None:
    """Return the ticks of the row that are not set; None where it has no box."""
    row = state.row
    if not isinstance(row, LineRow | StepRow | StructureStep):
        return None
    return tuple(key for key in ticks_at(row) if key not in state.work.done)


def _toggle(state: PutBackState) -> PutBackState:
    row = state.row
    if isinstance(row, Remains):
        return replace(state.saying(""), chosen=state.chosen ^ {row.piece})
    if row is None or not ticks_at(row):
        return state.saying("there is no box on this line", refused=True)
    left = _left_at(state)
    return replace(state, wanted=Ticking(left, True) if left else Ticking(ticks_at(row), False))


def _undo(state: PutBackState) -> PutBackState:
    if not state.ticked:
        return state.saying("nothing to undo since this list was opened")
    last = state.ticked[-1]
    return replace(state, wanted=Ticking(last.keys, not last.done, undoes=True))


def _side(state: PutBackState) -> PutBackState:
    side = SIDES[(SIDES.index(state.side) + 1) % len(SIDES)]
    words = "both sides" if side == "both" else f"the player's {side} side, and what needs both"
    return with_rows(replace(state.saying(words), side=side, pieces=False))


def _pieces(state: PutBackState) -> PutBackState:
    state = with_rows(replace(state.saying(""), pieces=not state.pieces))
    return state if state.pieces else to_next_left(state, here_too=True)


def _minutes(state: PutBackState) -> PutBackState:
    return replace(state.saying(""), asking=Asking("minutes", ""))


def _enough(state: PutBackState) -> PutBackState:
    return replace(state, wanted=Shorten(enough=not state.part.enough))


def _unit(state: PutBackState) -> PutBackState:
    unit = LENGTH_UNITS[(LENGTH_UNITS.index(state.hand.unit) + 1) % len(LENGTH_UNITS)]
    hand = replace(state.hand, unit=unit)
    return replace(state, hand=hand).saying(f"lengths in {UNIT_WORDS[unit]}")


def _next_left(state: PutBackState) -> PutBackState:
    if not state.work.left:
        return state.saying("nothing is left")
    if isinstance(state.row, Remains):
        state = with_rows(replace(state, pieces=False))
    return to_next_left(state.saying(""))


def _asks(ask: Ask) -> Callable[[PutBackState], PutBackState]:
    return lambda state: replace(state, wanted=ask)


_ACTIONS: Mapping[str, Callable[[PutBackState], PutBackState]] = {
    "done": _done,
    "toggle": _toggle,
    "undo": _undo,
    "side": _side,
    "pieces": _pieces,
    "minutes": _minutes,
    "normal": _normal,
    "enough": _enough,
    "unit": _unit,
    "next_left": _next_left,
    "problems": _asks("care"),
    "help": _asks("help"),
    "look": _asks("look"),
    "back": _asks("back"),
    "back_too": _asks("back"),
}
