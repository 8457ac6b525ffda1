"""The best selection within a time, exactly: knots that touch no piece together are worked out
apart, the others by trying each option of the one that touches most."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from model.compare.putback.short_frontier import NOTHING, Frontier, added, best_of
from model.compare.putback.short_moves import Knot
from model.compare.putback.short_sum import Option, Sum

TRIES = 60_000
"""So many options are tried at most; a search that needs more is not made."""


class TooMany(Exception):  # noqa: N818
    """There is more to try than can be tried while someone waits."""


def best_within(total: Sum, limit: float) -> frozenset[int] | None:
    """Return the moves that leave least off within ``limit`` minutes; of equal ones the shortest.

    Exactly so unless a knot is wide: of that only some selections are tried. None where not even
    what must be done fits. Raises :class:`TooMany`.
    """
    search = _Search(total, limit)
    found = search.apart(frozenset(range(len(search.options))), {})
    if not len(found.minutes):
        return None
    picked = found.pick(len(found.minutes) - 1)
    return frozenset(move for knot, n in picked for move in search.options[knot][n].moves)


class _Search:
    def __init__(self, total: Sum, limit: float) -> None:
        self.total, self.limit, self.tried = total, limit, 0
        self.options = [self._options(knot) for knot in total.knots]
        self.pieces = total.away.counted
        self.touched: list[frozenset[str]] = [
            frozenset(
                piece
                for piece in self.pieces
                if not all(total.away.rests(piece).isdisjoint(o.keys) for o in options)
            )
            for options in self.options
        ]
        self._kept: dict[object, Frontier] = {}

    def _options(self, knot: Knot) -> list[Option]:
        """Return what is worth trying of a knot: of what brings the same home, the shortest."""
        found: dict[frozenset[str], Option] = {}
        for option in self.total.options(knot):
            held = found.get(option.keys)
            if held is None or option.minutes < held.minutes:
                found[option.keys] = option
        return [option for option in found.values() if option.minutes <= self.limit + 1e-9]

    def apart(self, knots: frozenset[int], taken: Mapping[int, Option]) -> Frontier:
        """Return what is worth it of some knots, the ``taken`` options of others being done."""
        found = NOTHING
        for together in self._linked(knots):
            found = added(found, self._together(together, taken), self.limit)
        return found

    def _linked(self, knots: Iterable[int]) -> list[frozenset[int]]:
        """Return the knots in groups that touch no piece together."""
        groups: list[tuple[frozenset[int], frozenset[str]]] = []
        for knot in sorted(knots):
            members, pieces = frozenset({knot}), self.touched[knot]
            for group in [held for held in groups if held[1] & pieces]:
                groups.remove(group)
                members, pieces = members | group[0], pieces | group[1]
            groups.append((members, pieces))
        return [members for members, _ in groups]

    def _together(self, knots: frozenset[int], taken: Mapping[int, Option]) -> Frontier:
        pieces = frozenset().union(*(self.touched[knot] for knot in knots))
        node = (knots, frozenset((piece, self._at_home(piece, taken)) for piece in pieces))
        if node not in self._kept:
            self._kept[node] = self._each(knots, pieces, taken)
        return self._kept[node]

    def _each(
        self, knots: frozenset[int], pieces: frozenset[str], taken: Mapping[int, Option]
    ) -> Frontier:
        """Try each option of the knot that touches most."""
        first = max(knots, key=lambda k: (len(self.touched[k]), len(self.options[k]), -k))
        rest = knots - {first}
        settled = sorted(pieces.difference(*(self.touched[knot] for knot in rest)))
        several: list[Frontier] = []
        for number, option in enumerate(self.options[first]):
            self.tried += 1
            if self.tried > TRIES:
                raise TooMany
            then = {**taken, first: option}
            off = (self.total.away.off(piece, self._at_home(piece, then)) for piece in settled)
            after = self.apart(rest, then)
            left = math.fsum([option.left, *off])
            several.append(after.shifted(option.minutes, left, ((first, number),)))
        return best_of(several, self.limit)

    def _at_home(self, piece: str, taken: Mapping[int, Option]) -> frozenset[str]:
        rests = self.total.away.rests(piece)
        return frozenset().union(
            *(rests & option.keys for knot, option in taken.items() if piece in self.touched[knot])
        )
