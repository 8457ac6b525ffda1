"""What is to be reached: tonight's rig with the joints that moved at home, and what that opens."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from model.compare.putback.basis import Basis
from model.compare.putback.fastenings import Fastening
from model.compare.putback.riding import is_rolled
from model.compare.putback.rolls import best_roll, held_by, straight_bars
from model.compare.putback.strain import strained
from model.rig.page import Page
from model.space.as_read import read_page
from model.space.places import Places
from model.space.positions import Positions

Rolls = Mapping[str, float]
Standing = Callable[[Collection[str], Rolls, Collection[str]], Places]
"""Where everything is with some joints at home, some bars rolled, and some joints loose."""


@dataclass(frozen=True)
class Goal:
    """The joints that are set, what is loosened for it, and the rig as it stands then.

    ``rolls`` is how far straight bars are rolled, degrees by bar; spins that this brings home are
    among the ``keys``.
    """

    basis: Basis
    keys: frozenset[str]
    opened: tuple[Fastening, ...]
    own: Page
    rolls: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def places(self) -> Places:
        """Where everything is when all is set."""
        return Places(self.own)

    @cached_property
    def like(self) -> Page:
        """How each joint is measured."""
        return self.basis.like(self.keys)

    @cached_property
    def page(self) -> Page:
        """The rig as its instruments show it when all is set."""
        return read_page(self.own, self.like, self.places)

    @cached_property
    def positions(self) -> Positions:
        """Where the pieces are when all is set."""
        return Positions(self.page)


def goal_of(
    basis: Basis, wished: Collection[str] | None = None, standing: Standing | None = None
) -> Goal:
    """Return the goal in which ``wished`` joints (else all that moved) are at home.

    What has to be loosened for them frees other joints too: these are set as well, and may strain
    further bars; so round after round until nothing more is opened. A straight bar that is loose is
    rolled as brings most of its clamps home; one that is tight is let go for that where it takes
    fewer loosenings than its clamps.
    """
    return _Reach(basis, standing or _from_nothing(basis)).goal(
        frozenset(basis.moved if wished is None else wished)
    )


def _from_nothing(basis: Basis) -> Standing:
    return lambda keys, rolls, freed: Places(basis.own_goal(keys, rolls, freed))


class _Reach:
    """Works out what has to be opened."""

    def __init__(self, basis: Basis, standing: Standing) -> None:
        self.basis, self.standing = basis, standing
        self.bars = {bar: held_by(basis, bar) for bar in straight_bars(basis)}

    def goal(self, wished: frozenset[str]) -> Goal:
        keys, opened = wished, frozenset[str]()
        while True:
            rolls = self._rolls(keys, opened)
            loose = [self.basis.fastenings.by_id[id_].keys for id_ in opened]
            freed = {key for held in loose for key in held}
            places = self.standing(keys, rolls, freed)
            more_keys, more_open = self._opened(keys, opened, rolls, places)
            if (more_keys, more_open) == (keys, opened):
                held = tuple(f for f in self.basis.fastenings.all if f.id in opened)
                goal = Goal(self.basis, keys, held, places.page, rolls)
                vars(goal)["places"] = places  # worked out already
                return goal
            keys, opened = more_keys, more_open

    def _opened(
        self, keys: frozenset[str], opened: frozenset[str], rolls: Rolls, places: Places
    ) -> tuple[frozenset[str], frozenset[str]]:
        """Return what is set and opened a round later."""
        by_key, spins = self.basis.fastenings.by_key, self.basis.spins
        rolling = {
            key for key in keys if spins.get(key) in self.bars and self._spin_alone(key, keys)
        }
        now_open = opened | {by_key[key].id for key in keys - rolling if key in by_key}
        now_open |= strained(self.basis, places, now_open, keys)
        if now_open == opened:
            now_open |= self._let_go(keys, opened)
        if now_open == opened:  # nothing else is opened any more: what no roll brings home is
            away = {
                key for key in spins if spins[key] in rolls and self._rolled_away(key, keys, rolls)
            }
            keys |= away
            left = {key for key in rolling | away if not is_rolled(self.basis, key, rolls)}
            now_open |= {by_key[key].id for key in left}
        freed = {key for id_ in now_open for key in self.basis.fastenings.by_id[id_].keys}
        return keys | {key for key in freed if self.basis.is_wanted(key)}, frozenset(now_open)

    def _spin_alone(self, key: str, keys: frozenset[str]) -> bool:
        """Tell whether a clamp would be loosened for its spin and for nothing else."""
        held = self.basis.fastenings.by_key[key]
        return not any(other in keys and other != key for other in held.keys)

    def _rolled_away(self, key: str, keys: frozenset[str], rolls: Rolls) -> bool:
        """Tell whether a bar's roll takes a clamp from where it is to stay."""
        if key in keys or not rolls.get(self.basis.spins[key]) or not self.basis.is_wanted(key):
            return False
        found = self.basis.differences.get(key)
        return (
            found is not None
            and found.difference is not None
            and not is_rolled(self.basis, key, rolls)
        )

    def _rolls(self, keys: frozenset[str], opened: frozenset[str]) -> dict[str, float]:
        """Return how far each loose straight bar is rolled."""
        return {
            bar: best_roll(self.basis, bar, opened, keys)[0]
            for bar, held in self.bars.items()
            if held and held <= opened
        }

    def _let_go(self, keys: frozenset[str], opened: frozenset[str]) -> frozenset[str]:
        """Return what holds a tight bar that is better rolled than its clamps loosened."""
        for bar, held in self.bars.items():
            if not held or held <= opened:
                continue
            tight = sum(
                self.basis.spins[key] == bar and self._spin_alone(key, keys)
                for key in keys
                if key in self.basis.spins
            )
            left = best_roll(self.basis, bar, opened | held, keys)[1]
            if len(held - opened) + left < tight:
                return held
        return frozenset()
