"""The lines of a step: each setting that is set while its screws are loose, and which way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from model.compare.answer import owner_name
from model.compare.putback.acts import Act
from model.compare.putback.answer import Line, Task
from model.compare.putback.dials import dial_line
from model.compare.putback.differences import AS_READ
from model.compare.putback.goal import Goal
from model.compare.putback.lean import flatter_or_steeper, lean_words
from model.compare.putback.measured import measured_words
from model.compare.putback.motions import motion_of
from model.compare.putback.riding import ride
from model.compare.putback.roll import jaw_that_tells
from model.compare.putback.words import fine, plain_way, way_of
from model.compare.settings import difference_of
from model.readings.angles import ReadFrom, turn_between
from model.readings.quantity import Value
from model.rig.declared import Declared
from model.rig.part import Bar
from model.rig.setting import Setting
from model.rig.surety import read_from, u_of_reading
from model.space.as_read import value_shown
from model.space.frames import Array
from model.space.memo import Unplaced
from model.space.places import Places
from model.space.positions import Positions


@dataclass
class Lines:
    """Makes lines for one goal; keeps what is asked for again."""

    goal: Goal
    player: Array = field(init=False)

    def __post_init__(self) -> None:
        self.player = Positions(self.goal.own).player[0]

    def of_act(self, act: Act) -> Iterator[Line]:
        """Yield an act's lines, root to tip; what has to be marked before comes first."""
        unknown = [key for key in act.keys if not self.goal.basis.is_wanted(key)]
        for key in unknown:
            line = self._line(key)
            if line is not None:
                yield line
        yield from self._set([key for key in act.keys if key not in unknown])
        for key in act.dials:
            yield dial_line(self.goal, key)

    def _set(self, keys: Sequence[str]) -> Iterator[Line]:
        rolled: set[str] = set()
        for key in keys:
            line = self._line(key)
            if line is not None:
                yield line
            owner = key.partition(".")[0]
            part = self.goal.own.by_id[owner]
            if isinstance(part, Bar) and owner not in rolled and key == self._last(keys, owner):
                rolled.add(owner)
                yield from self._roll(part)

    @staticmethod
    def _last(keys: Sequence[str], owner: str) -> str:
        return [key for key in keys if key.startswith(f"{owner}.")][-1]

    def _line(self, key: str) -> Line | None:
        """Return a setting's line; None for what follows."""
        basis, declared = self.goal.basis, self.goal.own.declared[key]
        read = key in basis.asked.now.declared and basis.asked.now.setting(key).measured_tonight
        if not basis.is_wanted(key):
            if self.goal.own.setting(key).state == "follows":
                return None
            return self._told(key, declared, "mark", to=self._shown(key), unread=not read)
        by = self._by(key, declared)
        stays = by == 0 if key in basis.moved else read
        return self._told(
            key,
            declared,
            "keep" if stays else "set",
            start=self._start(key),
            to=self._wanted(key),
            by=by,
            unread=not read,
        )

    def _told(
        self,
        key: str,
        declared: Declared,
        task: Task,
        *,
        start: Value | None = None,
        to: Value | None = None,
        by: float | int | None = None,
        unread: bool = False,
    ) -> Line:
        like = self.goal.like
        setting = like.setting(key)
        u = u_of_reading(setting, declared.quantity, like, same=False)
        turned = _turned(start, to, u)
        source = read_from(setting, declared.quantity, like)
        way, aside = self._way(key, by, turned) if task == "set" and by else ("", "")
        leans = ""
        if not way and source == "gravity" and isinstance(to, float):
            if task == "set" and by and isinstance(start, float):
                way = flatter_or_steeper(start, to, turned)
            else:
                leans = lean_words(self.goal.places, key, to, self.player)
        return Line(
            tick=key,
            part=declared.owner,
            part_name=owner_name(self.goal.own, declared.owner),
            name=declared.label,
            task=task,
            quantity=declared.quantity,
            start=start,
            to=to,
            by=by,
            way=way,
            aside=aside,
            leans=leans,
            read_from=source,
            using=setting.using,
            measured=self._measured(key, source),
            u=u,
            unread=unread,
        )

    def _measured(self, key: str, source: ReadFrom | None) -> str:
        """Say from where to where; a joint's own zero where its words are of a level."""
        words = measured_words(self.goal.like, key)
        zero = self.goal.like.declared[key].zero
        return f"0: {zero}" if source == "joint" and words.startswith("level ") and zero else words

    def _wanted(self, key: str) -> Value | None:
        """Return what it is to show; what home read, where that cannot be told for tonight."""
        shown = self._shown(key)
        return self.goal.basis.asked.wanted.setting(key).value if shown is None else shown

    def _shown(self, key: str) -> float | int | None:
        shown = value_shown(self.goal.places, key, self.goal.like)
        return round(shown, 6) if isinstance(shown, float) else shown

    def _start(self, key: str) -> float | int | None:
        """Return what is shown when one gets there: all above at home, this joint as it is."""
        basis, goal = self.goal.basis, self.goal
        if key not in basis.own_now.declared or self._is_elsewhere(key):
            return None
        own = self._here(key)
        if own.value is None or own.state in ("open", "follows"):
            return None
        if isinstance(own.value, int):
            return own.value
        kept = goal.places.memo.kept_without(frozenset({key}))
        there = Places(goal.own.with_setting(key, own), kept=kept)
        shown = value_shown(there, key, goal.like)
        return round(shown, 6) if isinstance(shown, float) else shown

    def _is_elsewhere(self, key: str) -> bool:
        """Tell a joint of a part that hangs elsewhere tonight: its number there says nothing."""
        basis = self.goal.basis
        return key.partition(".")[0] in basis.hung_again and not basis.is_compared(key)

    def _here(self, key: str) -> Setting:
        """Return a joint as it is when all above it is at home: what is on a bar rode with it."""
        basis, goal = self.goal.basis, self.goal
        own = basis.own_now.setting(key)
        if key not in basis.spins:
            return own
        rides = ride(basis, goal.places, key, goal.rolls.get(basis.spins[key], 0.0))
        return own if rides is None else Setting.model_validate({**dict(own), "value": rides})

    def _by(self, key: str, declared: Declared) -> float | int | None:
        """Return how far the joint moves by its own zero; None where tonight's is not known."""
        basis = self.goal.basis
        if key not in basis.own_now.declared or self._is_elsewhere(key):
            return None
        found = basis.differences.get(key)
        if found is not None and found.why == AS_READ and found.difference is not None:
            return -found.difference
        before, after = self._here(key).value, self.goal.own.setting(key).value
        if before is None or after is None or isinstance(before, str) or isinstance(after, str):
            return None
        by = difference_of(before, after, declared)
        return round(by, 6) if isinstance(by, float) else by

    def _way(self, key: str, by: float | int, turned: float | None) -> tuple[str, str]:
        if self._stretches(key):
            return "", ""
        try:
            motion = motion_of(self.goal.places, key, float(by), self.player)
        except Unplaced:
            return "", ""
        if motion is None:
            return plain_way(self.goal.own.declared[key], by)
        return way_of(replace(motion, shown=turned) if motion.turns else motion)

    def _stretches(self, key: str) -> bool:
        """Tell whether it is a bar's grip that moves otherwise than its other one.

        Then the clamps go apart or together, and nobody slides the bar.
        """
        own, now = self.goal.own, self.goal.basis.own_now
        owner = key.partition(".")[0]
        part = own.by_id[owner]
        kind = own.by_kind.get(part.kind or "")
        if not isinstance(part, Bar) or kind is None:
            return False
        grips = [f"{owner}.{joint.id}" for joint in kind.joints if joint.slides == "rail"]
        moves = {
            round(float(there) - float(here), 1)
            for held in grips
            if isinstance(here := now.setting(held).value, int | float)
            and isinstance(there := own.setting(held).value, int | float)
        }
        return key in grips and len(grips) > 1 and len(moves) != 1

    def _roll(self, bar: Bar) -> Iterator[Line]:
        key = jaw_that_tells(self.goal, bar)
        shown = None if key is None else self._shown(key)
        if key is not None and shown is not None:
            line = self._told(key, self.goal.own.declared[key], "roll", to=shown)
            roll = round(self.goal.rolls.get(bar.id, 0.0), 6)
            yield line.model_copy(update={"tick": f"roll.{bar.id}", "by": roll})


def _turned(start: Value | None, to: Value | None, u: float | None) -> float | None:
    """Return how far an instrument sees a joint turn, degrees, as finely as it can tell."""
    if not isinstance(start, float) or not isinstance(to, float):
        return None
    return turn_between(fine(start, u), fine(to, u))
