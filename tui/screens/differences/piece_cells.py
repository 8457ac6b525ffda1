"""How the pieces are drawn among the differences: a row each, and two lines about one."""

from __future__ import annotations

from model.compare.piece_answer import TO_REPORT, ComparedPiece
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit
from tui.looks.look import Role
from tui.moves import (
    cause_words,
    limit_words,
    only,
    shift_words,
    tilt_ways,
    tilt_words,
)
from tui.widgets.line import Cell

WAY, WIDE_WAY, TILT, VERDICT = 12, 16, 8, 20
WIDE = 110
MOST_NAMED = 2


def piece_heading(width: int) -> list[Cell]:
    """Return the columns' names."""
    way = WIDE_WAY if width >= WIDE else WAY
    return [
        Cell("piece", "heading"),
        *(Cell(word, "heading", way, right=True) for word in ("right", "ahead", "up")),
        Cell("tilt", "heading", TILT, right=True),
        Cell("", "heading", 2),
        Cell("moved", "heading", VERDICT),
    ]


def piece_cells(piece: ComparedPiece, unit: LengthUnit, width: int) -> list[Cell]:
    """Return one piece's row: how its middle moved, how it turned, and what that is worth."""
    way = WIDE_WAY if width >= WIDE else WAY
    role: Role = "moved" if piece.verdict in TO_REPORT - {"within tolerance"} else "quiet"
    cells = [Cell(piece.name, "text")]
    if piece.move is None or piece.tilt is None:
        cells.append(Cell("", "quiet", 3 * way + TILT))
    else:
        signed = _signed(piece, unit)
        cells += [Cell(f" {words}", role, way, right=True) for words in signed]
        cells.append(Cell(f" {tilt_words(piece.tilt, piece.u)}", role, TILT, right=True))
    return [*cells, Cell("", "text", 2), Cell(piece.verdict, role, VERDICT)]


def _signed(piece: ComparedPiece, unit: LengthUnit) -> list[str]:
    """Return the three ways with signs: + to the right, ahead, up; in brackets what is not told."""
    assert piece.move is not None
    amounts = (piece.move.right, piece.move.ahead, piece.move.up)
    u = piece.u
    spreads = (u.right, u.ahead, u.up) if u else (0.0, 0.0, 0.0)
    words = []
    for amount, spread in zip(amounts, spreads, strict=True):
        shown = show_place(abs(amount), unit)
        if shown == show_place(0.0, unit):
            words.append("-")
            continue
        sign = "+" if amount > 0 else "-"
        is_told = abs(amount) > 2.0 * spread
        words.append(f"{sign}{shown}" if is_told else f"({sign}{shown})")
    return words


def piece_details(piece: ComparedPiece, unit: LengthUnit) -> list[list[Cell]]:
    """Return the two lines about a piece: its move in words and how sure; what caused it."""
    if piece.move is None or piece.tilt is None:
        return [[Cell(f"{piece.name}: {piece.verdict}", "quiet")], [Cell(piece.why or "", "quiet")]]
    ways = [words for words in shift_words(piece.move, piece.u, unit) if words != "-"]
    tilt = tilt_ways(piece.tilt)
    limit = f"; tolerance {limit_words(piece.tolerance, unit)}" if piece.tolerance else ""
    told = ", ".join(ways) or "not moved"
    first = f"{piece.name}: {told}{_sure(piece, unit)}{f'; {tilt}' if tilt else ''}{limit}"
    return [[Cell(first, "quiet")], [Cell(_caused(piece, unit), "quiet")]]


def _sure(piece: ComparedPiece, unit: LengthUnit) -> str:
    if piece.u is None:
        return ""
    spreads = (piece.u.right, piece.u.ahead, piece.u.up)
    return f" ± {show_place(2.0 * max(spreads), unit)} at most"


def _caused(piece: ComparedPiece, unit: LengthUnit) -> str:
    words = []
    if by := list(cause_words(piece.causes, unit)):
        words.append(f"by {', '.join(by)}")
    elif by := list(cause_words(piece.tilt_causes, None)):
        words.append(f"tilt by {', '.join(by)}")
    if piece.not_measured:
        words.append(f"not measured: {only(piece.not_measured, MOST_NAMED)}")
    if piece.unsure:
        words.append(f"nobody said how sure: {only(piece.unsure, MOST_NAMED)}")
    return "; ".join(words)
