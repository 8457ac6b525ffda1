"""The walk's state: which settings in which order, and where; the rest is the rack's own."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.rig.page import Page
from model.rig.tree import walking_order
from tui.screens.rack.state import RackState, Save

REPEAT = 0.15
"""Seconds: an Enter that follows another one faster is a key held down, and marks nothing."""
FIRST_REPEAT = (0.2, 0.75)
"""Seconds that keyboards wait before the first repetition of a held key (from memory)."""


@dataclass(frozen=True, slots=True)
class WalkState:
    """The rack's state with the keys that are walked, in order, and the place among them."""

    rack: RackState
    keys: tuple[str, ...]
    whole: tuple[str, ...]
    short: tuple[str, ...]
    at: int = 0
    is_short: bool = False
    entered: float = -1.0
    gap: float = 9.0
    is_held: bool = False

    @property
    def key(self) -> str:
        """The setting in hand."""
        return self.keys[self.at]

    @property
    def page(self) -> Page:
        """The page in hand."""
        return self.rack.page

    def left(self) -> int:
        """How many of the walk's settings nobody read or saw tonight."""
        return sum(self.page.setting(key).state in ("carried", "open") for key in self.keys)

    def gone_to(self, at: int) -> WalkState:
        """Return the state at another place of the walk."""
        at = min(max(at, 0), len(self.keys) - 1)
        return replace(self, at=at, rack=self.rack.shown_row(self.keys[at]))

    def saying(self, text: str, refused: bool = False) -> WalkState:
        """Return the state with a message."""
        return replace(self, rack=self.rack.saying(text, "refused" if refused else "said"))


def walked_keys(page: Page, walk: tuple[str, ...]) -> tuple[str, ...]:
    """Return the settings that are asked for, in walking order: all but what follows.

    The floor's are asked for as well: the rug and the slope are part of a new house.
    """
    return tuple(key for key in walking_order(page, walk) if page.setting(key).state != "follows")


def start_walk(
    rack: RackState, walk: tuple[str, ...], short: tuple[str, ...], from_key: str | None
) -> WalkState:
    """Return the walk begun at ``from_key``, or where the first setting is left."""
    rack, whole = rack.saying(""), walked_keys(rack.page, walk)
    known = set(rack.page.declared)
    state = WalkState(rack, whole, whole, tuple(key for key in short if key in known))
    if from_key in whole:
        return state.gone_to(whole.index(from_key))
    return to_next_left(state.gone_to(0), here_too=True)


def to_next_left(state: WalkState, *, here_too: bool = False) -> WalkState:
    """Go to the next setting that nobody read or saw tonight, round the end if need be."""
    count = len(state.keys)
    first = 0 if here_too else 1
    for step in range(first, count + 1):
        at = (state.at + step) % count
        if state.page.setting(state.keys[at]).state in ("carried", "open"):
            return state.gone_to(at)
    return state.saying("nothing is left: every setting was read or seen")


def stepped_on(state: WalkState) -> WalkState:
    """Step on to the next setting; at the end say what is left."""
    if state.at + 1 < len(state.keys):
        return state.gone_to(state.at + 1)
    left = state.left()
    words = f"the end of the walk: {left} left, g goes to the next" if left else "the walk is done"
    message = state.rack.message.text
    state = state.gone_to(state.at)
    return state.saying(f"{message}; {words}" if message else words)


def _still_there(state: WalkState) -> WalkState:
    """Leave out settings that someone else took off the page meanwhile."""
    declared = state.page.declared
    if all(key in declared for key in (*state.whole, *state.short)):
        return state
    whole, short, keys = (
        tuple(key for key in known if key in declared)
        for known in (state.whole, state.short, state.keys)
    )
    at = min(state.at, max(0, len(keys) - 1))
    return replace(state, keys=keys or whole, whole=whole, short=short, at=at)


def after_save(state: WalkState, rack: RackState, save: Save) -> WalkState:
    """Return the walk after a change reached the disk, or did not."""
    state = _still_there(replace(state, rack=rack))
    if rack.message.sort not in ("saved", "kept"):
        return state
    if save.way != "new":
        return state.gone_to(state.keys.index(rack.cursor)) if rack.cursor in state.keys else state
    if not save.step_on:
        return state.gone_to(state.at)
    owners = {key.split(".", 1)[0] for key in _keys_of(save)}
    if len(_keys_of(save)) == 1:
        return stepped_on(state)
    # A whole part was seen: on to the next that is left and not on it.
    for at in range(state.at + 1, len(state.keys)):
        key = state.keys[at]
        is_left = state.page.setting(key).state in ("carried", "open")
        if is_left and key.split(".", 1)[0] not in owners:
            return state.gone_to(at)
    return stepped_on(state.gone_to(len(state.keys) - 1))


def _keys_of(save: Save) -> tuple[str, ...]:
    settings = getattr(save.step.edit, "settings", ())
    return tuple(key for key, _ in settings)
