"""What the ticks of a put-back are: a move, whether a hand has made it, and who says so."""

from __future__ import annotations

import re
from functools import cached_property
from typing import Annotated, Self

from pydantic import Field, model_validator

from model.errors import CannotDo, Problem
from model.frozen import Extra, Frozen, Number, Unfit, Words

FORMAT = 1
MOVE = "ride-boom.reach = { from = 381.0, to = 365.125, done = false }"
"""A move's line that would be right, for messages."""

MOVE_KEY = re.compile(r"[a-z0-9][a-z0-9_-]{0,63}(?:\.[a-z0-9][a-z0-9_-]{0,63}){1,2}")
"""A setting's key, ``part.setting`` or ``part.dial.name``; or put., ask., hang.,
kind. and a part, roll. and a bar."""

Teeth = Annotated[int, Field(ge=-1_000_000, le=1_000_000)]
Measure = Number | Teeth | Words
PageName = Annotated[Words, Field(min_length=1)]
FileName = Annotated[Words, Field(pattern=r"^[^./\\\x00-\x1f][^/\\\x00-\x1f]*$")]
"""A page's file without its ending: never a way into another folder."""


class Tick(Frozen):
    """One move of a put-back, made or not.

    ``start`` and ``to`` are in millimetres, degrees, whole teeth, or a dial's words or number, and
    None where they are not known; ``by`` is who ticked it. A tick is no reading: what the move is
    about stays carried until it is read.
    """

    key: Annotated[str, Field(pattern=f"^{MOVE_KEY.pattern}$")]
    start: Measure | None = Field(default=None, alias="from")
    to: Measure | None = None
    done: bool = False
    by: Words | None = None
    extra: Extra = ()


class Ticks(Frozen):
    """The moves from the page ``now`` to the page ``wanted``, in their order, and their ticks.

    ``readings`` is the page that re-readings go to, where there is one.
    """

    now: PageName
    wanted: PageName
    readings: FileName | None = None
    moves: tuple[Tick, ...] = ()
    extra: Extra = ()

    @model_validator(mode="after")
    def _each_on_its_own_line(self) -> Self:
        keys = {move.key for move in self.moves}
        if len(keys) < len(self.moves):
            raise Unfit("a move is there twice", "one line a move")
        for key in keys:
            owner = key.rpartition(".")[0]
            if owner in keys:
                raise Unfit(f"the move {key} is inside the move {owner}", MOVE)
        return self

    @cached_property
    def by_key(self) -> dict[str, Tick]:
        """The moves by key."""
        return {move.key: move for move in self.moves}

    @property
    def done(self) -> frozenset[str]:
        """The keys of the moves that are made."""
        return frozenset(move.key for move in self.moves if move.done)

    def move(self, key: str) -> Tick:
        """Return the move of that key; raises :class:`CannotDo` where there is none."""
        if key in self.by_key:
            return self.by_key[key]
        problem = Problem(
            code="no-such-move",
            what=f"the put-back from {self.now} to {self.wanted} has no such move",
            why="its line is not there, or not there any more",
            right="a move of the list; make the list anew if the pages have changed",
            key=key,
        )
        raise CannotDo("the move cannot be ticked", (problem,))

    def ticked(self, key: str, by: str | None) -> Ticks:
        """Return the ticks with a move made; one that is ticked already stays as it is.

        Raises :class:`CannotDo` where there is no such move.
        """
        before = self.move(key)
        if before.done:
            return self
        return self._with(Tick.model_validate({**dict(before), "done": True, "by": by}))

    def unticked(self, key: str) -> Ticks:
        """Return the ticks with a move not made; raises :class:`CannotDo`."""
        before = self.move(key)
        if not before.done:
            return self
        return self._with(Tick.model_validate({**dict(before), "done": False, "by": None}))

    def strangers(self, wished: Ticks) -> tuple[str, ...]:
        """Return the moves that are wished for and not here, or go elsewhere here."""
        return tuple(
            move.key
            for move in wished.moves
            if move.key not in self.by_key or self.by_key[move.key].to != move.to
        )

    def done_of(self, wished: Ticks) -> frozenset[str]:
        """Return the moves wished for that are made: those that go where they went."""
        return self.done & wished.by_key.keys() - frozenset(self.strangers(wished))

    def with_readings(self, page: str) -> Ticks:
        """Return the ticks with the page that re-readings go to."""
        return self._copied(readings=page)

    def _with(self, tick: Tick) -> Ticks:
        moves = tuple(tick if move.key == tick.key else move for move in self.moves)
        return self._copied(moves=moves)

    def _copied(self, **changes: object) -> Ticks:
        fields = {name: getattr(self, name) for name in Ticks.model_fields}
        return Ticks.model_validate({**fields, **changes})
