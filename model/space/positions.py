"""The positions of a page: every surface with its sureness and state, worked out together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from model.errors import Problem
from model.rig.page import Page
from model.rig.part import Bar, Piece, Post
from model.rig.setting import State
from model.space.frames import Array, Frame, settled
from model.space.memo import Unplaced
from model.space.places import Places
from model.space.rails import Rail
from model.space.sureness import Sureness, sureness_of
from model.space.surfaces import edge_heights
from model.space.values import open_turns

THRONE = "throne"
RestsOn = Literal["read", "seen", "carried", "unknown"]
WORST_FIRST: tuple[RestsOn, ...] = ("carried", "seen", "read")


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece whose place is known: its surface, and the inputs that the place was made from."""

    piece: Piece
    surface: Frame
    rests: frozenset[str]

    @property
    def first(self) -> Frame:
        """The surface's frame without the other trials of open turns: one row."""
        return Frame(self.surface.at[:1], self.surface.axes[:1])


class Positions:
    """All that is known of where a page's parts are. Made once; frozen from then on."""

    page: Page
    places: Places

    def __init__(self, page: Page, before: Positions | None = None) -> None:
        """Work a page out; what did not change since ``before``, of the same rig, is kept."""
        kept, stand_ins = None, open_turns(page)
        if before is not None and _same_rig(before.page, page):
            old, new = before.page.settings, page.settings
            changed = {
                key
                for key in old.keys() | new.keys()
                if old.get(key) is not new.get(key) and old.get(key) != new.get(key)
            }
            if before.places.stand_ins.keys() == stand_ins.keys():
                kept = before.places.memo.kept_without(frozenset(changed))
        self.page = page
        self.places = Places(page, kept=kept, stand_ins=stand_ins)

    @cached_property
    def pieces(self) -> Mapping[str, PlacedPiece]:
        """The pieces whose place is known, by id, in the page's order."""
        found: dict[str, PlacedPiece] = {}
        for part in self.page.parts:
            if isinstance(part, Piece):
                try:
                    surface = self.places.surface(part)
                except Unplaced:
                    continue
                if settled(surface.at, surface.z):
                    found[part.id] = PlacedPiece(part, surface, self.rests("surface", part.id))
        return found

    def rests(self, what: str, part_id: str) -> frozenset[str]:
        """Return the inputs that a part's ``surface``, ``rail`` or ``bar`` was made from."""
        held = self.places.memo.held.get((what, part_id))
        return held.rests if held else frozenset()

    @cached_property
    def sureness(self) -> Mapping[str, Sureness]:
        """How sure the known pieces' places are."""
        return sureness_of(
            self.page,
            {key: placed.piece for key, placed in self.pieces.items()},
            {key: placed.rests for key, placed in self.pieces.items()},
        )

    def state(self, piece_id: str) -> RestsOn:
        """Return what a known piece's place rests on: the least of read, seen and carried.

        One that rests on assumed settings alone is as good as unknown.
        """
        states = {state for _, state in self._settings(piece_id)}
        if states == {"open"}:
            return "unknown"
        return next((state for state in WORST_FIRST if state in states), "read")

    def rests_in(self, piece_id: str, state: State) -> tuple[str, ...]:
        """Return the settings in a state that a known piece's place rests on; open: assumed."""
        return tuple(key for key, own in self._settings(piece_id) if own == state)

    def _settings(self, piece_id: str) -> Iterator[tuple[str, State]]:
        held = self.sureness.get(piece_id)
        for influence in held.influences if held else ():
            if influence.source.is_setting:
                yield influence.source.key, self.page.setting(influence.source.key).state

    def open_settings(self, part_id: str) -> tuple[str, ...]:
        """Return the open settings that may make a place unknown, in declared order.

        It is that of a piece's surface, of a bar or of a post.
        """
        part = self.page.by_id[part_id]
        what = "bar" if isinstance(part, Bar) else "rail" if isinstance(part, Post) else "surface"
        rests = self.rests(what, part_id)
        return tuple(
            key
            for key, declared in self.page.declared.items()
            if key in rests
            and declared.assumed is None
            and self.page.setting(key).state in ("open", "follows")
        )

    def fault(self, piece_id: str) -> Problem | None:
        """Return what stands in the way of a piece's place, where the structure gives none."""
        held = self.places.memo.held.get(("surface", piece_id))
        return held.problem if held else None

    @cached_property
    def throne(self) -> str | None:
        """The piece that the player sits on, if its place is known."""
        for key, placed in self.pieces.items():
            if (placed.piece.role or "").casefold() == THRONE:
                return key
        return None

    @cached_property
    def player(self) -> Array:
        """The player's point (1, 3): the throne's middle, else the zero mark."""
        if self.throne is None:
            return np.zeros((1, 3))
        return self.pieces[self.throne].surface.at[:1]

    def edges(self, piece_id: str) -> tuple[float, float] | None:
        """Return the heights of a known piece's near and far edge, mm; None where it has none."""
        if piece_id == self.throne:
            return None
        placed = self.pieces[piece_id]
        return edge_heights(placed.piece, placed.surface, self.player)

    def clamps(self) -> Iterator[tuple[str, Array]]:
        """Yield every clamp whose place on its rail is known: its id, and its middle (3,)."""
        for part in self.page.parts:
            if self.places.is_clamped(part):
                try:
                    at, _ = self.places.clamp_on_rail(part.id)
                except Unplaced:
                    continue
                if settled(at):
                    yield part.id, at[0]

    def rails(self) -> Iterator[tuple[Post | Bar, Rail, float | None]]:
        """Yield every post and bar whose rail is known, with a bar's closure in mm."""
        for part in self.page.parts:
            if not isinstance(part, Post | Bar):
                continue
            try:
                rail = self.places.rail(part)
                closure = self.places.hung(part).closure if isinstance(part, Bar) else None
            except Unplaced:
                continue
            if settled(rail.at(np.zeros(1)), rail.at(np.ones(1))):
                known = closure is not None and settled(closure)
                yield part, rail, float(closure[0]) if known and closure is not None else None

    def faults(self) -> tuple[Problem, ...]:
        """Return what stands in the way of places, each once; asks for every place first."""
        for _ in self.pieces, *self.clamps(), *self.rails():
            pass
        return tuple(self.places.memo.faults())


def _same_rig(before: Page, after: Page) -> bool:
    return (
        before.parts == after.parts
        and before.kinds == after.kinds
        and before.marks == after.marks
        and before.instruments == after.instruments
    )
