"""Goals of many selections of joints, one after the other: what stays where it is is kept."""

from __future__ import annotations

from collections.abc import Collection

from model.compare.putback.goal import Goal
from model.compare.putback.strain import strained
from model.rig.setting import Setting
from model.space.places import Places
from model.space.positions import Positions


class ShortGoals:
    """Makes the same goals as :func:`goal_of`, from tonight's places and home's settings."""

    def __init__(self, whole: Goal) -> None:
        self.basis = whole.basis
        self.tonight = Positions(self.basis.own_goal(()))
        for _ in self.tonight.pieces, *self.tonight.clamps(), *self.tonight.rails():
            pass  # asked for once, so that all of it is kept
        wanted = [key for key in self.basis.rig.declared if self.basis.is_wanted(key)]
        at_home = self.basis.own_goal(wanted)
        self.home: dict[str, Setting] = {key: at_home.setting(key) for key in wanted}

    def goal_of(self, wished: Collection[str]) -> Goal:
        """Return the goal in which some joints are at home, and what must be opened for them."""
        fastenings = self.basis.fastenings
        keys, opened = frozenset(wished), frozenset[str]()
        while True:
            places = self._places(keys)
            now_open = opened | {fastenings.by_key[key].id for key in keys}
            now_open |= strained(self.basis, places, now_open, keys)
            freed = {key for id_ in now_open for key in fastenings.by_id[id_].keys}
            more = keys | {key for key in freed if self.basis.is_wanted(key)}
            if now_open == opened and more == keys:
                held = tuple(f for f in fastenings.all if f.id in opened)
                goal = Goal(self.basis, keys, held, places.page)
                vars(goal)["places"] = places  # worked out already
                return goal
            keys, opened = frozenset(more), frozenset(now_open)

    def _places(self, keys: frozenset[str]) -> Places:
        settings = {key: self.home[key] for key in keys if key in self.home}
        page = self.tonight.page.with_settings(settings)
        return Positions(page, before=self.tonight).places
