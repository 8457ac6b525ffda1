"""What two pages' readings say of the pieces: how each surface moved, and whether that is sure."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from model.compare.settings import COVERAGE, combined_uncertainty
from model.picture.scene import Arrow
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.frames import Array
from model.space.inputs import owner_of
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
        u = _uncertainty(before, after, key, names) if measured else None
        yield Move(
            key,
            placed.piece.name,
            one[0, :3],
            two[0, :3],
            tuple(float(v) for v in by),
            u,
        )


def _uncertainty(
    before: Positions, after: Positions, piece: str, names: tuple[str, str]
) -> tuple[float, ...] | None:
    total = np.zeros(OUTPUTS)
    told: set[str] = set()
    for positions in (after, before):
        for influence in positions.sureness[piece].influences:
            key = influence.source.key
            if key in told:
                continue
            if not influence.source.is_setting:
                if not _same_hardware(before.page, after.page, key):
                    total += np.diag(influence.covariance())
                continue
            told.add(key)
            u = _of_setting(before.page, after.page, key, names)
            if u and np.isfinite(influence.by).all():
                total += np.diag(influence.covariance(u))
    return tuple(float(v) for v in np.sqrt(total))


def _of_setting(before: Page, after: Page, key: str, names: tuple[str, str]) -> float | None:
    declared = after.declared.get(key) or before.declared.get(key)
    if declared is None:
        return None
    a, b = before.setting(key), after.setting(key)
    same_rig = before.head.rig == after.head.rig
    if same_rig and _reading(a, names[0]) == _reading(b, names[1]):
        return 0.0
    return combined_uncertainty(declared, a, b, before, after)


def _same_hardware(before: Page, after: Page, key: str) -> bool:
    """Tell whether a length of the hardware is the same one on both pages: then it cancels."""
    owner = owner_of(key)
    one, two = before.by_id.get(owner), after.by_id.get(owner)
    if one is None or two is None or one.kind != two.kind:
        return False
    kinds = before.by_kind.get(one.kind or ""), after.by_kind.get(two.kind or "")
    return kinds[0] == kinds[1] and getattr(one, "offset", None) == getattr(two, "offset", None)


def _reading(setting: Setting, name: str) -> tuple[str, object]:
    """Return which reading a value rests on: the page it was read on, and the value."""
    return (setting.page or name, setting.value)


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
