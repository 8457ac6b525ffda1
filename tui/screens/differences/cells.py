"""How the differences are drawn, line by line."""

from __future__ import annotations

from collections import Counter

from model.compare.answer import ComparedPart, ComparedSetting, RecordedValue
from model.compare.piece_answer import PIECE_VERDICTS, TO_REPORT, ComparedPiece
from model.readings.entry import Asked, show_value
from tui.looks.look import Role
from tui.moves import change_words, own_words
from tui.screens.differences.piece_cells import piece_cells, piece_details, piece_heading
from tui.screens.differences.state import DifferencesState, Heading
from tui.screens.rack.cells import STATE, columns
from tui.widgets.line import Cell

OWN = "*"
"""What marks the difference of a joint's own values."""


def title_cells(state: DifferencesState) -> list[Cell]:
    """Return the first line: from which page to which."""
    answer = state.answer
    after = answer.after
    return [
        Cell(f"from {state.label} to {after.date} {after.moment}, {after.venue or '-'}", "title")
    ]


def heading_cells(state: DifferencesState, width: int) -> list[Cell]:
    """Return the columns' names."""
    if state.pieces:
        return piece_heading(width)
    of = columns(width)
    return [
        Cell("part and setting", "heading"),
        Cell(state.label, "heading", STATE + of.value, right=True),
        Cell("  ", "heading", 2),
        Cell("this page", "heading", STATE + of.value, right=True),
        Cell("moved by", "heading", of.moved, right=True),
    ]


def row_cells(state: DifferencesState, index: int, width: int) -> list[Cell]:
    """Return one row."""
    row, of = state.rows[index], columns(width)
    if isinstance(row, Heading):
        return [Cell(row.words, "part")]
    if isinstance(row, ComparedPart):
        return [Cell(f"  {part_words(row)}", "moved")]
    if isinstance(row, ComparedPiece):
        return piece_cells(row, state.unit, width)
    asked = state.page.declared[row.setting].asked(state.unit)
    name = f"{row.part_name}, {row.name}" if state.by_size else row.name
    words, role = _moved(row, asked)
    return [
        Cell(f"  {name}", "text"),
        *_value(row.before, state.before_page.declared[row.setting].asked(state.unit), of.value),
        Cell("  ", "text", 2),
        *_value(row.after, asked, of.value),
        Cell(words, role, of.moved, right=True),
    ]


def part_words(row: ComparedPart) -> str:
    """Say one difference of structure in a line."""
    if row.change == "added":
        return f"{row.name} is new, on {row.after or '-'}"
    if row.change == "removed":
        return f"{row.name} is gone; it was on {row.before or '-'}"
    if row.change == "hung elsewhere":
        return f"{row.name} hangs on {row.after or '-'}; it was on {row.before or '-'}"
    return f"{row.name}, {row.field}: {row.before or '-'} became {row.after or '-'}"


def _value(held: RecordedValue, asked: Asked, width: int) -> list[Cell]:
    value = "" if held.value is None else show_value(held.value, asked)
    return [
        Cell(held.state, held.state, STATE, right=True),
        Cell(f" {value}", held.state, width, right=True),
    ]


def _moved(row: ComparedSetting, asked: Asked) -> tuple[str, Role]:
    if row.verdict in ("same", "not comparable"):
        return ("same" if row.verdict == "same" else "-"), "quiet"
    if row.difference is None:
        return "changed", "moved"
    # A star: what was read would not tell; the joint's own two values do.
    shown = f"{change_words(row, asked)}{OWN if row.converted else ''}"
    return (f"({shown})", "quiet") if row.verdict == "within" else (shown, "moved")


def detail_cells(state: DifferencesState) -> list[list[Cell]]:
    """Return the two lines about the row that the cursor is on: how sure, and why."""
    row = state.rows[state.cursor] if state.rows else None
    if isinstance(row, ComparedPiece):
        return piece_details(row, state.unit)
    if not isinstance(row, ComparedSetting):
        return [[Cell("", "quiet")], [Cell("", "quiet")]]
    asked = state.page.declared[row.setting].asked(state.unit)
    words = [f"{row.part_name}, {row.name}: {row.verdict}"]
    if row.quantity == "word":
        words.append(f"“{row.before.value or '-'}” and “{row.after.value or '-'}”")
    if row.u is not None:
        u = round(row.u, 2) if row.converted else row.u
        words.append(f"two readings tell ±{show_value(2 * u, asked)}")
    words += [row.why] if row.why else []
    for held, which in ((row.before, "first"), (row.after, "second")):
        if held.state in ("carried", "seen") and held.page:
            words.append(f"the {which} was read on {held.page}")
    return [[Cell("; ".join(words), "quiet")], [Cell(_own_words(row, asked), "quiet")]]


def _own_words(row: ComparedSetting, asked: Asked) -> str:
    if not row.converted:
        return ""
    return f"{OWN} the joint's {own_words(row, asked)}: what was read is of more than the joint"


def count_cells(state: DifferencesState) -> list[Cell]:
    """Return the line that counts: what moved, what did not, what cannot be told."""
    if state.message:
        return [Cell(state.message, "quiet")]
    pieces = Counter(piece.verdict for piece in state.answer.pieces)
    if state.pieces:
        told = [f"{pieces[verdict]} {verdict}" for verdict in PIECE_VERDICTS if verdict in pieces]
        return [Cell(", ".join(told) or "no piece is on these pages", "quiet")]
    told = [f"{number} {verdict}" for verdict, number in state.answer.counts.items() if number]
    parts = len(state.answer.structure)
    told += [f"{parts} of structure"] if parts else []
    words = ", ".join(told) or "nothing to compare"
    moved = sum(pieces[verdict] for verdict in TO_REPORT)
    return [Cell(f"{words}; {moved} pieces moved: p" if moved else words, "quiet")]
