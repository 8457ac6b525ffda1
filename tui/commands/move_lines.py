"""A move of a piece, line by line: three ways, tilt, how sure, what it is worth, what caused it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from model.clean import clean
from model.readings.lengths import show_place
from tui.moves import (
    cause_words,
    degrees_words,
    limit_words,
    only,
    shift_words,
    tilt_ways,
    tilt_words,
)

if TYPE_CHECKING:
    from model.compare.piece_answer import ComparedPiece, MoveSpread
    from model.compare.role_answer import ComparedRole
    from model.readings.quantity import LengthUnit

NAME, WAY, TILT = 16, 16, 9
MOST_NAMED = 4


def move_lines(name: str, found: ComparedPiece | ComparedRole, unit: LengthUnit) -> Iterator[str]:
    """Yield how a piece moved, and how sure that is; or that its place is not known, and why."""
    name = f"  {clean(name):<{NAME}} "
    if found.move is None or found.tilt is None:
        why = f"; {clean(found.why)}" if found.why else ""
        yield f"{name}{found.verdict}{why}"
        return
    ways = "".join(f"{words:<{WAY}}" for words in shift_words(found.move, found.u, unit))
    limit = f" ({limit_words(found.tolerance, unit)})" if found.tolerance else ""
    yield f"{name}{ways}{tilt_words(found.tilt, found.u):<{TILT}}{found.verdict}{limit}"
    if found.u is not None and (found.move.distance or found.tilt.turned):
        yield f"{_role(found):<{NAME + 3}}{_sure(found.u, unit)}".rstrip()


def _role(found: ComparedPiece | ComparedRole) -> str:
    """Return the role, where it is not the name itself."""
    name = getattr(found, "name", found.role) or ""
    role = found.role or ""
    return "" if role.casefold() == name.casefold() else f"    {clean(role)}"


def _sure(u: MoveSpread, unit: LengthUnit) -> str:
    """Say ± of each way: twice the standard uncertainty."""
    ways = "".join(
        f"{f'± {show_place(2.0 * spread, unit)}':<{WAY}}" for spread in (u.right, u.ahead, u.up)
    )
    tilts = [spread for spread in (u.tilt_ahead, u.tilt_right) if spread is not None]
    return f"{ways}± {degrees_words(2.0 * max(tilts))}" if len(tilts) == 2 else ways


def cause_lines(
    found: ComparedPiece, unit: LengthUnit, *, which_page: bool = True
) -> Iterator[str]:
    """Yield what caused a move, which edges went down, and what it rests on was not measured.

    With ``which_page`` off nobody is told on which of the two pages.
    """
    blank = " " * (NAME + 3)
    if by := ", ".join(cause_words(found.causes, unit)):
        yield f"{blank}mostly by {by}"
    if found.tilt is not None and (ways := tilt_ways(found.tilt)):
        by = ", ".join(cause_words(found.tilt_causes, None))
        yield f"{blank}tilt: {ways}{f'; mostly by {by}' if by else ''}"
    if found.unsure:
        yield f"{blank}nobody said how sure: {', '.join(found.unsure)}"
    if found.why and found.move is not None:
        named = found.why if which_page else only(found.not_measured, MOST_NAMED)
        yield f"{blank}not measured; {clean(named)}"
