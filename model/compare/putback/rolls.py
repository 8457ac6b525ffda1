"""How a loose straight bar is best rolled: so that the fewest of the clamps on it are loosened."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING

from model.compare.putback.riding import slack
from model.readings.angles import turn_between
from model.rig.part import Bar

if TYPE_CHECKING:
    from model.compare.putback.basis import Basis

LEAST = 1e-9
"""A roll of less, degrees, is none."""


def straight_bars(basis: Basis) -> Iterator[str]:
    """Yield the straight bars whose roll nothing but the clamps on them tells."""
    for part in basis.rig.parts:
        if isinstance(part, Bar) and part.curve is None and part.id in basis.spins.values():
            kind = basis.rig.by_kind.get(part.kind or "")
            braces = basis.rig.setting(f"{part.id}.slope").state == "follows"
            if kind is not None and "bow" not in kind.by_joint and not braces:
                yield part.id


def held_by(basis: Basis, bar_id: str) -> frozenset[str]:
    """Return the fastenings that hold a bar: all of them must be open for it to roll."""
    found = {
        held.id for key, held in basis.fastenings.by_key.items() if key.partition(".")[0] == bar_id
    }
    bar = basis.rig.by_id[bar_id]
    for clamp in bar.on:
        held = basis.fastenings.of_clamp(clamp) if clamp in basis.rig.by_id else None
        if held is not None:
            found.add(held.id)
    return frozenset(found)


def best_roll(
    basis: Basis, bar_id: str, opened: Collection[str], keys: Collection[str]
) -> tuple[float, int]:
    """Return how far to roll a bar, degrees, and how many clamps are then to be loosened for it.

    Asked are the clamps on it that stay tight otherwise. One whose spin is not to be moved, or is
    home within what the readings tell, wants no roll.
    """
    wants = dict(_wants(basis, bar_id, opened, keys))
    if not wants or _carries_a_loop(basis, bar_id):
        return 0.0, sum(abs(want) > LEAST for want, _ in wants.values())

    def left(roll: float) -> int:
        return sum(abs(turn_between(roll, want)) > free for want, free in wants.values())

    candidates = sorted({0.0, *(want for want, _ in wants.values())}, key=abs)
    roll = min(candidates, key=left)
    return roll, left(roll)


def _wants(
    basis: Basis, bar_id: str, opened: Collection[str], keys: Collection[str]
) -> Iterator[tuple[str, tuple[float, float]]]:
    """Yield each tight clamp's spin with how far it is to turn, and how near counts as home."""
    for key, bar in basis.spins.items():
        held = basis.fastenings.by_key.get(key)
        found = basis.differences.get(key)
        if bar != bar_id or held is None or held.id in opened:
            continue
        if any(other in keys and other != key for other in held.keys):
            continue  # loosened anyway
        if found is None or found.difference is None or not basis.is_wanted(key):
            continue
        want = -float(found.difference) if key in keys else 0.0
        yield key, (want, slack(found.u))


def _carries_a_loop(basis: Basis, bar_id: str) -> bool:
    """Tell whether another bar's clamp is on a bar: rolled, it would strain that one."""
    clamps = {clamp for loop in basis.fastenings.loops for clamp in loop.clamps}
    return any(part.on[0] == bar_id and part.id in clamps for part in basis.rig.parts)
