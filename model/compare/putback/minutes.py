"""How long moves take: minutes per kind of move, from memory until a crew times its own."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Literal

from model.book.book import MoveMinutes

Kind = Literal["loosen", "place", "slide", "turn", "tooth", "dial", "hang"]


@dataclass(frozen=True, slots=True)
class Minutes:
    """Minutes for each kind of move. The figures are from memory, unverified: ``guess`` says so.

    ``loosen`` is one clamp loosened and tightened, ``place`` a foot or a piece put by hand,
    ``slide``, ``turn`` and ``tooth`` one joint set and read, ``hang`` a part put back.
    """

    loosen: float = 0.4
    place: float = 0.5
    slide: float = 0.4
    turn: float = 0.4
    tooth: float = 0.2
    dial: float = 0.4
    hang: float = 2.0
    guess: bool = True

    def of(self, kinds: Iterable[Kind]) -> float:
        """Return the minutes of some moves together."""
        return math.fsum(float(getattr(self, kind)) for kind in kinds)


GUESSED = Minutes()


def minutes_of(given: MoveMinutes) -> Minutes:
    """Return the book's own minutes; a kind that it does not tell keeps the figure from memory.

    ``guess`` stays true until the book tells all of them.
    """
    kinds = [field.name for field in fields(Minutes) if field.name != "guess"]
    told = {kind: value for kind in kinds if (value := getattr(given, kind)) is not None}
    return replace(GUESSED, **told, guess=len(told) < len(kinds))
