"""The best that each time gives: minutes against what is left off, where the time is worth it.

What does not touch each other is worked out apart and added up; nothing that is worth it is lost.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from model.space.frames import Array

Pick = tuple[tuple[int, int], ...]
"""Which option was taken of which choice, by their numbers."""

SLACK = 1e-9
"""Two sums of minutes this near are the same."""


@dataclass(frozen=True, slots=True, eq=False)
class Frontier:
    """Selections, none both longer and farther off than another: ``minutes`` (n,) grow, ``off``
    (n,) falls. ``pick`` tells what one is made of."""

    minutes: Array
    off: Array
    pick: Callable[[int], Pick]

    def shifted(self, minutes: float, off: float, taken: Pick) -> Frontier:
        """Return the frontier with something that is done besides."""
        return Frontier(self.minutes + minutes, self.off + off, lambda n: taken + self.pick(n))


NOTHING = Frontier(np.zeros(1), np.zeros(1), lambda _: ())


def added(one: Frontier, other: Frontier, limit: float) -> Frontier:
    """Return every pair of selections that fits the limit, minutes, and is worth it."""
    if len(one.minutes) == 1:
        one, other = other, one
    if len(other.minutes) == 1 and len(one.minutes):
        both = one.shifted(float(other.minutes[0]), float(other.off[0]), other.pick(0))
        worth = _worth(both.minutes, both.off, limit)
        return Frontier(both.minutes[worth], both.off[worth], lambda n: both.pick(int(worth[n])))
    minutes = np.add.outer(one.minutes, other.minutes).ravel()
    off = np.add.outer(one.off, other.off).ravel()
    worth, wide = _worth(minutes, off, limit), len(other.minutes)

    def pick(n: int) -> Pick:
        first, second = divmod(int(worth[n]), wide)
        return one.pick(first) + other.pick(second)

    return Frontier(minutes[worth], off[worth], pick)


def best_of(several: Sequence[Frontier], limit: float) -> Frontier:
    """Return what is worth it of several frontiers, of which one is taken."""
    minutes = np.concatenate([np.zeros(0), *(held.minutes for held in several)])
    off = np.concatenate([np.zeros(0), *(held.off for held in several)])
    ends = np.cumsum([len(held.minutes) for held in several])
    worth = _worth(minutes, off, limit)

    def pick(n: int) -> Pick:
        place = int(worth[n])
        which = int(np.searchsorted(ends, place, side="right"))
        before = int(ends[which - 1]) if which else 0
        return several[which].pick(place - before)

    return Frontier(minutes[worth], off[worth], pick)


def _worth(minutes: Array, off: Array, limit: float) -> NDArray[np.intp]:
    """Return the places of the selections that fit and are nearer home than all shorter ones."""
    fits = np.flatnonzero(minutes <= limit + SLACK)
    order = fits[np.lexsort((off[fits], np.round(minutes[fits], 9)))]
    if not len(order):
        return order
    nearest = np.minimum.accumulate(off[order])
    is_nearer = np.concatenate([[True], nearest[1:] < nearest[:-1] - SLACK])
    worth: NDArray[np.intp] = order[is_nearer]
    return worth
