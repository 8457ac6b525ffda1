"""What two pages' readings say of the pieces: how each surface moved, and whether that is sure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from model.compare.settings import COVERAGE
from model.compare.spread import spread_of_difference
from model.picture.scene import Arrow
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit
from model.space.frames import Array
from model.space.positions import Positions
from model.space.sureness import OUTPUTS, outputs_of, short_way

STILL = 0.05
"""A middle that moved by less, mm, stayed where it was."""


@dataclass(frozen=True, slots=True)
class Move:
    """How one surface moved from the first page to the second: right, ahead, up in mm, tilts in
    degrees (``by``, five of them), and how sure that is (``u``, the same; None if nobody asked).

    A reading of which nobody said how sure it is adds nothing to ``u``.
    """

    piece: str
    name: str
    start: Array
    end: Array
    by: tuple[float, ...]
    u: tuple[float, ...] | None

    @property
    def distance(self) -> float:
        """How far the middle moved, mm."""
        return math.hypot(*self.by[:3])

    @property
    def beyond(self) -> bool:
        """Whether the middle moved by more than the readings can tell, in any of three ways."""
        if self.u is None:
            return self.distance > STILL
        return any(
            abs(by) > max(COVERAGE * u, STILL)
            for by, u in zip(self.by[:3], self.u[:3], strict=True)
        )


def piece_moves(
    before: Positions,
    after: Positions,
    names: tuple[str, str] = ("first", "second"),
    *,
    measured: bool = True,
) -> Iterator[Move]:
    """Yield every piece that both pages place, in the second page's order.

    Lengths of the hardware are the same on both pages: their uncertainty cancels. So does that of
    a reading that both pages rest on. With ``measured`` off nobody asks how sure the move is.
    """
    for key, placed in after.pieces.items():
        earlier = before.pieces.get(key)
        if earlier is None:
            continue
        one, two = outputs_of(earlier.first, 1), outputs_of(placed.first, 1)
        by = short_way(two - one)[0]
        u: tuple[float, ...] | None = None
        if measured:
            influences = [positions.sureness[key].influences for positions in (before, after)]
            u = spread_of_difference(
                (before.page, after.page), names, (influences[0], influences[1]), OUTPUTS
            )
        yield Move(
            key,
            placed.piece.name,
            one[0, :3],
            two[0, :3],
            tuple(float(v) for v in by),
            u,
        )


def move_arrows(moves: Iterator[Move], unit: LengthUnit) -> Iterator[Arrow]:
    """Yield an arrow for every piece that moved beyond what the readings can tell."""
    for move in moves:
        if move.beyond:
            start, end = (tuple(float(v) for v in at) for at in (move.start, move.end))
            yield Arrow(
                move.piece,
                (start[0], start[1], start[2]),
                (end[0], end[1], end[2]),
                show_place(move.distance, unit),
            )
