"""A line of the put-back in words, so that a hand can carry it out."""

from __future__ import annotations

from model.compare.putback.answer import Line, Unread
from model.compare.putback.words import fine
from model.readings.entry import Asked, show_change, show_value
from model.readings.quantity import LengthUnit, Value
from model.rig.page import Page


def line_text(line: Line, page: Page, unit: LengthUnit) -> str:
    """Say one line so that it can be carried out without looking anything up."""
    asked = asked_for(line, page, unit)
    name = f"{line.part_name}, {line.name}"
    to, start = as_fine_as(line.to, asked, line.u), as_fine_as(line.start, asked, line.u)
    by = f" by {line.using}" if line.using and line.quantity == "angle" else ""
    by += f", {line.leans}" if line.leans else ""
    measured = f" ({line.measured})" if line.measured else ""
    match line.task:
        case "keep":
            return f"{name}: keep at {to}{by}{measured}"
        case "mark":
            tonight = f" (tonight {to}{by})" if line.to is not None else ""
            return f"{name}: keep at your mark; home does not know it{tonight}"
        case "roll":
            bar = page.by_id.get(line.tick.removeprefix("roll."))
            told = bar.name if bar else "the loose bar"
            return f"Turn {told} until {name} shows {to}{by}{measured}"
        case "dial":
            return f"{name}: {_from_to(line, start, to)}{_dial_way(line, asked)}"
        case "set":
            return f"{name}: {_from_to(line, start, to)}{by}{_way(line, asked)}{measured}"


def _from_to(line: Line, start: str, to: str) -> str:
    if line.start is None:
        return f"set to {to}"
    if line.unread:
        return f"set to {to}, nobody read it tonight; last known {start}"
    return f"{start} -> {to}"


def way_text(line: Line, asked: Asked) -> str:
    """Say by how much and which way a line goes; nothing where it stays or nobody read it."""
    if line.task == "dial":
        return show_change(line.by, asked) if line.by else ""
    if not line.way or line.by is None or line.unread:
        return ""
    if line.quantity == "length":
        aside = f" ({line.aside})" if line.aside else ""
        return f"{line.way} {shown(abs(line.by), asked)}{aside}"
    return line.way


def _way(line: Line, asked: Asked) -> str:
    words = way_text(line, asked)
    return f", {words}" if words else ""


def _dial_way(line: Line, asked: Asked) -> str:
    words = way_text(line, asked)
    return f" ({words})" if words else ""


def shown(value: Value | None, asked: Asked) -> str:
    """Show a value, or a dash where it is not known."""
    return "-" if value is None else show_value(value, asked)


def asked_for(line: Line, page: Page, unit: LengthUnit) -> Asked:
    """Return how a line's values are shown."""
    declared = page.declared.get(line.tick)
    return declared.asked(unit) if declared is not None else Asked(line.quantity, unit)


FINEST = 0.01
"""Degrees: what an instrument surer than this reads is told to a thousandth."""


def as_fine_as(value: Value | None, asked: Asked, u: float | None) -> str:
    """Show a value as finely as its instrument can tell it; a dash where it is not known."""
    if asked.quantity != "angle" or not isinstance(value, float):
        return shown(value, asked)
    if u is not None and u < FINEST:
        return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".") + "°"
    return shown(fine(value, u), asked)


def unread_text(held: Unread, page: Page, unit: LengthUnit) -> str:
    """Say where an unread joint belongs."""
    declared = page.declared.get(held.setting)
    asked = declared.asked(unit) if declared is not None else Asked(held.quantity, unit)
    by = f" by {held.using}" if held.using and held.quantity == "angle" else ""
    measured = f" ({held.measured})" if held.measured else ""
    tool = f"; {held.tool}" if held.tool else ""
    return f"{held.part_name}, {held.name}: home is {shown(held.to, asked)}{by}{measured}{tool}"
