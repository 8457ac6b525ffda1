"""How the walk is drawn: the part, the setting, its value large, what is measured beside it."""

from __future__ import annotations

import textwrap
from itertools import zip_longest

from model.compare.settings import compare_setting
from model.readings.entry import show_change, show_value
from model.rig.naming import owner_names
from tui.looks.look import Role
from tui.screens.rack.cells import origin
from tui.screens.rack.units import UNIT_WORDS
from tui.screens.walk.sketch import sketch_for
from tui.screens.walk.state import WalkState
from tui.widgets.big import big_lines
from tui.widgets.line import Cell

LONGEST_TOLD = 10_000
"""A limit past this is only there to catch slips of the keys, and is not told."""
BESIDE = 26
"""Columns that the drawing has."""


def title_cells(state: WalkState) -> list[Cell]:
    """Return the first line: how far the walk is, and which page it is on."""
    head, hand = state.page.head, state.rack.hand
    sort = "short walk" if state.is_short else "walk"
    held = state.rack.file.held
    right = f" {len(held.ids)} not in the book " if held else ""
    right += f" by {hand.by or '-'}  {UNIT_WORDS[hand.unit]}"
    words = f"{sort}, {state.at + 1} of {len(state.keys)}, {state.left()} left"
    return [
        Cell(f"{words} · {head.date} {head.moment}, {head.venue or '-'}", "title"),
        Cell(right, "quiet", len(right), right=True),
    ]


def heading_cells(state: WalkState, width: int) -> list[Cell]:
    """Return the progress: one mark for each stretch of the walk, filled where nothing is left."""
    count, cells = len(state.keys), max(10, min(width - 2, 100))
    marks = []
    for cell in range(cells):
        first = cell * count // cells
        stretch = state.keys[first : max((cell + 1) * count // cells, first + 1)]
        here = cell == state.at * cells // count
        done = all(state.page.setting(key).state not in ("carried", "open") for key in stretch)
        marks.append("▲" if here else "█" if done and stretch else "·")
    return [Cell("".join(marks), "quiet")]


def body_lines(state: WalkState, width: int) -> list[tuple[str, Role]]:
    """Return the lines of the setting in hand, for a screen of ``width`` columns."""
    page, rack, key = state.page, state.rack, state.key
    declared, setting = page.declared[key], page.setting(key)
    asked = declared.asked(rack.hand.unit)
    names = owner_names(page)
    part = page.by_id.get(declared.owner)
    lines: list[tuple[str, Role]] = [(_path(state, declared.owner), "quiet")]
    marks = [word for word in (part.colour, part.mark, part.serial) if word] if part else []
    lines.append((f"{names[declared.owner]}   {'   '.join(marks)}", "part"))
    measured = f": {declared.measured}" if declared.measured else ""
    if declared.quantity == "word":
        measured = ": e, then your words"
    lines.append((f"{declared.label}{measured}", "title"))
    if part is not None and part.care:
        lines.append((part.care, "moved"))
    lines.append(("", "text"))
    if setting.value is None:
        assumed = declared.assumed
        value = "" if assumed is None else f"({show_value(assumed, asked)})"
    else:
        value = show_value(setting.value, asked)
    big = big_lines(value, width - BESIDE) or ["", value, ""]
    role: Role = setting.state
    drawn = sketch_for(page, declared)
    rows = zip_longest(big, drawn, fillvalue="")
    lines += [(f"  {left:<{max(0, width - BESIDE - 2)}}{right}", role) for left, right in rows]
    lines.append(("", "text"))
    words = origin(setting)
    told = words if words.startswith(setting.state) else f"{setting.state}: {words}"
    lines.append((told, role))
    if setting.note:
        lines.append((f"note: {setting.note}", "text"))
    lines += _beside(state)
    limit = setting.limit or declared.limit
    plus = [f"+ {declared.plus}"] if declared.plus else []
    zero = [f"0 {declared.zero}"] if declared.zero else []
    if limit is not None and limit[1] < LONGEST_TOLD:
        guess = ", a guess" if declared.limit_guess and setting.limit is None else ""
        ends = [show_value(int(v) if asked.quantity == "teeth" else v, asked) for v in limit]
        plus.append(f"{ends[0]} to {ends[1]}{guess}")
    about = "; ".join(word for word in [*plus, *zero, declared.loosen] if word)
    lines += [(line, "quiet") for line in textwrap.wrap(about, max(20, width - 1))]
    remarks = page.notes_on.get(declared.owner)
    if remarks and remarks.note:
        lines.append((f"note on it: {remarks.note}", "text"))
    return lines


def _path(state: WalkState, owner: str) -> str:
    steps: list[str] = []
    names, at = owner_names(state.page), owner
    while (part := state.page.by_id.get(at)) and part.on[0] in state.page.by_id and len(steps) < 9:
        at = part.on[0]
        steps.append(names[at])
    if steps:
        return " > ".join(reversed(steps))
    return "on the floor" if owner in state.page.by_id else ""


def _beside(state: WalkState) -> list[tuple[str, Role]]:
    beside = state.rack.beside
    declared = state.page.declared[state.key]
    if beside is None or state.key not in beside.page.declared:
        return []
    other = beside.page.setting(state.key)
    asked = declared.asked(state.rack.hand.unit)
    theirs = beside.page.declared[state.key].asked(state.rack.hand.unit)
    value = "" if other.value is None else f" {show_value(other.value, theirs)}"
    found = compare_setting(state.key, declared, beside.page, state.page, wanted=beside.is_home)
    words, role = "", "quiet"
    if found.verdict == "moved":
        words = (
            "  changed"
            if found.difference is None
            else (f"  moved by {show_change(found.difference, asked)}")
        )
        role = "moved"
    elif found.verdict == "within" and found.difference is not None:
        words = f"  within the readings' uncertainty ({show_change(found.difference, asked)})"
    elif found.verdict == "same":
        words = "  the same"
    shown: Role = "moved" if role == "moved" else "quiet"
    return [(f"{beside.label}: {other.state}{value}{words}", shown)]


def next_words(state: WalkState) -> str:
    """Say what comes next on the walk."""
    names, told = owner_names(state.page), []
    for key in state.keys[state.at + 1 : state.at + 4]:
        declared = state.page.declared[key]
        told.append(f"{names[declared.owner]} {declared.label}")
    return f"next: {', '.join(told)}" if told else "this is the last one"
