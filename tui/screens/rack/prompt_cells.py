"""The prompt line: what is typed and what it would be, or the last message."""

from __future__ import annotations

from dataclasses import replace

from rich.cells import cell_len

from model.book.take import instrument_for
from model.clean import clean
from model.compare.settings import difference_of
from model.readings.entry import parse_entry, show_change, show_value
from model.readings.quantity import Refusal
from model.rig.naming import owner_names
from model.rig.record_flags import limit_flag
from model.rig.setting import Setting
from tui.looks.look import Role
from tui.screens.rack.cells import part_detail, sense_words, setting_detail
from tui.screens.rack.state import Prompt, RackState
from tui.widgets.line import Cell

_ASKS = {
    "note": "note on {name}",
    "page note": "note about the page by {name}",
    "photos": "photo files of {name}, with commas",
    "find": "find",
    "reader": "who reads, initials",
}
_MESSAGE: dict[str, Role] = {
    "said": "quiet",
    "saved": "good",
    "kept": "moved",
    "refused": "refused",
}


def bottom_cells(
    state: RackState, width: int, effect: str = "", fault: str = ""
) -> tuple[list[Cell], list[Cell], list[Cell]]:
    """Return the three lines below the rows.

    While something is typed: what is measured, what Enter would record or why it is refused, and
    the line being typed. Else: the part, the setting, and what was said last; a long message takes
    the setting's line as well, so that a reason is never cut. ``effect`` is what the edit does to a
    piece: while it is typed in the place of what is measured, but its plus and zero stay where
    they have room; afterwards in the place of the part. ``fault`` is what stands in the way of the
    part's own place.
    """
    prompt = state.prompt
    message = Cell(state.message.text, _MESSAGE[state.message.sort])
    told = [Cell(effect, "good")] if effect else None
    if prompt is None:
        above, last = message_lines(state, width)
        return told or part_detail(state, fault), above or setting_detail(state), last
    asks = f"{_asks(state, prompt)}: "
    room = max(12, width - cell_len(asks))
    typed = [Cell(f"{asks}{prompt.typed.shown(room)}", "prompt")]
    if prompt.sort != "reading":
        return part_detail(state, fault), [message], typed
    outcome, role = outcome_words(state, prompt)
    if state.message.sort == "refused":
        return setting_detail(state), [message], typed
    if told is None:
        return setting_detail(state), [Cell(outcome, role)], typed
    first, last = _with_sense(
        told[0], Cell(outcome, role), sense_words(state.page.declared[prompt.target]), width
    )
    return first, last, typed


def _with_sense(
    first: Cell, last: Cell, sense: list[str], width: int
) -> tuple[list[Cell], list[Cell]]:
    """Return two lines, the setting's plus and zero, or the zero alone, on the one with room."""
    for words in (clean("; ".join(some)) for some in (sense, sense[-1:])):
        for cell in (first, last) if words else ():
            own = cell_len(clean(cell.text))
            if own + 2 + cell_len(words) <= width:
                with_it = [replace(cell, width=own), Cell(words, "quiet", right=True)]
                return (with_it, [last]) if cell is first else ([first], with_it)
    return [first], [last]


def message_lines(state: RackState, width: int) -> tuple[list[Cell], list[Cell]]:
    """Return what was said last on one line, or on two where one is not enough."""
    role = _MESSAGE[state.message.sort]
    first, rest = _broken(state.message.text, width)
    return ([Cell(first, role)], [Cell(rest, role)]) if rest else ([], [Cell(first, role)])


def _broken(text: str, width: int) -> tuple[str, str]:
    """Break a text over two lines at a space, where one is not enough."""
    if cell_len(text) <= width or width < 20:
        return text, ""
    at = text.rfind(" ", 0, width)
    return (text[:at], text[at + 1 :]) if at > 0 else (text[:width], text[width:])


def _asks(state: RackState, prompt: Prompt) -> str:
    if prompt.sort == "reading":
        declared = state.page.declared[prompt.target]
        using = instrument_for(state.page, declared, dict(state.instruments).get(declared.quantity))
        with_what = f" ({using})" if isinstance(using, str) else ""
        owner = owner_names(state.page)[declared.owner]
        return f"{owner}, {declared.label}{with_what}"
    name = owner_names(state.page).get(prompt.target, prompt.target)
    return _ASKS[prompt.sort].format(name=name)


def outcome_words(state: RackState, prompt: Prompt) -> tuple[str, Role]:
    """Say what Enter would record: the value, by how much it differs, and what is odd about it."""
    declared = state.page.declared[prompt.target]
    before = state.page.setting(prompt.target)
    asked = declared.asked(state.hand.unit, before.value)
    if not prompt.typed.text.strip():
        known = "" if before.value is None else f"{before.state} {show_value(before.value, asked)}"
        return (f"{known}; = takes it as read" if known else "nothing is known yet"), "quiet"
    answer = parse_entry(prompt.typed.text, asked)
    if isinstance(answer, Refusal):
        return answer.text(), "quiet"
    words = f"= {show_value(answer.value, asked)}"
    if declared.quantity == "length" and state.hand.unit != "mm":
        words += f" ({show_value(answer.value, replace(asked, unit='mm'))})"
    if isinstance(before.value, int | float) and isinstance(answer.value, int | float):
        by = difference_of(before.value, answer.value, declared)
        change = show_change(by, asked) if by else "the same"
        words += f", {change} on {show_value(before.value, asked)}"
    flag = limit_flag(
        "", Setting(state="read", value=answer.value, limit=before.limit), declared, asked.unit
    )
    return (f"{words}; {flag.what}", "moved") if flag else (words, "good")
