"""The checklist's state: the list, the cursor, what is typed, what is wanted of the disk."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from model.book.take import Hand
from model.compare.putback.answer import Line, Remains, StructureStep
from model.compare.putback.desk import Desk, strangers
from model.compare.putback.work import Work
from tui.screens.putback.rows import LineRow, Row, Side, Words, is_on, rows_of, ticks_at
from tui.widgets.typed import Typed

EMPTY = Typed()
Ask = Literal["back", "help", "look", "care"]


@dataclass(frozen=True, slots=True)
class Ticking:
    """Ticks to be set, or taken away, on the disk; ``undoes`` says that it takes back the last."""

    keys: tuple[str, ...]
    done: bool
    undoes: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """A re-reading to be recorded: the setting's key, and what was typed."""

    key: str
    typed: str


@dataclass(frozen=True, slots=True)
class Shorten:
    """A part of the moves: what brings the pieces nearest in so many minutes, or what is enough for
    their tolerances; neither for all of them."""

    minutes: float | None = None
    enough: bool = False

    @property
    def is_whole(self) -> bool:
        """Whether all the moves are meant."""
        return self.minutes is None and not self.enough


WHOLE = Shorten()


@dataclass(frozen=True, slots=True)
class Adopt:
    """The chosen pieces are to become home as they are on this page, for a reason."""

    pieces: tuple[str, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class Asking:
    """A line being typed: a re-reading, the minutes there are, or why something is normal now."""

    sort: Literal["reading", "minutes", "reason"]
    target: str
    typed: Typed = EMPTY


@dataclass(frozen=True)
class PutBackState:
    """All of the screen but its size. ``wanted`` is what the screen is to do next."""

    desk: Desk
    hand: Hand
    label: str
    rows: tuple[Row, ...]
    cursor: int = 0
    side: Side = "both"
    pieces: bool = False
    part: Shorten = WHOLE
    asking: Asking | None = None
    ticked: tuple[Ticking, ...] = ()
    chosen: frozenset[str] = frozenset()
    message: str = ""
    refused: bool = False
    wanted: Ticking | Reading | Shorten | Adopt | Ask | None = None

    @property
    def work(self) -> Work:
        """The list at work."""
        return self.desk.work

    @property
    def row(self) -> Row | None:
        """The row that the cursor is on."""
        return self.rows[self.cursor] if self.rows else None

    @property
    def line(self) -> Line | None:
        """The line that the cursor is on, if it is on one."""
        row = self.row
        return row.line if isinstance(row, LineRow) else None

    def saying(self, text: str, *, refused: bool = False) -> PutBackState:
        """Return the state with a message."""
        return replace(self, message=text, refused=refused)


def start(desk: Desk, hand: Hand, label: str) -> PutBackState:
    """Return the state in which a put-back is opened: on the first line that is left."""
    state = with_rows(PutBackState(desk, hand, label, ()))
    done = len(desk.work.done)
    changed = strangers(desk) if desk.work.answer is desk.whole else ()
    if changed:
        state = state.saying(
            f"the pages changed since this was begun: {len(changed)} lines are new or go elsewhere"
        )
    elif done:
        state = state.saying(f"going on: {done} done before")
    return to_next_left(state, here_too=True)


def with_rows(state: PutBackState) -> PutBackState:
    """Return the state with its rows made anew; the cursor stays on its row where it is shown."""
    before = state.row
    rows: tuple[Row, ...]
    if state.pieces:
        rows = tuple(state.work.standing)
    else:
        rows = tuple(rows_of(state.work.answer, state.side))
    cursor = _same_row(rows, before)
    return replace(state, rows=rows, cursor=cursor)


def _same_row(rows: tuple[Row, ...], before: Row | None) -> int:
    if before is None:
        return 0
    if before in rows:
        return rows.index(before)
    keys = set(ticks_at(before))
    piece = before.piece if isinstance(before, Remains) else None
    for index, row in enumerate(rows):
        if keys & set(ticks_at(row)) or (isinstance(row, Remains) and row.piece == piece):
            return index
    return 0


def to_next_left(state: PutBackState, *, here_too: bool = False) -> PutBackState:
    """Return the state with the cursor on the next line that is not done, round and round."""
    count = len(state.rows)
    first = state.cursor if here_too else state.cursor + 1
    for offset in range(count):
        index = (first + offset) % count
        row = state.rows[index]
        has_box = isinstance(row, LineRow | StructureStep)
        if has_box and not set(ticks_at(row)) <= state.work.done:
            return replace(state, cursor=index)
    return state


def at_tick(state: PutBackState, tick: str) -> PutBackState:
    """Return the state with the cursor on a line, where it is in view."""
    for index, row in enumerate(state.rows):
        if isinstance(row, LineRow | StructureStep) and tick in ticks_at(row):
            return replace(state, cursor=index)
    return state


def with_desk(state: PutBackState, desk: Desk) -> PutBackState:
    """Return the state after something reached the disk."""
    state = replace(state, desk=desk, wanted=None)
    return with_rows(state) if state.pieces else state


def minutes_left(state: PutBackState) -> float:
    """Return the minutes of the steps in view that are not wholly done."""
    done = state.work.done
    return sum(
        step.minutes
        for step in state.work.answer.steps
        if is_on(step, state.side) and any(line.tick not in done for line in step.lines)
    )


def stands_at(state: PutBackState) -> str:
    """Return where one stands for the row that the cursor is on."""
    for row in reversed(state.rows[: state.cursor + 1]):
        if isinstance(row, Words) and row.sort == "stand":
            return row.text
    return ""
