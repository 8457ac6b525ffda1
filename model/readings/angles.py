"""Angles in degrees, and teeth: whole steps of a ratchet, typed as a count or in degrees."""

from __future__ import annotations

import re
from typing import Literal

from model.readings.numbers import parse_number, plain
from model.readings.quantity import Refusal

ReadFrom = Literal["joint", "riser", "gravity", "zero line"]
"""What an angle was read from: the part before it, the riser, a level, or the zero line."""

READ_FROM: tuple[ReadFrom, ...] = ("joint", "riser", "gravity", "zero line")

LARGEST_DEG = 720.0
MOST_TEETH = 1000
_DEGREES = re.compile(r"\s*(?:°|deg(?:rees?)?\.?)$", re.IGNORECASE)
_TEETH = re.compile(r"\s*(?:t|tooth|teeth)$", re.IGNORECASE)


def parse_angle(text: str) -> float | Refusal:
    """Read a signed angle in degrees, with or without its ``°``."""
    written = plain(text)
    body = _DEGREES.sub("", written)
    sign = -1 if body.startswith("-") else 1
    size = parse_number(body.removeprefix("-").removeprefix("+"), "12.5 or -12.5°")
    if isinstance(size, Refusal):
        return size
    degrees = round(float(size) * sign, 6) + 0.0
    if abs(degrees) > LARGEST_DEG:
        return Refusal(f"{text.strip()} is over {LARGEST_DEG:.0f}°", "12.5 or -12.5°")
    return degrees


def parse_teeth(text: str, tooth_deg: float) -> int | Refusal:
    """Read a tooth count: ``3`` or ``3t``; or degrees, ``45°``, at most a quarter tooth off.

    ``tooth_deg`` is what one tooth turns, in degrees.
    """
    written = plain(text)
    if _DEGREES.search(written):
        return _teeth_from_degrees(written, tooth_deg)
    body = _TEETH.sub("", written)
    sign = -1 if body.startswith("-") else 1
    count = parse_number(body.removeprefix("-").removeprefix("+"), "3 or 3t")
    if isinstance(count, Refusal):
        return count
    if count.denominator != 1:
        return Refusal(f"{body} is not a whole tooth", f"{round(count) * sign}t")
    if count > MOST_TEETH:
        return Refusal(f"{body} is more teeth than a ratchet has", "3t")
    return int(count) * sign


def _teeth_from_degrees(text: str, tooth_deg: float) -> int | Refusal:
    degrees = parse_angle(text)
    if isinstance(degrees, Refusal):
        return degrees
    teeth = round(degrees / tooth_deg)
    if abs(degrees / tooth_deg - teeth) > 0.25:
        low = int(degrees // tooth_deg)
        return Refusal(
            f"{text} is more than a quarter tooth off: a tooth is {show_angle(tooth_deg)}",
            f"{low}t ({show_angle(low * tooth_deg)}) "
            f"or {low + 1}t ({show_angle((low + 1) * tooth_deg)})",
        )
    return teeth


def show_angle(degrees: float) -> str:
    """Show degrees to two decimals at most."""
    text = f"{degrees:.2f}".rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text}°"


def show_teeth(teeth: int, tooth_deg: float | None = None) -> str:
    """Show a tooth count, with its angle where a tooth's is given."""
    count = f"{teeth}t"
    return f"{count} ({show_angle(teeth * tooth_deg)})" if tooth_deg else count


def turn_between(before: float, after: float) -> float:
    """Return the turn from one direction to another, in degrees above -180 up to 180."""
    turned = (after - before) % 360.0
    return turned - 360.0 if turned > 180.0 else turned
