"""The differences' state: an answer of the comparison, what of it is shown, in which order.

It begins with the settings as they were read; what geometry tells is filled in when it is there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from model.compare.answer import Compared, ComparedPart, ComparedSetting
from model.compare.piece_answer import ComparedPiece, PieceVerdict
from model.readings.quantity import LENGTH_UNITS, LengthUnit
from model.rig.page import Page
from tui.keys import Keys
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.cursor import moved

Ask = Literal["back", "help", "look"]


@dataclass(frozen=True, slots=True)
class Show:
    """The rack is to be shown with the cursor on this setting or part."""

    id: str


@dataclass(frozen=True, slots=True)
class Heading:
    """A row that names what is below it: a part, or what sort of differences come."""

    words: str
    part: str = ""


Row = Heading | ComparedPart | ComparedSetting | ComparedPiece

QUIET: frozenset[PieceVerdict] = frozenset({"same", "not measured"})
"""Pieces that are shown only where all are."""
WORKING = "the pieces are being worked out"


@dataclass(frozen=True, slots=True)
class DifferencesState:
    """All of the screen but its size; ``page`` is the later one, ``label`` names the other.

    ``pieces`` says that they are shown in place of the settings.
    """

    answer: Compared
    before_page: Page
    page: Page
    label: str
    unit: LengthUnit
    rows: tuple[Row, ...]
    cursor: int = 0
    every: bool = False
    by_size: bool = False
    pieces: bool = False
    message: str = ""
    wanted: Show | Ask | None = None

    @property
    def is_filled(self) -> bool:
        """Whether what geometry tells is there."""
        return not self.answer.as_read


def start(
    answer: Compared, before: Page, page: Page, label: str, unit: LengthUnit
) -> DifferencesState:
    """Return the state in which an answer is shown: what moved, by part."""
    rows = rows_of(answer, every=False, by_size=False)
    first = _first(rows)
    return DifferencesState(answer, before, page, label, unit, rows, first)


def _first(rows: tuple[Row, ...]) -> int:
    return next((i for i, row in enumerate(rows) if not isinstance(row, Heading)), 0)


def filled(state: DifferencesState, answer: Compared) -> DifferencesState:
    """Return the state with an answer that has the joints' own values and the pieces; the cursor
    stays on the setting, part or piece that it was on."""
    fresh = replace(state, answer=answer, message="")
    rows = _rows(fresh)
    held = _name(state.rows[state.cursor]) if state.rows else None
    cursor = next((i for i, row in enumerate(rows) if _name(row) == held), _first(rows))
    return replace(fresh, rows=rows, cursor=cursor)


def _name(row: Row) -> object:
    """Return what a row is about, whatever it says of it."""
    match row:
        case ComparedSetting():
            return ("setting", row.setting)
        case ComparedPiece():
            return ("piece", row.id)
    return row


def _rows(state: DifferencesState) -> tuple[Row, ...]:
    if state.pieces:
        return piece_rows(state.answer, every=state.every, by_size=state.by_size)
    return rows_of(state.answer, every=state.every, by_size=state.by_size)


def piece_rows(answer: Compared, *, every: bool, by_size: bool) -> tuple[Row, ...]:
    """Return the rows of the pieces: those that moved, in walking order or the farthest first."""
    shown = [piece for piece in answer.pieces if every or piece.verdict not in QUIET]
    return tuple(sorted(shown, key=far, reverse=True) if by_size else shown)


def far(piece: ComparedPiece) -> float:
    """Return how far a piece moved, in tolerances where its role has one, else in mm; what cannot
    be told comes last."""
    if piece.move is None or piece.tilt is None:
        return -1.0
    limit = piece.tolerance
    shares = [
        by / of
        for by, of in (
            (piece.move.distance, limit.mm if limit else None),
            (piece.tilt.turned, limit.deg if limit else None),
        )
        if of
    ]
    return max(shares, default=0.0)


def rows_of(answer: Compared, *, every: bool, by_size: bool) -> tuple[Row, ...]:
    """Return the rows: the structure, then the settings, under their parts or by size."""
    rows: list[Row] = []
    if answer.structure:
        rows += [Heading("structure"), *answer.structure]
    shown = [s for s in answer.settings if every or s.verdict in ("moved", "unsure")]
    if by_size:
        rows += [Heading("settings, by how far beyond their uncertainty")] if shown else []
        ordered = sorted(shown, key=size_of, reverse=True)
        rows += ordered
        return tuple(rows)
    part = None
    for setting in shown:
        if setting.part != part:
            part = setting.part
            rows.append(Heading(setting.part_name, setting.part))
        rows.append(setting)
    return tuple(rows)


def size_of(setting: ComparedSetting) -> float:
    """Return how many times its uncertainty a difference is; a whole tooth is beyond measure.

    Words and a dial's own numbers have no uncertainty: they come after all that is measured.
    """
    if setting.verdict in ("same", "not comparable"):
        return -1.0
    if setting.quantity in ("word", "number"):
        return 0.0
    if not isinstance(setting.difference, int | float) or not setting.u:
        return float("inf")
    return abs(setting.difference) / setting.u


def press(state: DifferencesState, key: str, keys: Keys, height: int) -> DifferencesState:
    """Return the state after a key; ``height`` rows are in view."""
    state = replace(state, wanted=None)
    action = keys.action("differences", key)
    place = moved(action, state.cursor, len(state.rows), height)
    if place is not None:
        return replace(state, cursor=place)
    match action:
        case "show" if state.rows:
            row = state.rows[state.cursor]
            if isinstance(row, ComparedSetting):
                return replace(state, wanted=Show(row.setting))
            if isinstance(row, ComparedPart | ComparedPiece) and _is_on(state.page, row.id):
                return replace(state, wanted=Show(row.id))
            if isinstance(row, Heading) and row.part:
                return replace(state, wanted=Show(row.part))
            return replace(state, message="that is not on this page")
        case "all_rows":
            return _arranged(replace(state, every=not state.every))
        case "by_size":
            return _arranged(replace(state, by_size=not state.by_size))
        case "moves":
            return _turned_over(replace(state, pieces=not state.pieces))
        case "unit":
            unit = LENGTH_UNITS[(LENGTH_UNITS.index(state.unit) + 1) % len(LENGTH_UNITS)]
            return replace(state, unit=unit, message=f"lengths in {UNIT_WORDS[unit]}")
        case "back" | "back_too":
            return replace(state, wanted="back")
        case "help" | "look":
            return replace(state, wanted=action)
    return state


def _is_on(page: Page, owner: str) -> bool:
    return owner in page.by_id or owner in page.by_spot


def _arranged(state: DifferencesState) -> DifferencesState:
    """Arrange the rows anew; the cursor stays on its row where that is still shown."""
    row = state.rows[state.cursor] if state.rows else None
    rows = _rows(state)
    cursor = rows.index(row) if row in rows else 0
    if state.pieces:
        what = "every piece" if state.every else "the pieces that moved"
        how = "the farthest first, in tolerances" if state.by_size else "in walking order"
    else:
        what = "every setting" if state.every else "what moved"
        how = "by size" if state.by_size else "by part"
    message = f"{what}, {how}" if state.is_filled or not state.pieces else WORKING
    return replace(state, rows=rows, cursor=cursor, message=message)


def _turned_over(state: DifferencesState) -> DifferencesState:
    """Show the pieces, or the settings again; from a piece to what hangs it, if that moved."""
    row = state.rows[state.cursor] if state.rows else None
    rows = _rows(state)
    cursor = _first(rows)
    if isinstance(row, ComparedPiece) and row.causes.of:
        cause = ("setting", row.causes.of[0].setting)
        cursor = next((i for i, held in enumerate(rows) if _name(held) == cause), cursor)
    message = WORKING if state.pieces and not state.is_filled else ""
    return replace(state, rows=rows, cursor=cursor, message=message)
