"""How the checklist tells where the pieces are: in rows, in the pane, in a line, at the end."""

from __future__ import annotations

from model.compare.putback.answer import Remains
from model.compare.putback.remains_text import REACHED
from model.compare.putback.work import is_home
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit
from tui.looks.look import Role
from tui.screens.putback.rows import LineRow, StepRow
from tui.screens.putback.state import PutBackState
from tui.widgets.line import Cell


def piece_cells(row: Remains, state: PutBackState, width: int) -> list[Cell]:
    """Return a piece's line: how far it is from home as the rig stands."""
    role: Role = "good" if row.reached == "home" else "text"
    role = "moved" if row.reached in ("not home", "not told", "unknown") else role
    words = REACHED[row.reached]
    name = f"{'*' if row.piece in state.chosen else ' '} {row.name}"
    if row.distance is None or row.tilt is None:
        return [Cell(name, role, min(24, width // 3)), Cell(f"{words}: {row.why}", role)]
    return [
        Cell(name, role, min(24, width // 3)),
        Cell(show_place(row.distance, state.hand.unit), role, 12, right=True),
        Cell(f"{row.tilt:.1f}°", role, 8, right=True),
        Cell(f"  {words}{_allowed(row, state)}", role),
    ]


PANE_WORDS = {
    "home": "home",
    "not home": "NOT home",
    "no tolerance": "",
    "unknown": "not known",
    "not told": "?",
}


def pane_cells(row: Remains, state: PutBackState) -> list[Cell]:
    """Return a piece's line in the pane beside the moves."""
    role: Role = "good" if row.reached == "home" else "text"
    role = "moved" if row.reached in ("not home", "not told", "unknown") else role
    far = "-" if row.distance is None else show_place(row.distance, state.hand.unit)
    tilt = "-" if row.tilt is None else f"{row.tilt:.1f}°"
    return [
        Cell(f" {row.name}", role, 14),
        Cell(far, role, 9, right=True),
        Cell(tilt, role, 7, right=True),
        Cell(f" {PANE_WORDS[row.reached]}", role),
    ]


def _allowed(row: Remains, state: PutBackState) -> str:
    told = [] if row.tolerance_mm is None else [show_place(row.tolerance_mm, state.hand.unit)]
    told += [] if row.tolerance_deg is None else [f"{row.tolerance_deg:g}°"]
    return f" ({', '.join(told)})" if told else ""


def remains_words(row: Remains, unit: LengthUnit) -> str:
    """Say right, ahead and up of what a piece is off."""
    if row.by is None:
        return f"{row.name}: {row.why}"
    ways = zip(row.by[:3], ("right", "ahead", "up"), ("left", "back", "down"), strict=True)
    told = [
        f"{show_place(abs(by), unit)} {more if by > 0.0 else less}"
        for by, more, less in ways
        if abs(by) >= 0.5
    ]
    return f"{row.name}: {', '.join(told)} from home" if told else f"{row.name} is home"


def pieces_words(state: PutBackState) -> str:
    """Say how far those pieces are from home that the row moves."""
    row = state.row
    if not isinstance(row, LineRow | StepRow):
        return ""
    line = row.line if isinstance(row, LineRow) else row.step.lines[0]
    told = []
    for held in state.work.off_from(line):
        if held.distance is None or held.tilt is None:
            told.append(f"{held.name}: {held.why}")
        else:
            told.append(
                f"{held.name}: {show_place(held.distance, state.hand.unit)}, {held.tilt:.1f}°"
            )
    return f"from home now: {'; '.join(told)}" if told else ""


def finished_words(state: PutBackState) -> str:
    """Say how it ended: home, or what is not."""
    standing = state.work.settled()
    if is_home(standing):
        return "all done: every piece is home within its tolerance"
    out = [
        f"{held.name} {show_place(held.distance, state.hand.unit)}"
        if held.distance is not None
        else f"{held.name} not known"
        for held in standing
        if held.reached in ("not home", "not told", "unknown")
    ]
    return f"all done, and not home: {', '.join(out)}; p tells"
