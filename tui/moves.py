"""How a piece moved, in the words that a command and a screen share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from model.readings.angles import show_angle
from model.readings.lengths import show_place

if TYPE_CHECKING:
    from model.compare.answer import ComparedSetting
    from model.compare.piece_answer import Causes, Limit, MoveSpread, Shift, Tilted
    from model.readings.entry import Asked
    from model.readings.quantity import LengthUnit

WAYS = (("right", "left"), ("ahead", "back"), ("up", "down"))
"""Which way a move goes, by its sign: to the player's right, away from the player, up."""


def way_words(amount: float, unit: LengthUnit, ways: tuple[str, str]) -> str:
    """Say how far and which way: ``50 mm right``; ``-`` for what does not show in the unit."""
    shown = show_place(abs(amount), unit)
    if shown == show_place(0.0, unit):
        return "-"
    return f"{shown} {ways[0] if amount > 0 else ways[1]}"


def shift_words(move: Shift, u: MoveSpread | None, unit: LengthUnit) -> tuple[str, str, str]:
    """Say a move in its three ways; in brackets where the readings cannot tell it from none."""
    amounts = (move.right, move.ahead, move.up)
    spreads = (u.right, u.ahead, u.up) if u else (0.0, 0.0, 0.0)
    words = [
        _bracketed(way_words(amount, unit, ways), told=abs(amount) > 2.0 * spread)
        for amount, spread, ways in zip(amounts, spreads, WAYS, strict=True)
    ]
    return words[0], words[1], words[2]


def tilt_words(tilt: Tilted, u: MoveSpread | None) -> str:
    """Say by how much a surface turned; in brackets where the readings cannot tell it from none."""
    shown = degrees_words(tilt.turned)
    if shown == "0°":
        return "-"
    if u is None:
        return shown
    pairs = ((tilt.ahead, u.tilt_ahead), (tilt.right, u.tilt_right))
    told = any(spread is not None and abs(by) > 2.0 * spread for by, spread in pairs)
    return _bracketed(shown, told=told)


def tilt_ways(tilt: Tilted) -> str:
    """Say which edges of a surface went down: ``far edge 7.1° down, left edge 4.1° down``."""
    if tilt.stands:
        return f"it stands, and turned {degrees_words(tilt.turned)}" if tilt.turned else ""
    words = [
        f"{plus if by > 0 else minus} edge {degrees_words(abs(by))} down"
        for by, plus, minus in ((tilt.ahead, "far", "near"), (tilt.right, "right", "left"))
        if degrees_words(by) != "0°"
    ]
    return ", ".join(words)


def _bracketed(words: str, *, told: bool) -> str:
    return words if told or words == "-" else f"({words})"


def degrees_words(degrees: float) -> str:
    """Show an angle that was worked out: to a tenth of a degree."""
    return show_angle(round(degrees, 1) + 0.0)


def limit_words(limit: Limit, unit: LengthUnit) -> str:
    """Say a tolerance, and whether it is a guess."""
    words = [show_place(limit.mm, unit)] if limit.mm is not None else []
    words += [show_angle(limit.deg)] if limit.deg is not None else []
    words += ["a guess"] if limit.guess else []
    return ", ".join(words)


def cause_words(causes: Causes, unit: LengthUnit | None) -> Iterator[str]:
    """Yield how much of a move each setting accounts for, the largest first; in degrees without a
    unit. What is against the move has a minus."""

    def shown(amount: float) -> str:
        size = degrees_words(abs(amount)) if unit is None else show_place(abs(amount), unit)
        return f"-{size}" if amount < 0 else size

    for cause in causes.of:
        if shown(abs(cause.amount)) != shown(0.0):
            yield f"{cause.setting} {shown(cause.amount)}"
    if causes.of and shown(abs(causes.rest)) != shown(0.0):
        yield f"the rest together {shown(causes.rest)}"


def own_words(found: ComparedSetting, asked: Asked) -> str:
    """Say a joint's own values on both pages, where they were worked out."""
    sides = [_own(value, asked) for value in (found.own_before, found.own_after)]
    return f"own {sides[0]} -> {sides[1]}"


def _own(value: float | int | None, asked: Asked) -> str:
    from model.readings.entry import show_value

    if value is None:
        return "-"
    if asked.quantity == "length":
        return show_place(value, asked.unit)
    return degrees_words(value) if asked.quantity == "angle" else show_value(value, asked)


def change_words(found: ComparedSetting, asked: Asked) -> str:
    """Say by how much a setting moved, with its sign; a joint's own to what can be worked out."""
    assert found.difference is not None
    return signed_change(found.difference, asked, worked_out=found.converted)


def signed_change(difference: float | int, asked: Asked, *, worked_out: bool) -> str:
    """Say a difference with its sign; what was worked out to a tenth of a degree or what shows."""
    from model.readings.entry import show_change

    if not worked_out or asked.quantity not in ("angle", "length"):
        return show_change(difference, asked)
    if asked.quantity == "angle":
        return show_change(round(difference, 1) + 0.0, asked)
    sign = "+" if difference > 0 else "-" if difference < 0 else ""
    return f"{sign}{show_place(abs(difference), asked.unit)}"


def only(words: Sequence[str], most: int) -> str:
    """Join the first of some words, and say how many more there are."""
    more = f" and {len(words) - most} more" if len(words) > most else ""
    return f"{', '.join(words[:most])}{more}"
