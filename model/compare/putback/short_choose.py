"""Which moves a short changeover makes: the best there is time for, never worse than going on from
root to tip until the time is up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from model.compare.putback.acts import Act
from model.compare.putback.short_exact import TooMany, best_within
from model.compare.putback.short_frontier import SLACK
from model.compare.putback.short_greedy import good_within, improved
from model.compare.putback.short_sum import Came, Sum


@dataclass(frozen=True, slots=True)
class Chosen:
    """The selection, and whether none could be better."""

    came: Came
    is_best: bool


def choose(total: Sum, acts: Sequence[Act], limit: float) -> Chosen:
    """Return the moves that leave least off within ``limit`` minutes.

    ``acts`` are those of the whole way in their order. What must be done is done even where it
    does not fit. The search is bounded by a count of tries, never by a clock: the same question has
    the same answer on every machine.
    """
    least = total.of(())
    if least.minutes > limit + SLACK:
        return Chosen(least, is_best=True)
    is_best = not any(total.is_wide(knot) for knot in total.knots)
    try:
        picked = best_within(total, limit)
        found = least if picked is None else total.of(picked)
    except TooMany:
        found, is_best = good_within(total, limit), False
    for came in _until_time_is_up(total, acts, limit):
        if came.beats(found):
            found = came
    return Chosen(found if is_best else improved(total, found, limit), is_best)


def _until_time_is_up(total: Sum, acts: Sequence[Act], limit: float) -> Iterator[Came]:
    """Yield how far one comes by going from root to tip, after each act that fits."""
    for done in range(1, len(acts) + 1):
        keys = {key for act in acts[:done] for key in (*act.keys, *act.dials)}
        came = total.of(total.moves.setting(keys))
        if came.minutes <= limit + SLACK:
            yield came
