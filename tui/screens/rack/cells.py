"""How the rack screen is drawn: its state as cells, line by line, for any width from 80 on."""

from __future__ import annotations

from dataclasses import dataclass

from model.compare.settings import compare_setting
from model.readings.entry import show_change, show_value
from model.rig.counting import count_settings
from model.rig.declared import Declared
from model.rig.part import Piece
from model.rig.setting import Setting
from tui.looks.look import Role
from tui.screens.rack.rows import Row
from tui.screens.rack.state import Beside, RackState
from tui.screens.rack.units import UNIT_WORDS
from tui.widgets.line import Cell

STATE = 8
NARROW = 72
"""Below so many columns the other page and what moved have no room."""

WIDE = 110
"""From so many columns on, values get more room, and who read with what has a column."""


@dataclass(frozen=True, slots=True)
class Columns:
    """How wide the columns are on a screen of some width."""

    value: int
    moved: int
    who: int
    indent: int


def columns(width: int) -> Columns:
    """Return the columns for a width: the label takes what they leave."""
    return Columns(18, 14, 16, 2) if width >= WIDE else Columns(12, 11, 0, 1)


_ROLE: dict[str, Role] = {
    "read": "read",
    "seen": "seen",
    "carried": "carried",
    "open": "open",
    "follows": "follows",
}


def title_cells(state: RackState) -> list[Cell]:
    """Return the first line: which page of which rig, what is left, who reads in which unit."""
    head = state.page.head
    closed = "closed  " if head.closed else ""
    counts = count_settings(state.page)
    left = counts["carried"] + counts["open"]
    held = f"{len(state.file.held.ids)} not in the book  " if state.file.held else ""
    right = f" {held}{closed}{left} left  by {state.hand.by or '-'}  {UNIT_WORDS[state.hand.unit]}"
    venue = f", {head.venue}" if head.venue else ""
    return [
        Cell(f"{head.date} {head.moment}{venue} · {head.rig}", "title"),
        Cell(right, "quiet", len(right), right=True),
    ]


def heading_cells(state: RackState, width: int) -> list[Cell]:
    """Return the columns' names."""
    of = columns(width)
    beside = state.beside.label if state.beside else "no other page"
    own = [
        Cell("part and setting", "heading"),
        Cell("this page", "heading", STATE + of.value, right=True),
    ]
    if width < NARROW:
        return own
    return [
        *own,
        Cell("  by, with" if of.who else "", "heading", of.who),
        Cell("  ", "heading", 2),
        Cell(beside, "heading", STATE + of.value, right=True),
        Cell("moved by", "heading", of.moved, right=True),
    ]


def row_cells(state: RackState, index: int, width: int) -> list[Cell]:
    """Return one row: a part with what is folded in it, or a setting on both pages."""
    row, of = state.rows[index], columns(width)
    indent = " " * (row.depth * of.indent)
    if row.sort != "setting":
        return _part_cells(state, row, indent)
    declared = state.page.declared[row.id]
    setting = state.page.setting(row.id)
    using = None if setting.state == "seen" else setting.using  # nobody measured it tonight
    who = " ".join(word for word in (setting.by, using) if word)
    cells = [
        Cell(f"{indent}  {row.label}", "text"),
        *_value_cells(setting, declared, state, of),
    ]
    if width < NARROW:
        return cells
    cells += [Cell(f"  {who}" if of.who else "", "quiet", of.who), Cell("  ", "text", 2)]
    beside = state.beside
    other = beside.page if beside else None
    if beside is None or other is None or row.id not in other.declared:
        absent = "not there" if other else ""
        cells.append(Cell(absent, "quiet", STATE + of.value, right=True))
        cells.append(Cell("", "text", of.moved))
        return cells
    cells += _value_cells(other.setting(row.id), other.declared[row.id], state, of)
    text, role = moved_words(beside, row.id, declared, state)
    cells.append(Cell(text, role, of.moved, right=True))
    return cells


def _part_cells(state: RackState, row: Row, indent: str) -> list[Cell]:
    folded = row.owner in state.folded
    sign = "▸" if folded else "▾"
    words = [row.label]
    part = state.page.by_id.get(row.owner)
    if part is not None:
        words += [word for word in (part.colour, part.mark) if word]
    remarks = state.page.notes_on.get(row.owner)
    if remarks and remarks.note:
        words.append(f"“{remarks.note}”")
    if remarks and remarks.photos:
        words.append(f"[{', '.join(remarks.photos)}]")
    if folded:
        words.append(_folded_words(state, row.owner))
    return [Cell(f"{indent}{sign} {'  '.join(words)}", "part")]


def _folded_words(state: RackState, owner: str) -> str:
    owners = set(state.tree.below(owner))
    own = [d.key for d in state.page.declared.values() if d.owner in owners]
    left = sum(state.page.setting(key).state in ("carried", "open") for key in own)
    return f"({len(own)} settings, {left} left)" if own else ""


def _value_cells(setting: Setting, declared: Declared, state: RackState, of: Columns) -> list[Cell]:
    role = _ROLE[setting.state]
    asked = declared.asked(state.hand.unit)
    value = "" if setting.value is None else show_value(setting.value, asked)
    if setting.state == "open" and declared.assumed is not None:
        value = f"({show_value(declared.assumed, asked)})"
    return [
        Cell(setting.state, role, STATE, right=True),
        Cell(f" {value}", role, of.value, right=True),
    ]


def moved_words(beside: Beside, key: str, declared: Declared, state: RackState) -> tuple[str, Role]:
    """Say by how much a setting moved; in brackets where the readings cannot tell it from none."""
    found = compare_setting(key, declared, beside.page, state.page, wanted=beside.is_home)
    if found.verdict == "not comparable":
        return "", "quiet"
    if found.verdict == "same":
        return "same", "quiet"
    if found.difference is None:
        return "changed", "moved"
    shown = show_change(found.difference, declared.asked(state.hand.unit))
    return (f"({shown})", "quiet") if found.verdict == "within" else (shown, "moved")


def part_detail(state: RackState, fault: str = "") -> list[Cell]:
    """Return the line about the part that the cursor is on: what to mind, kind, serial, stem.

    ``fault`` is what stands in the way of its own place.
    """
    part = state.page.by_id.get(state.row.owner)
    if part is None:
        return [Cell("", "quiet")]
    kind = state.page.by_kind.get(part.kind or "")
    carriers = [state.page.by_id[on].name if on in state.page.by_id else on for on in part.on]
    words = [part.care] if part.care else []
    words += [f"at fault: {fault}"] if fault else []
    words += [f"{part.name}: {kind.name if kind else part.type}", f"on {' and '.join(carriers)}"]
    words += [f"at {part.at}"] if part.at else []
    words += [f"no. {part.serial}"] if part.serial else []
    words += [f"stem: {', '.join(part.stem)}"] if isinstance(part, Piece) and part.stem else []
    return [Cell("  ".join(words), "quiet")]


def setting_detail(state: RackState) -> list[Cell]:
    """Return the line about the setting: from where to where, its zero, who read it, limits.

    Where the line is too short, what one must know to measure is cut last.
    """
    row = state.row
    declared = state.page.declared.get(row.id) if row.sort == "setting" else None
    if declared is None:
        remarks = state.page.notes_on.get(row.owner)
        note = f"note: {remarks.note}" if remarks and remarks.note else ""
        return [Cell(note, "quiet")]
    setting = state.page.setting(row.id)
    words = [f"{declared.label}: {declared.measured}" if declared.measured else declared.label]
    words += [f"“{setting.value}”"] if isinstance(setting.value, str) else []
    words += sense_words(declared)
    words += ["Enter, then your words"] if declared.quantity == "word" else []
    words += [f"note: {setting.note}"] if setting.note else []
    words += [origin(setting)]
    words += _limit_words(declared, setting, state)
    words += [declared.loosen]
    return [Cell("; ".join(word for word in words if word), "quiet")]


def sense_words(declared: Declared) -> list[str]:
    """Say which way is plus, and where the setting's zero is."""
    plus = [f"+ {declared.plus}"] if declared.plus else []
    return plus + ([f"0 {declared.zero}"] if declared.zero else [])


def _limit_words(declared: Declared, setting: Setting, state: RackState) -> list[str]:
    limit = setting.limit or declared.limit
    if limit is None:
        return []
    asked = declared.asked(state.hand.unit)
    low, high = (
        show_value(round(end) if asked.quantity == "teeth" else end, asked) for end in limit
    )
    guess = " (a guess)" if declared.limit_guess and setting.limit is None else ""
    return [f"{low} to {high}{guess}"]


def origin(setting: Setting) -> str:
    """Say where a value comes from: who read it, with what, on which page."""
    with_what = f" with {setting.using}" if setting.using else ""
    who = f" by {setting.by}" if setting.by else ""
    match setting.state:
        case "read":
            return f"read{who}{with_what}"
        case "seen":
            return f"seen{who}, read on {setting.page}"
        case "carried":
            return f"carried from {setting.page}, read{who}{with_what}"
        case "follows":
            return "follows from the rest" + (f", checked{who}{with_what}" if who else "")
    return "nothing is known"
