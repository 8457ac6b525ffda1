"""Units of length, as a person calls them."""

from __future__ import annotations

from collections.abc import Mapping

from model.readings.quantity import LengthUnit

UNIT_WORDS: Mapping[LengthUnit, str] = {
    "mm": "mm",
    "cm": "cm",
    "in": "inches",
    "in-decimal": "decimal inches",
}
