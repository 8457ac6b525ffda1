"""What stands beside the rows: the drawing, where the chosen piece is, what an edit does to it.

It loads the geometry; the screen asks for it only when it is wanted, and never waits for it.
"""

from __future__ import annotations

from model.compare.moves import STILL, Move, piece_moves
from model.picture.scene import Scene
from model.readings.angles import show_angle
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit, Refusal
from model.rig.page import Page
from model.rig.part import FLOOR, Piece
from model.space.positions import Positions
from model.space.surfaces import lean_toward
from tui.screens.rack.drawing import VIEW_WORDS, drawing_lines
from tui.screens.rack.prompt import entered
from tui.screens.rack.state import RackState
from tui.screens.text import wrapped
from tui.widgets.line import Cell

WORDS = 4
"""Lines below the drawing: which piece, where, how it leans, its edges."""
LEAST_TILT = 0.05
"""A tilt that changed by less, degrees, stayed as it was."""


def typed_page(state: RackState) -> Page | None:
    """Return the page as it would be with the reading being typed; None where there is none yet."""
    prompt = state.prompt
    if prompt is None or prompt.sort != "reading" or not prompt.typed.text.strip():
        return None
    if prompt.target not in state.page.declared:
        return None
    edit = entered(state, prompt)
    return None if isinstance(edit, Refusal) else state.page.with_setting(edit.key, edit.setting)


def pane_lines(
    state: RackState,
    positions: Positions,
    scene: Scene,
    size: tuple[int, int],
    *,
    braille: bool,
) -> list[list[Cell]]:
    """Return the pane, ``size`` columns and rows: the view, the drawing, the chosen piece."""
    width, height = size
    assert state.view is not None
    picked = frozenset(state.tree.below(state.row.owner))
    drawn = height - 1 - WORDS
    lines = [[Cell(f" {VIEW_WORDS[state.view]}", "heading")]]
    if drawn > 2:
        lines += [
            [Cell(" ", "text", 1), *row]
            for row in drawing_lines(scene, state.view, picked, (width - 1, drawn), braille=braille)
        ]
    words = piece_words(state, positions, picked)
    if len(words) < WORDS:  # why there is no place may take more than a line
        words = [part for line in words for part in wrapped(line, width - 1)]
    lines += [
        [Cell(f" {line}", "moved" if number == 0 else "text")]
        for number, line in enumerate(words[:WORDS])
    ]
    return lines


def piece_words(state: RackState, positions: Positions, picked: frozenset[str]) -> list[str]:
    """Return where the chosen piece is, in lines; how many there are where it is not one."""
    if state.row.owner not in state.page.by_id:
        return _floor_words(state) if state.row.owner == FLOOR else []
    pieces = [part for part in state.page.parts if isinstance(part, Piece) and part.id in picked]
    if len(pieces) != 1:
        return [f"{len(pieces)} pieces hang on it" if pieces else "no piece hangs on it"]
    piece, unit = pieces[0], state.hand.unit
    placed = positions.pieces.get(piece.id)
    if placed is None:
        open_ = positions.open_settings(piece.id)
        fault = positions.fault(piece.id)
        why = f"open: {', '.join(open_)}" if open_ else fault.what if fault else ""
        return [piece.name, "place not known", why]
    x, y, z = (float(v) for v in placed.first.at[0])
    lean, toward = lean_toward(placed.first.z)
    words = [
        piece.name,
        f"{_way(x, unit, 'right', 'left')}, {_way(y, unit, 'ahead', 'behind')}",
        f"{show_place(z, unit)} up, "
        + (
            ("level" if lean < 90.0 else "upside down")
            if toward is None
            else f"leans {show_angle(round(lean, 1))} to {show_angle(round(toward))}"
        ),
    ]
    edges = positions.edges(piece.id)
    if edges is not None:
        words.append(f"near {show_place(edges[0], unit)}, far {show_place(edges[1], unit)}")
    return words


def _floor_words(state: RackState) -> list[str]:
    count = sum(isinstance(branch.part, Piece) for branch in state.tree.branches())
    if count == 1:
        return ["one piece stands or hangs on it"]
    return [f"{count or 'no'} pieces stand or hang on it"]


def effect_words(
    before: Positions, after: Positions, unit: LengthUnit, picked: frozenset[str]
) -> str:
    """Say what an edit did: to the chosen piece, or else to the piece that it moved most."""
    found = sorted(
        piece_moves(before, after, measured=False),
        key=lambda move: (move.piece not in picked, -_amount(move)),
    )
    moved = [move for move in found if _amount(move) > 1.0]
    fresh = [p.piece.name for key, p in after.pieces.items() if key not in before.pieces]
    lost = [p.piece.name for key, p in before.pieces.items() if key not in after.pieces]
    words = [_move_words(moved[0], unit)] if moved else []
    words += [f"{len(moved) - 1} more move"] if len(moved) > 1 else []
    words += [f"{', '.join(fresh)} has a place now"] if fresh else []
    words += [f"{', '.join(lost)} has no place"] if lost else []
    return "; ".join(words)


def _amount(move: Move) -> float:
    """Return how much a piece moved, as shares of what is worth telling."""
    return max(move.distance / STILL, *(abs(tilt) / LEAST_TILT for tilt in move.by[3:]))


def _move_words(move: Move, unit: LengthUnit) -> str:
    right, ahead, up, tilt_ahead, tilt_right = move.by
    words = [
        _way(amount, unit, plus, minus)
        for amount, plus, minus in (
            (right, "right", "left"),
            (ahead, "ahead", "back"),
            (up, "up", "down"),
        )
        if show_place(abs(amount), unit) != show_place(0.0, unit)
    ]
    words += [
        f"{show_angle(round(abs(tilt), 1))} tilt {plus if tilt > 0 else minus}"
        for tilt, plus, minus in (
            (tilt_ahead, "ahead", "back"),
            (tilt_right, "right", "left"),
        )
        if abs(tilt) >= LEAST_TILT
    ]
    # A name may end in a number: Tom 1.
    return f"{move.name}: {', '.join(words) or 'hardly moves'}"


def _way(amount: float, unit: LengthUnit, plus: str, minus: str) -> str:
    return f"{show_place(abs(amount), unit)} {plus if amount >= 0 else minus}"
