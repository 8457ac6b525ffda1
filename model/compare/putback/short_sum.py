"""What a selection of moves comes to: its minutes, and how much it leaves off from home."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain, combinations, islice

from model.compare.putback.short_moves import Knot, Moves
from model.compare.putback.short_off import LEFT, Away

WIDEST = 9
"""A knot of more moves than this is not tried in all its selections."""
NEARER = 1e-9
"""What is nearer home by less is as near."""


@dataclass(frozen=True, slots=True)
class Option:
    """What may be done of one knot: its moves, the joints at home then, minutes, and ``left``:
    what the settings that it leaves out count."""

    moves: frozenset[int]
    keys: frozenset[str]
    minutes: float
    left: float


@dataclass(frozen=True, slots=True)
class Came:
    """A selection with its minutes and what it leaves off, in tolerances."""

    moves: frozenset[int]
    minutes: float
    off: float

    def beats(self, other: Came) -> bool:
        """Tell whether it leaves less off, or as much in less time."""
        if abs(self.off - other.off) > NEARER:
            return self.off < other.off
        return self.minutes < other.minutes - NEARER


class Sum:
    """Adds up selections of a put-back's moves."""

    def __init__(self, moves: Moves, away: Away) -> None:
        self.moves, self.away = moves, away
        self.knots: tuple[Knot, ...] = moves.knots

    @property
    def must(self) -> frozenset[int]:
        """The moves that belong to a part that is hung again."""
        return frozenset().union(*(knot.must for knot in self.knots))

    def option(self, knot: Knot, picked: Iterable[int]) -> Option:
        """Return what some moves of a knot come to."""
        moves = knot.must.union(picked)
        opened = self.moves.opened(moves)
        settings = frozenset().union(*(self.moves.settings[number] for number in knot.moves))
        return Option(moves, opened.keys, opened.minutes, LEFT * len(settings - opened.keys))

    def options(self, knot: Knot) -> Iterator[Option]:
        """Yield every selection of a knot's moves; of a wide one those of few moves and of nearly
        all, as many as there is time to work out."""
        free = [number for number in knot.moves if number not in knot.must]
        sizes = list(range(len(free) + 1))
        if self.is_wide(knot):
            sizes.sort(key=lambda size: (min(size, len(free) - size), size))
        picks = chain.from_iterable(combinations(free, size) for size in sizes)
        for picked in islice(picks, 2**WIDEST):
            yield self.option(knot, picked)

    @staticmethod
    def is_wide(knot: Knot) -> bool:
        """Tell whether a knot has more moves than can be tried in all selections."""
        return len(knot.moves) - len(knot.must) > WIDEST

    def tonight(self) -> float:
        """Return what is off before anything is done."""
        settings = sum(len(held) for held in self.moves.settings)
        off = (self.away.off(piece, frozenset()) for piece in self.away.counted)
        return math.fsum([*off, LEFT * settings])

    def keys_of(self, moves: Iterable[int]) -> frozenset[str]:
        """Return the joints that a selection brings home."""
        return frozenset().union(*(option.keys for option in self._options_of(moves)))

    def minutes_of(self, moves: Iterable[int]) -> float:
        """Return the minutes of a selection."""
        return math.fsum(option.minutes for option in self._options_of(moves))

    def _options_of(self, moves: Iterable[int]) -> list[Option]:
        picked = self.must.union(moves)
        return [self.option(knot, picked.intersection(knot.moves)) for knot in self.knots]

    def of(self, moves: Iterable[int]) -> Came:
        """Return what a selection comes to; what must be done is done besides."""
        picked = self.must.union(moves)
        options = self._options_of(picked)
        keys = frozenset().union(*(option.keys for option in options))
        off = [self.away.off(piece, keys) for piece in self.away.counted]
        return Came(
            picked,
            math.fsum(option.minutes for option in options),
            math.fsum([*off, *(option.left for option in options)]),
        )
