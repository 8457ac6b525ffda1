"""An entry at stage side: digits, ``=`` for the carried value, ``++`` and ``--`` for a change."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.readings.angles import (
    LARGEST_DEG,
    MOST_TEETH,
    parse_angle,
    parse_teeth,
    show_angle,
    show_teeth,
)
from model.readings.lengths import LONGEST_MM, parse_length, show_length
from model.readings.numbers import parse_number, plain
from model.readings.quantity import LengthUnit, Quantity, Refusal, Taken, Value

LONGEST_WORDS = 200
"""A dial's words fit one line of a page."""

LARGEST_NUMBER = 1_000_000
_LARGEST: dict[Quantity, float] = {
    "length": LONGEST_MM,
    "angle": LARGEST_DEG,
    "teeth": MOST_TEETH,
    "number": LARGEST_NUMBER,
}


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for: the quantity, the reader's unit, and the value an entry may start from.

    ``tooth_deg`` is one tooth's angle where the joint is toothed; ``unit_name`` is the dial's own
    unit; ``known`` is the value now shown (carried, seen or read), if there is one.
    """

    quantity: Quantity
    unit: LengthUnit = "mm"
    known: Value | None = None
    tooth_deg: float | None = None
    unit_name: str = ""


def parse_entry(text: str, asked: Asked) -> Taken | Refusal:
    """Read what was typed as a value of what is asked.

    A leading sign is the value's own; ``++12`` and ``--1/4"`` change the known value by so much;
    ``=`` alone is the known value, measured again.
    """
    written = text.strip() if asked.quantity == "word" else plain(text)
    if not written:
        return Refusal("nothing was typed", _example(asked))
    if written == "=":
        if asked.known is None:
            return Refusal("= stands for the carried value, and there is none", _example(asked))
        return Taken(asked.known, relative=True)
    if written[:2] in ("++", "--") and asked.quantity != "word":
        return _changed(written, asked)
    return _absolute(written, asked)


def _changed(written: str, asked: Asked) -> Taken | Refusal:
    if asked.known is None or isinstance(asked.known, str):
        return Refusal(
            f"{written[:2]} changes the carried value, and there is none", _example(asked)
        )
    if written[2:].lstrip()[:1] in ("+", "-"):
        return Refusal("after ++ or -- comes an amount without a sign", "++12")
    by = _absolute(written[2:], asked)
    if isinstance(by, Refusal):
        return by
    if isinstance(by.value, str):
        return Refusal("words cannot be added", _example(asked))
    amount = by.value if written.startswith("++") else -by.value
    value = asked.known + amount
    if abs(value) > _LARGEST[asked.quantity]:
        return Refusal("that makes more than such a setting can be", _example(asked))
    return Taken(value if isinstance(value, int) else round(value, 6) + 0.0, relative=True)


def _absolute(written: str, asked: Asked) -> Taken | Refusal:
    value: Value | Refusal
    match asked.quantity:
        case "length":
            value = parse_length(written, asked.unit)
        case "angle":
            value = parse_angle(written)
        case "teeth":
            value = parse_teeth(written, asked.tooth_deg or 360.0)
        case "number":
            value = _own_unit(written, asked.unit_name)
        case "word":
            value = _words(written)
    return value if isinstance(value, Refusal) else Taken(value)


def _own_unit(written: str, unit_name: str) -> float | Refusal:
    body = written
    if unit_name and body.lower().endswith(unit_name.lower()):
        body = body[: -len(unit_name)].rstrip()
    sign = -1 if body.startswith("-") else 1
    example = f"12.5 {unit_name}".rstrip()
    size = parse_number(body.removeprefix("-").removeprefix("+"), example)
    if isinstance(size, Refusal):
        return size
    if size > LARGEST_NUMBER:
        return Refusal("a number of a million at most is needed", example)
    return round(float(size) * sign, 6) + 0.0


def _words(written: str) -> str | Refusal:
    if not written.isprintable():
        return Refusal("it has control characters", "third notch")
    if len(written) > LONGEST_WORDS:
        return Refusal(f"it is longer than {LONGEST_WORDS} characters", "third notch")
    return written


def _example(asked: Asked) -> str:
    match asked.quantity:
        case "length":
            return "32 3/16 or 817mm" if asked.unit.startswith("in") else '812 or 32 3/16"'
        case "angle":
            return "12.5 or -12.5"
        case "teeth":
            return "3 or 3t"
        case "number":
            return f"12.5 {asked.unit_name}".rstrip()
        case "word":
            return "third notch"


def show_value(value: Value, asked: Asked) -> str:
    """Show a stored value as its reader wants it."""
    match asked.quantity:
        case "length":
            return show_length(float(value), asked.unit)
        case "angle":
            return show_angle(float(value))
        case "teeth":
            return show_teeth(int(value), asked.tooth_deg)
        case "number":
            return f"{float(value):.6g} {asked.unit_name}".rstrip()
        case "word":
            return str(value)


def show_change(change: float | int, asked: Asked) -> str:
    """Show a difference with its sign; one that the unit is too coarse for is not shown as none."""
    sign = "+" if change > 0 else "-" if change < 0 else ""
    shown = show_value(abs(change), replace(asked, tooth_deg=None))
    if change and not any(digit in shown for digit in "123456789"):
        return f"{sign}<{_FINEST[asked.unit] if asked.quantity == 'length' else '.01'}"
    return f"~{sign}{shown[1:]}" if shown.startswith("~") else f"{sign}{shown}"


_FINEST = {"in": '1/16"', "in-decimal": '.001"', "cm": ".01 cm", "mm": ".1 mm"}
