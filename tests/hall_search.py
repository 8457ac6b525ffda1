"""The fewest loosenings that bring a rig home, searched for without any rule but the hall's.

A round lets some screws go together and tightens them again. In it each joint that is free can be
set home or is left wrong; what stands can be put by hand while the bars on it are loose. Every
round costs its screws. The search walks all states of what is still wrong, cheapest first.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from model.rig.page import Page
from model.rig.part import Bar, Post
from model.space.positions import Positions
from tests.hall import Hall
from tests.hall_bars import bulge_spin, riding
from tests.hall_screws import Screw

SAME = 1e-6


@dataclass(frozen=True, slots=True)
class State:
    """What is wrong: joints that are not at home, and how far each clamp on a bar is turned.

    A clamp's turn is against its tube, rounded; with the roll of the tube it is its spin.
    """

    wrong: frozenset[str]
    turned: tuple[tuple[str, float], ...]
    rolled: tuple[tuple[str, float], ...]


def off_by(hall: Hall, home: Page, key: str) -> float:
    """Return how far a joint's own value is from home, the short way round for a turn."""
    value = home.setting(key).value
    assert isinstance(value, float | int)
    off = float(hall.own(key)) - value
    _, joint = hall.part_and_joint(key)
    if joint is not None and joint.turns is not None and joint.teeth is None:
        off = (off + 180.0) % 360.0 - 180.0
    return off


class Search:
    """One rig that is not at home, and the fewest loosenings that bring it there."""

    def __init__(self, hall: Hall, home: Page) -> None:
        self.hall, self.home = hall, Positions(home)
        self.bars = {
            key: part
            for part in hall.page.parts
            if isinstance(part, Bar)
            for key in riding(hall.page, part.id)
        }
        self.start = self._start()
        self.useful = list(self._useful())

    @property
    def moves(self) -> int:
        """How many joints are not at home."""
        turned = {key for key, off in self.start.turned if off}
        return len(self.start.wrong | turned) + sum(bool(off) for _, off in self.start.rolled)

    def _start(self) -> State:
        wrong = set()
        turned, rolled = [], {}
        for key in self.hall.by_key:
            off = off_by(self.hall, self.home.page, key)
            bar = self.bars.get(key)
            if bar is not None:
                if bar.curve is not None:
                    off -= bulge_spin(self.hall.at, key) - bulge_spin(self.home, key)
                turned.append((key, round(off, 5) + 0.0))
            elif abs(off) > SAME:
                wrong.add(key)
        for bar in {bar.id: bar for bar in self.bars.values() if bar.curve is None}.values():
            rolled[bar.id] = 0.0  # a straight tube has no mark: its turns count from as it is
        return State(frozenset(wrong), tuple(sorted(turned)), tuple(sorted(rolled.items())))

    def is_home(self, state: State) -> bool:
        """Tell whether all is home: each clamp by its tube's roll and its own turn together."""
        roll = dict(state.rolled)
        return not state.wrong and all(
            abs(off + roll.get(self.bars[key].id, 0.0)) < 1e-4 for key, off in state.turned
        )

    def _useful(self) -> Iterator[Screw]:
        """Yield the screws that free something wrong, or a bar that may have to move."""
        wrong = set(self.start.wrong)
        roll = {self.bars[key].id for key, off in self.start.turned if off}
        wrong |= {key for key, off in self.start.turned if off}
        posts = {
            screw.part
            for screw in self.hall.screws.values()
            if screw.by_hand and wrong & set(screw.keys)
        }
        bars = {
            loop.bar
            for loop in self.hall.loops.all
            if set(loop.keys) & wrong or posts & set(loop.posts) or loop.bar in roll
        }
        held = {clamp for bar in bars | roll for clamp in self._bar(bar).on}
        # A straight bar's roll may take a clamp from home, so that it has to be loosened too.
        wrong |= {key for key, bar in self.bars.items() if bar.id in roll and bar.curve is None}
        for screw in self.hall.screws.values():
            if not screw.by_hand and (wrong & set(screw.keys) or screw.part in held):
                yield screw

    def _bar(self, bar: str) -> Bar:
        part = self.hall.page.by_id[bar]
        assert isinstance(part, Bar)
        return part

    def fewest(self, most: int) -> int | None:
        """Return the fewest loosenings; None where it takes more than ``most``."""
        queue: list[tuple[int, int, State]] = [(0, 0, self.start)]
        done: set[State] = set()
        number = 0
        while queue:
            cost, _, state = heapq.heappop(queue)
            if state in done:
                continue
            done.add(state)
            if self.is_home(state):
                return cost
            for size in range(min(len(self.useful), most - cost) + 1):
                for opened in combinations(self.useful, size):
                    for after in self._after(state, opened):
                        if after not in done:
                            number += 1
                            heapq.heappush(queue, (cost + size, number, after))
        return None

    def _after(self, state: State, opened: tuple[Screw, ...]) -> Iterator[State]:
        """Yield the best states after a round: each roll of the loose bars that sets some clamp.

        What is free is set home, since nothing better can come of it; what cannot be stays wrong.
        """
        loose = {screw.id for screw in opened}
        free = {key for screw in opened for key in screw.keys}
        rolling = []
        for loop in self.hall.loops.all:
            free -= set(loop.keys)
            if self.hall.loops.is_free(loop, loose):
                free |= set(loop.keys)
        for bar in {bar.id: bar for bar in self.bars.values() if bar.curve is None}.values():
            if all(f"{clamp}.clamp" in loose for clamp in bar.on):
                rolling.append(bar.id)
        for screw in self.hall.screws.values():
            if screw.by_hand and set(screw.keys) & state.wrong and self._can_move(screw, loose):
                free |= set(screw.keys)
        wrong = state.wrong - free
        for loop in self.hall.loops.all:
            if any(wrong & set(self.hall.screws[f"{post}.hand"].keys) for post in loop.posts):
                wrong |= set(loop.grips) & (state.wrong | free)  # no bar is home between such posts
        for rolled in self._rolls(state, rolling, free):
            roll = dict(rolled)
            turned = tuple(
                (key, 0.0 - roll.get(self.bars[key].id, 0.0) if key in free else off)
                for key, off in state.turned
            )
            yield State(wrong, turned, rolled)

    def _rolls(
        self, state: State, rolling: list[str], free: set[str]
    ) -> Iterator[tuple[tuple[str, float], ...]]:
        """Yield the rolls worth trying: those that bring a tight clamp home, or leave the bar."""
        found: list[dict[str, float]] = [dict(state.rolled)]
        for bar in rolling:
            ways = {-off for key, off in state.turned if self.bars[key].id == bar}
            found = [{**roll, bar: way} for roll in found for way in sorted(ways)]
        for roll in found:
            yield tuple(sorted(roll.items()))

    def _can_move(self, screw: Screw, loose: set[str]) -> bool:
        """Tell whether what stands can be put: no tight bar ties it to another post.

        Feet that a fill-in put anywhere never all moved as one, so that tied posts cannot either.
        """
        if not isinstance(self.hall.page.by_id[screw.part], Post):
            return True
        return all(
            self.hall.loops.is_free(loop, loose)
            for loop in self.hall.loops.all
            if screw.part in loop.posts
        )
