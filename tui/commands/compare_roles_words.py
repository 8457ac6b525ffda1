"""What ``compare`` says of two rigs: role by role, and what holds each piece."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from model.clean import clean
from tui.commands.move_lines import NAME, move_lines

if TYPE_CHECKING:
    from model.compare.role_answer import ComparedRole, ComparedRoles, RolePiece
    from model.readings.quantity import LengthUnit


def role_lines(found: ComparedRoles, unit: LengthUnit) -> Iterator[str]:
    """Yield the roles on both, then those on one, then the pieces that were matched with none."""
    yield f"two rigs, by role: {clean(found.why)}"
    yield "each from its own zero mark: the second against the first; in brackets, less than"
    yield "the readings can tell. --by-part compares the parts by their ids all the same"
    both = [held for held in found.roles if held.before is not None and held.after is not None]
    for held in both:
        yield ""
        yield from move_lines(held.role, held, unit)
        yield from _why(held)
        yield from _holds("first", held.before)
        yield from _holds("second", held.after)
    if not both:
        yield ""
        yield "no role is on both"
    for which in ("first", "second"):
        ones = [held for held in found.roles if held.verdict == f"only on the {which}"]
        if ones:
            yield ""
            yield f"roles only on the {which}"
        for held in ones:
            yield from _holds(held.role, held.before or held.after)
    if found.left:
        yield ""
        yield "matched with none"
    for left in found.left:
        role = f" ({clean(left.role)})" if left.role else ""
        yield f"  {clean(left.name)}{role}, on the {left.on}: {left.why}"


def _why(held: ComparedRole) -> Iterator[str]:
    blank = " " * (NAME + 3)
    if held.unsure:
        yield f"{blank}nobody said how sure: {', '.join(held.unsure)}"
    if held.why and held.move is not None:
        yield f"{blank}{held.why}"


def _holds(word: str, piece: RolePiece | None) -> Iterator[str]:
    if piece is not None:
        held = "; ".join(clean(words) for words in piece.hardware) or "nothing that is known"
        yield f"    {clean(word):<{NAME - 2}} {clean(piece.name)}: {held}"
