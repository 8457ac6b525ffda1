"""Cells laid out on one line of so many columns: what every row and bar is drawn from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from textual.strip import Strip

from model.clean import clean
from tui.looks.look import Look, Role

MORE = "…"


@dataclass(frozen=True, slots=True)
class Cell:
    """A text with its role, ``width`` columns wide; left to the line where it is None."""

    text: str
    role: Role = "text"
    width: int | None = None
    right: bool = False


Cells = Sequence[Cell]


def fitted(text: str, width: int, right: bool = False) -> str:
    """Return cleaned ``text`` in exactly ``width`` columns; what does not fit ends in ``…``."""
    text = clean(text)
    if cell_len(text) > width:
        if width <= 0:
            return ""
        cut = set_cell_size(text, width - 1)
        return cut + MORE if cell_len(cut) == width - 1 else set_cell_size(cut, width)
    gap = " " * (width - cell_len(text))
    return gap + text if right else text + gap


def line_text(cells: Cells, width: int) -> str:
    """Return the cells as plain text, ``width`` columns wide: for tests and screen readers."""
    return "".join(text for text, _ in _laid(cells, width))


def strip_of(cells: Cells, width: int, look: Look, on_cursor: bool = False) -> Strip:
    """Return the cells drawn in a look, ``width`` columns wide."""
    segments = [
        Segment(text, look.style(role, on_cursor)) for text, role in _laid(cells, width) if text
    ]
    return Strip(segments, width)


def _laid(cells: Cells, width: int) -> list[tuple[str, Role]]:
    """Lay the cells side by side; the one without a width takes what is left."""
    fixed = sum(cell.width for cell in cells if cell.width is not None)
    loose = [cell for cell in cells if cell.width is None]
    share = max(0, width - fixed) // max(1, len(loose))
    laid: list[tuple[str, Role]] = []
    left = width
    for cell in cells:
        wanted = cell.width if cell.width is not None else share
        if cell is (loose[-1] if loose else None):
            wanted = max(0, width - fixed) - share * (len(loose) - 1)
        wanted = min(wanted, left)
        laid.append((fitted(cell.text, wanted, cell.right), cell.role))
        left -= wanted
    if left > 0:
        laid.append((" " * left, cells[-1].role if cells else "text"))
    return laid
