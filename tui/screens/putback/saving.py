"""Putting ticks and re-readings on the disk, and saying how it went."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import datetime

from model.book.new_home import Wish, adopt_pieces
from model.compare.putback.desk import read_again, seen_again, ticked
from model.compare.settings import COVERAGE, combined_uncertainty, difference_of
from model.errors import ClampbookError
from model.readings.entry import show_change, show_value
from model.readings.quantity import Refusal
from model.rig.record_flags import limit_flag
from tui.screens.putback.rows import ticks_at
from tui.screens.putback.state import (
    Adopt,
    PutBackState,
    Reading,
    Ticking,
    at_tick,
    to_next_left,
    with_desk,
)
from tui.screens.rack.saving import kept_words


def up_to_date(state: PutBackState) -> PutBackState:
    """Return the state with what someone else ticked meanwhile; what cannot be read waits."""
    with suppress(ClampbookError):  # the next tick tells what is the matter
        desk = seen_again(state.desk)
        if desk is not state.desk:
            return with_desk(state, desk)
    return state


def someone_elses(before: PutBackState, now: PutBackState) -> bool:
    """Tell whether the row under the cursor was ticked by someone else since it was drawn."""
    row = before.row
    keys = set(ticks_at(row)) if row is not None else set()
    return bool(keys) and not keys <= before.work.done and keys <= now.work.done


def tick_on_disk(state: PutBackState, ticking: Ticking) -> PutBackState:
    """Save ticks, and go on to the next line where one was set."""
    try:
        desk = ticked(state.desk, ticking.keys, state.hand.by, done=ticking.done)
    except ClampbookError as error:
        return _not_saved(state, error)
    ticked_before = state.ticked[:-1] if ticking.undoes else (*state.ticked, ticking)
    state = replace(state, ticked=ticked_before)
    state = with_desk(state, desk).saying(_ticked_words(ticking))
    if not state.work.left:
        return state.saying("")
    if ticking.undoes:
        return at_tick(state, ticking.keys[0])
    return to_next_left(state) if ticking.done else state


def _ticked_words(ticking: Ticking) -> str:
    number = len(ticking.keys)
    what = "done" if ticking.done else "tick taken away"
    return what if number == 1 else f"{number} lines: {what}"


def read_on_disk(state: PutBackState, reading: Reading, began: datetime) -> PutBackState:
    """Save a re-reading; one that agrees with home ticks its line as well."""
    try:
        desk = read_again(state.desk, reading.key, reading.typed, state.hand, began)
    except ClampbookError as error:
        return _not_saved(state, error)
    if isinstance(desk, Refusal):
        return state.saying(f"refused: {desk.text()}", refused=True)
    state = replace(with_desk(state, desk), asking=None)
    words, agrees = _against_home(state, reading.key)
    assert desk.readings is not None
    if desk.readings.held is not None:
        # The ticks are in the same folder, which takes nothing now.
        held = kept_words(desk.readings.held)
        return state.saying(f"{words}; {held}; its line is not ticked", refused=True)
    state = state.saying(f"{words}; on {desk.readings.name}")
    if not agrees and reading.key in state.work.done:
        after = tick_on_disk(state, Ticking((reading.key,), False))
        said = f"{words}: its tick is taken away; on {desk.readings.name}"
        return after if after.refused else after.saying(said)
    if not agrees or reading.key in state.work.done:
        return state
    after = tick_on_disk(state, Ticking((reading.key,), True))
    if after.refused:
        said = f"{words}; on {desk.readings.name}; its tick is {after.message}"
        return state.saying(said, refused=True)
    return after.saying(f"{words}: done; on {desk.readings.name}")


def _against_home(state: PutBackState, key: str) -> tuple[str, bool]:
    """Say how far a re-reading is off, and whether that is within what the readings can tell."""
    work, desk = state.work, state.desk
    assert desk.readings is not None
    declared = work.answer_page.declared[key]
    asked = declared.asked(state.hand.unit)
    setting = desk.readings.page.setting(key)
    assert setting.value is not None
    told = f"read {show_value(setting.value, asked)}"
    if limit_flag(key, setting, declared) is not None:
        told += ", outside its limits"
    off = work.off_home(key)
    if declared.name.startswith("dial."):
        home = desk.wanted.page.setting(key).value
        if isinstance(home, str) or isinstance(setting.value, str):
            return told, home == setting.value
        off = None if home is None else difference_of(home, setting.value, declared)
    if off is None:
        return told, False
    wanted = desk.wanted.page.setting(key)
    u = combined_uncertainty(declared, wanted, setting, desk.wanted.page, desk.readings.page)
    if abs(off) <= max(COVERAGE * (u or 0.0), 1e-6):
        return f"{told}, home", True
    return f"{told}, {show_change(off, asked)} off home", False


def adopt_on_disk(state: PutBackState, adopt: Adopt, began: datetime) -> PutBackState:
    """Make the chosen pieces' new normal: a new home, beside the old one, which stays."""
    desk = state.desk
    wish = Wish(
        pieces=adopt.pieces,
        reason=adopt.reason,
        began=began,
        by=state.hand.by,
        from_home=desk.wanted.name,
    )
    try:
        made = adopt_pieces(desk.folder, desk.now.path, wish)
    except ClampbookError as error:
        return _not_saved(state, error)
    left = f", {len(made.left)} left as they were" if made.left else ""
    words = f"new home {made.home}: {len(made.adopted)} settings{left}; the old one stays"
    return replace(state, asking=None, chosen=frozenset(), wanted=None).saying(words)


def _not_saved(state: PutBackState, error: ClampbookError) -> PutBackState:
    first = error.first
    words = error.title if first is None else f"{error.title}: {first.what}; {first.right}"
    return replace(state, wanted=None).saying(words, refused=True)
