"""A put-back at work: what is ticked, what was read again, and how far each piece is from home now.

A ticked move is not a reading: it is taken as done for what is told of the pieces, and nothing of
it is ever written into a page.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import cached_property

from model.book.ticks import Tick, Ticks
from model.compare.putback.acts import above
from model.compare.putback.answer import Line, PutBack, Remains
from model.compare.putback.basis import Basis
from model.compare.putback.make import Choices
from model.compare.putback.remains import Ends, remains_between
from model.compare.settings import difference_of
from model.rig.page import Page
from model.rig.part import Piece
from model.rig.setting import Setting
from model.space.as_read import joint_settings, known_value, read_page
from model.space.places import Places
from model.space.positions import Positions


@dataclass(frozen=True)
class Work:
    """The list, what of it is done, and the page of what was read again, if there is one."""

    basis: Basis
    answer: PutBack
    choices: Choices
    done: frozenset[str] = frozenset()
    readings: Page | None = None

    def with_done(self, done: frozenset[str]) -> Work:
        """Return the work with other ticks."""
        return replace(self, done=done)

    def with_readings(self, page: Page | None) -> Work:
        """Return the work with another page of re-readings."""
        return replace(self, readings=page)

    @property
    def answer_page(self) -> Page:
        """The page that declares the list's settings, put-back parts and dials too."""
        return self.basis.told

    @cached_property
    def again(self) -> dict[str, Setting]:
        """The joints that were read again since the put-back began."""
        if self.readings is None:
            return {}
        return {
            key: self.readings.setting(key)
            for key in joint_settings(self.basis.rig)
            if key in self.readings.declared and self.readings.setting(key).state == "read"
        }

    @cached_property
    def not_hung(self) -> frozenset[str]:
        """The pieces that hang on what is still to be put back."""
        missing = {
            step.part
            for step in self.answer.structure
            if step.task in ("put back", "hang elsewhere")
            and (step.tick not in self.done or self._is_to_be_set(step.part))
        }
        return frozenset(
            part.id
            for part in self.basis.rig.parts
            if isinstance(part, Piece) and missing & above(self.basis.rig, (part.id,))
        )

    def _is_to_be_set(self, part: str) -> bool:
        """Tell whether a part that is hung again has joints that nobody set yet."""
        ticks = [line.tick for line in self.answer.lines if line.part == part]
        return any(tick not in self.done and tick not in self.again for tick in ticks)

    @cached_property
    def rolls(self) -> dict[str, float]:
        """How far the straight bars are rolled whose line is ticked, degrees by bar."""
        return {
            line.tick.removeprefix("roll."): float(line.by)
            for line in self.answer.lines
            if line.task == "roll" and line.tick in self.done and line.by
        }

    @cached_property
    def own(self) -> Page:
        """The rig as it stands: joints that are ticked at home, those read again as they read."""
        keys = self.done & self.basis.own_wanted.declared.keys()
        freed = {line.tick for line in self.answer.lines}
        own = self.basis.own_goal(keys, self.rolls, freed)
        if not self.again:
            return own
        shown = read_page(own, self._measured(keys), Places(own)).with_settings(self.again)
        places = Places(shown)
        settings = {}
        for key, setting in self.again.items():
            value = known_value(places, key)
            if value is not None:
                source = "joint" if self.basis.rig.declared[key].quantity == "angle" else None
                settings[key] = Setting.model_validate(
                    {**dict(setting), "value": value, "read_from": source}
                )
        return own.with_settings(settings)

    def _measured(self, keys: Collection[str]) -> Page:
        """Return how each joint is measured: as on the page of re-readings where it has it."""
        like = self.basis.like(keys)
        assert self.readings is not None
        here = self.readings
        parts = tuple(here.by_id.get(part.id, part) for part in like.parts)
        fields = {name: getattr(like, name) for name in Page.model_fields}
        return Page.model_construct(**{**fields, "parts": parts}).with_settings(self.again)

    @cached_property
    def standing(self) -> tuple[Remains, ...]:
        """How far every piece is from home as the rig stands; how sure, nobody asks yet."""
        return self._remains(Positions(self.own), measured=False)

    def settled(self) -> tuple[Remains, ...]:
        """Return how far every piece is from home as the rig stands, and how sure that is."""
        keys = self.done & self.basis.own_wanted.declared.keys()
        like = self.basis.like(keys) if self.readings is None else self._measured(keys)
        return self._remains(Positions(read_page(self.own, like)), measured=True)

    def _remains(self, here: Positions, *, measured: bool) -> tuple[Remains, ...]:
        ends = Ends(self.basis.asked, self.basis.home, here, self.not_hung)
        return tuple(remains_between(ends, self.choices.tolerances, measured=measured))

    def off_home(self, tick: str) -> float | int | None:
        """Return how far a joint that was read again is off home, mm, degrees or teeth."""
        if tick not in self.again:
            return None
        home, here = self.basis.own_wanted.setting(tick).value, self.own.setting(tick).value
        if isinstance(home, str) or isinstance(here, str) or home is None or here is None:
            return None
        return difference_of(home, here, self.basis.rig.declared[tick])

    def off_from(self, line: Line) -> tuple[Remains, ...]:
        """Return how far those pieces are from home that a line moves."""
        return tuple(
            held for held in self.standing if line.part in above(self.basis.rig, (held.piece,))
        )

    @property
    def left(self) -> tuple[str, ...]:
        """The ticks that are not set, structure first, in order."""
        ticks = [step.tick for step in self.answer.structure]
        ticks += [line.tick for line in self.answer.lines]
        return tuple(tick for tick in ticks if tick not in self.done)


def ticks_for(answer: PutBack) -> Ticks:
    """Return the list's ticks, none of them set: structure, then each line in order."""
    moves = [Tick(key=step.tick) for step in answer.structure]
    moves += [Tick(key=line.tick, start=line.start, to=line.to) for line in answer.lines]
    return Ticks(now=answer.now.page, wanted=answer.wanted.page, moves=tuple(moves))


def is_home(standing: Collection[Remains]) -> bool:
    """Tell whether every piece that has a tolerance is home within it, and none is unknown."""
    return all(held.reached in ("home", "no tolerance") for held in standing)
