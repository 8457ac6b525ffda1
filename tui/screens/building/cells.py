"""How the building screen is drawn: the parts as a tree, what each is, where it hangs."""

from __future__ import annotations

from model.readings.lengths import show_length
from model.rig.building.fields import shown_field
from model.rig.part import NOT_HUNG, Piece
from model.rig.tree import rig_tree
from tui.screens.building.asking import PIECES
from tui.screens.building.joints import joint_picture
from tui.screens.building.press import hanging_words
from tui.screens.building.state import Asking, BuildRow, BuildState
from tui.screens.rack.prompt_cells import message_lines
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.line import Cell

NAME, KIND, MARK = 35, 22, 2
"""Columns on 80; a wider screen gives the rest to the last two."""
ASKS = {
    "name": "what is it called",
    "size": "how large, or Enter",
    "bar": "what is the bar called",
    "own kind": "what is the kind called",
}


def title_cells(state: BuildState) -> list[Cell]:
    """Return the first line: which rig, how many parts, how many of them not hung."""
    head, parts = state.page.head, len(state.page.parts)
    loose = len(rig_tree(state.page).not_hung)
    word = "part" if parts == 1 else "parts"
    right = f" {parts} {word}{f', {loose} not hung' if loose else ''}  "
    right += UNIT_WORDS[state.rack.hand.unit]
    return [
        Cell(f"building: {head.rig} · {head.date} {head.moment}", "title"),
        Cell(right, "quiet", len(right), right=True),
    ]


def kind_width(width: int) -> int:
    """Return how wide the kinds' column is on a screen of some width."""
    return KIND + max(0, width - 80) // 2


def heading_cells(width: int) -> list[Cell]:
    """Return the columns' names."""
    return [
        Cell("part", "heading", NAME + MARK),
        Cell("kind", "heading", kind_width(width) + 1),
        Cell("size, outlet", "heading"),
    ]


def row_cells(state: BuildState, index: int, width: int) -> list[Cell]:
    """Return one row: marked or not, its name in its place, its kind, its size and outlet."""
    row: BuildRow = state.rows[index]
    mark = Cell("» " if row.id in state.marked else "", "moved", MARK)
    if row.id not in state.page.by_id:
        indent = "  " * row.depth
        return [mark, Cell(f"{indent}{row.name}", "open" if row.id == NOT_HUNG else "part")]
    part = state.page.by_id[row.id]
    kind = state.page.by_kind.get(part.kind or "")
    what = kind.name if kind else part.kind or part.type
    told = [part.at or "", part.colour or ""]
    if isinstance(part, Piece):
        size = shown_field(part, "size", lambda mm: show_length(mm, state.rack.hand.unit))
        told = [part.role or "", size, *told]
    if part.on[1:]:
        told = [f"and on {_name(state, part.on[1])}", *told]
    return [
        mark,
        Cell(f"{'  ' * row.depth}{row.name}", "part", NAME - 1),
        Cell("", "quiet", 1),
        Cell(what, "quiet", kind_width(width)),
        Cell("", "quiet", 1),
        Cell(", ".join(word for word in told if word), "text"),
    ]


def _name(state: BuildState, part_id: str) -> str:
    part = state.page.by_id.get(part_id)
    return part.name if part else part_id


def detail_cells(state: BuildState, width: int) -> tuple[list[Cell], list[Cell]]:
    """Return the two lines above the prompt: the joints, and what hangs on the part."""
    part = state.page.by_id.get(state.row.id)
    kind = state.page.by_kind.get(part.kind or "") if part else None
    above, last = message_lines(state.rack, width)
    joints = [
        Cell(joint_picture(kind) if kind else "no joints of its own" if part else "", "quiet")
    ]
    if state.asking is not None and state.rack.message.text:
        return (above, last) if above else (joints, last)
    return joints, above or [Cell(hanging_words(state), "quiet")]


def prompt_cells(state: BuildState, width: int) -> list[Cell]:
    """Return the line being typed, or what was said last."""
    if state.asking is None:
        return message_lines(state.rack, width)[1]
    return [Cell(f"{_asks(state, state.asking)}: {state.asking.typed.shown(40)}", "prompt")]


def _asks(state: BuildState, asking: Asking) -> str:
    if asking.sort == "field":
        return f"{_name(state, asking.part)}, {asking.word}"
    if asking.sort == "size" and asking.wish is not None:
        sort = asking.wish.fields.get("sort", "")
        example = PIECES.get(sort, "").partition(" ")[2] or '12"'
        unit = UNIT_WORDS[state.rack.hand.unit]
        return f"{asking.wish.name}: {ASKS['size']} ({unit}, such as {example})"
    return ASKS[asking.sort]
