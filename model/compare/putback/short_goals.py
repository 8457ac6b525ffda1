"""Goals of many selections of joints, one after the other: what stays where it is is kept."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from model.compare.putback.goal import Goal, goal_of
from model.compare.putback.riding import ridden
from model.rig.setting import Setting
from model.space.places import Places
from model.space.positions import Positions


class ShortGoals:
    """Makes the goals of :func:`goal_of`, from tonight's places and home's settings."""

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
        return goal_of(self.basis, wished, self._places)

    def _places(
        self, keys: Collection[str], rolls: Mapping[str, float], freed: Collection[str]
    ) -> Places:
        settings = {key: self.home[key] for key in keys if key in self.home}
        page = ridden(self.basis, self.tonight.page.with_settings(settings), keys, rolls, freed)
        return Positions(page, before=self.tonight).places
