"""How the checklist is drawn, line by line."""

from __future__ import annotations

import textwrap

from rich.cells import cell_len

from model.compare.answer import owner_name
from model.compare.putback.answer import Line, Remains, StructureStep, Unread
from model.compare.putback.line_text import (
    as_fine_as,
    asked_for,
    line_text,
    shown,
    unread_text,
    way_text,
)
from model.compare.putback.step_text import box, step_title
from model.readings.entry import Asked, show_change
from tui.looks.look import Role
from tui.screens.putback.piece_cells import (
    finished_words,
    piece_cells,
    pieces_words,
    remains_words,
)
from tui.screens.putback.rows import LineRow, Row, StepRow, Words
from tui.screens.putback.state import Asking, PutBackState, minutes_left, stands_at
from tui.widgets.line import Cell

NARROW = 70
"""Columns under which a line keeps its name and where it goes, and nothing more."""
NAME, TO = 38, 20


def title_cells(state: PutBackState) -> list[Cell]:
    """Return the first line: from which page to which, and how much of it is done."""
    whole = len(state.work.done) + len(state.work.left)
    head = state.desk.now.page.head
    short = ", what is enough" if state.part.enough else ""
    if state.part.minutes is not None:
        short = f", in {state.part.minutes:g} min"
    words = f"put back: {head.date} {head.moment} to {state.label}{short}"
    count = f"{whole - len(state.work.left)} of {whole} done"
    return [Cell(words, "title"), Cell(count, "title", len(count) + 1, right=True)]


def heading_cells(state: PutBackState) -> list[Cell]:
    """Return the second line: where one stands, and what is left."""
    if state.pieces:
        words = "how far each piece is from home now; Space chooses, n: normal from now on"
        return [Cell(words, "heading")]
    side = "" if state.side == "both" else f"{state.side} side; "
    left = f"{side}about {minutes_left(state):.0f} min left"
    return [
        Cell(f"at {stands_at(state) or '-'}", "heading"),
        Cell(left, "heading", len(left) + 1, right=True),
    ]


def row_cells(state: PutBackState, index: int, width: int) -> list[Cell]:
    """Return one row."""
    row = state.rows[index]
    match row:
        case Words():
            return [_words(row)]
        case StepRow():
            done = all(line.tick in state.work.done for line in row.step.lines)
            return [
                Cell(f"{row.step.number:>3} {step_title(row.step)}", "quiet" if done else "part")
            ]
        case LineRow():
            return _line(state, row.line, width)
        case StructureStep():
            text = f"  {box(row.tick, state.work.done)} {row.text}"
            return [Cell(text, "quiet" if row.tick in state.work.done else "moved")]
        case Unread():
            return [
                Cell(f"    {unread_text(row, state.work.answer_page, state.hand.unit)}", "carried")
            ]
        case Remains():
            return piece_cells(row, state, width)


def _words(row: Words) -> Cell:
    match row.sort:
        case "stand":
            return Cell(row.text, "heading")
        case "hold":
            return Cell(f"      ! {row.text}", "part")
        case _:
            return Cell(f"      - {row.text}", "text")


def _line(state: PutBackState, line: Line, width: int) -> list[Cell]:
    done = line.tick in state.work.done
    role: Role = "quiet" if done else "moved" if line.task in ("set", "dial") else "text"
    name = Cell(f"    {box(line.tick, state.work.done)} {_name(line)}", role, None)
    asked = asked_for(line, state.work.answer_page, state.hand.unit)
    again = state.work.again.get(line.tick)
    if again is not None:
        goal = Cell(f"read {shown(again.value, asked)}", "read", min(TO, width // 3), right=True)
    else:
        goal = Cell(_goal(line, asked), role, min(TO, width // 3), right=True)
    if width < NARROW:
        return [name, goal]
    name, way = Cell(name.text, role, NAME), _short_way(way_text(line, asked))
    if again is not None:
        way = _off_words(state, line, asked)
    if cell_len(goal.text) > TO:
        return [name, Cell(f"  {goal.text}  {way}", goal.role)]
    return [name, goal, Cell(f"  {way}", role)]


def _off_words(state: PutBackState, line: Line, asked: Asked) -> str:
    """Say how far a setting that was read again is off home."""
    off = state.work.off_home(line.tick)
    return "" if off is None else f"{show_change(off, asked)} off home" if off else "home"


def _short_way(way: str) -> str:
    """Return a way in the fewest words; the whole line stands below the rows."""
    return way.replace("to the player's ", "").replace("the player", "player")


def _name(line: Line) -> str:
    return f"{line.part_name}, {line.name}" if line.task != "roll" else f"roll, by {line.part_name}"


def _goal(line: Line, asked: object) -> str:
    assert isinstance(asked, Asked)
    to = as_fine_as(line.to, asked, line.u)
    match line.task:
        case "keep":
            return f"keep {to}"
        case "mark":
            return "mark it before"
        case "roll":
            return f"until {to}"
    if line.start is None or line.unread:
        return f"set {to}"
    return f"{as_fine_as(line.start, asked, line.u)} → {to}"


def bottom_cells(
    state: PutBackState, width: int
) -> tuple[list[Cell], list[Cell], list[Cell], list[Cell]]:
    """Return the four lines below: the whole line in words, its pieces, and what was said."""
    first, second = (*_whole(state, width), "", "")[:2]
    if state.asking is not None:
        asks = _asks(state, state.asking)
        room = max(12, width - len(asks) - 2)
        last = Cell(f"{asks}: {state.asking.typed.shown(room)}", "prompt")
        said = (
            [Cell(state.message, "refused")]
            if state.message
            else [Cell(pieces_words(state), "good")]
        )
        return [Cell(first, "quiet")], [Cell(second, "quiet")], said, [last]
    role: Role = "refused" if state.refused else "quiet"
    if not state.work.left and not state.message:
        role, words = "good", finished_words(state)
    else:
        words = state.message
    return (
        [Cell(first, "text")],
        [Cell(second, "text")],
        [Cell(pieces_words(state), "good")],
        [Cell(words, role)],
    )


def _whole(state: PutBackState, width: int) -> list[str]:
    row: Row | None = state.row
    text = ""
    match row:
        case LineRow():
            text = line_text(row.line, state.work.answer_page, state.hand.unit)
            again = state.work.again.get(row.line.tick)
            if again is not None:
                asked = asked_for(row.line, state.work.answer_page, state.hand.unit)
                off = _off_words(state, row.line, asked)
                text = f"READ AGAIN {shown(again.value, asked)}, {off}; was {text}"
        case StepRow():
            text = step_title(row.step)
        case StructureStep() | Words():
            text = row.text
        case Unread():
            text = unread_text(row, state.work.answer_page, state.hand.unit)
        case Remains():
            text = remains_words(row, state.hand.unit)
    return textwrap.wrap(text, max(20, width), max_lines=2, placeholder="…", break_on_hyphens=False)


def _asks(state: PutBackState, asking: Asking) -> str:
    if asking.sort == "minutes":
        return "minutes there are (nothing for the whole list)"
    if asking.sort == "reason":
        return "normal from now on, because"
    page = state.work.answer_page
    declared = page.declared.get(asking.target)
    told = f"{owner_name(page, declared.owner)}, {declared.label}" if declared else asking.target
    return f"read again, {told}"
