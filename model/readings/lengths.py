"""Lengths: typed in any of the trade's ways, kept in millimetres, shown in the reader's unit."""

from __future__ import annotations

import re
from fractions import Fraction

from model.readings.numbers import has_fraction, parse_number, plain
from model.readings.quantity import LengthUnit, Refusal

MM_PER_INCH = Fraction(254, 10)
"""Exact. Source: NIST Special Publication 811, appendix B (the international inch)."""

LONGEST_MM = 100_000.0
"""A hundred metres: no measure on a rack is longer, so a longer one is a slip of the keys."""

_MM_PER: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    '"': MM_PER_INCH,
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    "'": MM_PER_INCH * 12,
    "ft": MM_PER_INCH * 12,
    "foot": MM_PER_INCH * 12,
    "feet": MM_PER_INCH * 12,
}
_OF_READER: dict[LengthUnit, str] = {"mm": "mm", "cm": "cm", "in": "in", "in-decimal": "in"}
_EXAMPLE: dict[LengthUnit, str] = {
    "mm": '812 or 32 3/16"',
    "cm": '81.2 or 32 3/16"',
    "in": "32 3/16 or 817mm",
    "in-decimal": "32.19 or 817mm",
}
_FEET = re.compile(r"(?P<feet>[^'a-zA-Z]+?)\s*(?:'|ft\.?|foot|feet)\s*(?P<rest>.+)")
_UNIT = re.compile(r"(?P<number>.*?)\s*(?P<unit>[a-zA-Z]+\.?|[\"'°])")


def parse_length(text: str, unit: LengthUnit) -> float | Refusal:
    """Read a signed length; a number without a unit is in the reader's ``unit``.

    Returns millimetres to six decimals (exact for 1/64 in).
    """
    written = plain(text)
    sign = -1 if written.startswith("-") else 1
    size = _unsigned(written.removeprefix("-").removeprefix("+").strip(), unit)
    if isinstance(size, Refusal):
        return size
    mm = round(float(size) * sign, 6)
    if abs(mm) > LONGEST_MM:
        return Refusal(f"{text.strip()} is over {LONGEST_MM / 1000:.0f} m", _EXAMPLE[unit])
    return mm + 0.0  # never -0.0, which a file would keep


def _unsigned(text: str, unit: LengthUnit) -> Fraction | Refusal:
    if match := _FEET.fullmatch(text):
        return _feet_and_inches(match["feet"], match["rest"])
    number, name = text, _OF_READER[unit]
    if match := _UNIT.fullmatch(text):
        number, name = match["number"], match["unit"].lower().rstrip(".")
        if not number:
            return _refused(parse_number(text, _EXAMPLE[unit]), text, unit)
        if name not in _MM_PER:
            return Refusal(f"{match['unit']!r} is not a unit of length", _EXAMPLE[unit])
    elif has_fraction(text) and name != "in":
        return Refusal(
            f"{text} is a fraction without a unit, and your unit is {unit}",
            f'{text}" for inches, or a decimal',
        )
    size = parse_number(number, _EXAMPLE[unit])
    return size if isinstance(size, Refusal) else size * _MM_PER[name]


def _refused(answer: Fraction | Refusal, text: str, unit: LengthUnit) -> Refusal:
    return (
        answer if isinstance(answer, Refusal) else Refusal(f"{text!r} is no length", _EXAMPLE[unit])
    )


def _feet_and_inches(feet: str, rest: str) -> Fraction | Refusal:
    whole = parse_number(feet, "2' 8 1/2\"")
    if isinstance(whole, Refusal):
        return whole
    match = _UNIT.fullmatch(rest)
    if match and match["unit"].lower().rstrip(".") not in ('"', "in", "inch", "inches"):
        return Refusal(f"{rest!r} after feet is not in inches", "2' 8 1/2\"")
    inches = parse_number(match["number"] if match else rest, "2' 8 1/2\"")
    if isinstance(inches, Refusal):
        return inches
    if whole.denominator != 1 or inches >= 12:
        return Refusal("after whole feet come inches below 12", "2' 8 1/2\"")
    return (whole * 12 + inches) * MM_PER_INCH


def show_length(mm: float, unit: LengthUnit) -> str:
    """Show millimetres in ``unit``.

    Inch fractions go to 1/16; a finer one that was typed (1/32, 1/64) shows as it was typed, and a
    value that no such fraction meets is rounded to 1/16 and marked with ``~``.
    """
    if unit == "mm":
        return f"{_decimal(mm, 1)} mm"
    if unit == "cm":
        return f"{_decimal(mm / 10, 2)} cm"
    if unit == "in-decimal":
        return f'{_decimal(mm / float(MM_PER_INCH), 3)}"'
    return _inch_fraction(mm)


def show_place(mm: float, unit: LengthUnit) -> str:
    """Show a length that was worked out: to the millimetre, or to 1/16 in; nothing marks that."""
    match unit:
        case "mm":
            return f"{round(mm) + 0:d} mm"
        case "cm":
            return f"{round(mm / 10.0, 1) + 0.0:.1f} cm"
        case "in":
            return _inch_fraction(round(mm / 25.4 * 16) / 16 * 25.4)
        case "in-decimal":
            return f"{round(mm / 25.4, 2) + 0.0:.2f} in"


def _decimal(value: float, places: int) -> str:
    text = f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
    return "0" if text in ("-0", "") else text


def _inch_fraction(mm: float) -> str:
    inches = abs(Fraction(mm) / MM_PER_INCH)
    sixty_fourths = round(inches * 64)
    exact = abs(inches * 64 - sixty_fourths) < Fraction(1, 10_000)
    part = Fraction(sixty_fourths, 64) if exact else Fraction(round(inches * 16), 16)
    whole, rest = divmod(part, 1)
    sign = "-" if mm < 0 and part else ""
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{rest.numerator}/{rest.denominator}")
    return f'{"" if exact else "~"}{sign}{" ".join(words)}"'
