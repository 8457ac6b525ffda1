"""A good selection within a time where there are too many to try: what brings most per minute.

Moves that help only together, a boom's tilt and its lean, are looked at in pairs; a knot, and all
that a piece rests on, as a whole too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from model.compare.putback.short_frontier import SLACK
from model.compare.putback.short_sum import NEARER, Came, Sum

SHORTEST = 0.01
"""What takes less than this, minutes, is ranked as if it took this."""


def good_within(total: Sum, limit: float) -> Came:
    """Return what comes of taking the best move or pair for its minutes while any fits, and of
    putting one move in another's place while that helps. What must be done is done anyway."""
    return improved(total, _filled(total, total.of(()), limit), limit)


def improved(total: Sum, came: Came, limit: float) -> Came:
    """Return a selection that nothing put in one move's place, or added, makes better."""
    while True:
        best = came
        for other in _others(total, came):
            if other.minutes <= limit + SLACK and other.beats(best):
                best = other
        if best is came:
            return came
        came = _filled(total, best, limit)


def _others(total: Sum, came: Came) -> Iterator[Came]:
    """Yield the selections with one move left out, and with another in its place."""
    left_out = [n for n in range(len(total.moves.settings)) if n not in came.moves]
    for gone in sorted(came.moves - total.must):
        yield total.of(came.moves - {gone})
        for taken in left_out:
            yield total.of(came.moves - {gone} | {taken})


def _filled(total: Sum, came: Came, limit: float) -> Came:
    """Return a selection with more moves, the best for its minutes first, while any fits."""
    bundles = list(_bundles(total))
    while True:
        best, rate = came, 0.0
        for more in [*((n,) for n in range(len(total.moves.settings))), *bundles]:
            if came.moves.issuperset(more):
                continue
            other = total.of(came.moves.union(more))
            gain = came.off - other.off
            longer = max(other.minutes - came.minutes, SHORTEST)
            if other.minutes <= limit + SLACK and gain > NEARER and gain / longer > rate:
                best, rate = other, gain / longer
        if best is came:
            return came
        came = best


def _bundles(total: Sum) -> Iterable[tuple[int, ...]]:
    """Return the pairs of moves of one knot, those that one piece rests on, and all of each."""
    groups = [knot.moves for knot in total.knots]
    for piece in total.away.counted:
        rests = total.away.rests(piece)
        numbered = enumerate(total.moves.settings)
        groups.append(tuple(number for number, held in numbered if held & rests))
    pairs = (pair for group in groups for pair in combinations(group, 2))
    return dict.fromkeys([*pairs, *(group for group in groups if group)])
