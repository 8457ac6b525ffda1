"""What a setting is measured in, and the answer to an entry: a value or a refusal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from model.clean import clean

Quantity = Literal["length", "angle", "teeth", "word", "number"]
"""Millimetres, degrees, whole teeth, words, or a number in a unit of the user's own."""

LengthUnit = Literal["mm", "cm", "in", "in-decimal"]
"""How lengths are typed without a unit, and shown: ``in`` is fractions, ``in-decimal`` is not."""

LENGTH_UNITS: tuple[LengthUnit, ...] = ("mm", "cm", "in", "in-decimal")

Value = float | int | str


@dataclass(frozen=True, slots=True)
class Taken:
    """An entry that was understood: its value in millimetres, degrees, teeth, or as words."""

    value: Value
    relative: bool = False


@dataclass(frozen=True, slots=True)
class Refusal:
    """An entry that was not: why, and one that would be right."""

    why: str
    right: str

    def __post_init__(self) -> None:
        # What was typed stands in the reason, and may have characters that act.
        object.__setattr__(self, "why", clean(self.why))
        object.__setattr__(self, "right", clean(self.right))

    def text(self) -> str:
        """Say it in one line."""
        return f"{self.why}; right: {self.right}"


def same_value(a: Value, b: Value) -> bool:
    """Tell whether two values are the same one: numbers to 1e-6, words to the letter."""
    if isinstance(a, str) or isinstance(b, str):
        return a == b
    return abs(a - b) < 5e-7
