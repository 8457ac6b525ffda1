"""The differences' state: an answer of the comparison, what of it is shown, in which order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from model.compare.answer import Compared, ComparedPart, ComparedSetting
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


Row = Heading | ComparedPart | ComparedSetting


@dataclass(frozen=True, slots=True)
class DifferencesState:
    """All of the screen but its size; ``page`` is the later one, ``label`` names the other."""

    answer: Compared
    before_page: Page
    page: Page
    label: str
    unit: LengthUnit
    rows: tuple[Row, ...]
    cursor: int = 0
    every: bool = False
    by_size: bool = False
    message: str = ""
    wanted: Show | Ask | None = None


def start(
    answer: Compared, before: Page, page: Page, label: str, unit: LengthUnit
) -> DifferencesState:
    """Return the state in which an answer is shown: what moved, by part."""
    rows = rows_of(answer, every=False, by_size=False)
    first = next((i for i, row in enumerate(rows) if not isinstance(row, Heading)), 0)
    return DifferencesState(answer, before, page, label, unit, rows, first)


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
            if isinstance(row, ComparedPart) and _is_on(state.page, row.id):
                return replace(state, wanted=Show(row.id))
            if isinstance(row, Heading) and row.part:
                return replace(state, wanted=Show(row.part))
            return replace(state, message="that is not on this page")
        case "all_rows":
            return _arranged(state, every=not state.every, by_size=state.by_size)
        case "by_size":
            return _arranged(state, every=state.every, by_size=not state.by_size)
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


def _arranged(state: DifferencesState, *, every: bool, by_size: bool) -> DifferencesState:
    """Arrange the rows anew; the cursor stays on its row where that is still shown."""
    row = state.rows[state.cursor] if state.rows else None
    rows = rows_of(state.answer, every=every, by_size=by_size)
    cursor = rows.index(row) if row in rows else 0
    words = "every setting" if every else "what moved"
    message = f"{words}, {'by size' if by_size else 'by part'}"
    return replace(state, rows=rows, cursor=cursor, every=every, by_size=by_size, message=message)
