"""How sure a place is: the readings' uncertainties carried through the rack to each surface."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from model.rig.page import Page
from model.rig.part import Piece
from model.space.frames import Array, Frame
from model.space.inputs import STEP, Input, trials_for
from model.space.memo import Unplaced
from model.space.places import Places
from model.space.surfaces import tilts
from model.space.values import open_turns

COVER_95 = 1.959963984540054
"""The 97.5 % point of the normal distribution: what ± covers 95 % (JCGM 100:2008, annex G)."""

NONE = 1e-9
"""An influence under this, mm per mm or per degree, is none."""

STRAIGHT = 1e-2
"""A second derivative under this, mm per degree squared, is rounding."""

OUTPUTS = 5
"""Right, ahead and up of the surface's middle in mm; tilt ahead and right in degrees."""


@dataclass(frozen=True, slots=True)
class Influence:
    """How one input moves a surface: ``by`` (5, width) per mm, degree or tooth of it.

    ``bend`` (5, width) is the second derivative: how that changes as the input does.
    """

    source: Input
    by: Array
    bend: Array

    @property
    def moves(self) -> bool:
        """Whether it moves the surface at all; what cannot be told counts as moving it."""
        still = np.abs(self.by) <= NONE
        straight = np.abs(self.bend) <= STRAIGHT
        return not bool(still.all() and straight.all())

    @property
    def is_told(self) -> bool:
        """Whether how sure it is, and how it moves the surface, are both known."""
        return self.source.u is not None and bool(np.isfinite(self.by).all())

    def covariance(self, u: float | None = None) -> Array:
        """Return its part of the covariance (5, 5), with its own u or another.

        u² f' f'ᵀ + ½ u⁴ f'' f''ᵀ: a turn read by eye swings a boom's end round, not only aside.
        """
        spread = self.source.u if u is None else u
        square = (np.nan if spread is None else spread) ** 2
        product: Array = self.by @ self.by.T * square
        return product + self.bend @ self.bend.T * (square * square / 2.0)

    def drift(self) -> Array:
        """Return how far the mean lies from the place worked out (5,): ½ u² f''."""
        spread = np.nan if self.source.u is None else self.source.u
        drift: Array = self.bend.sum(axis=1) * (spread * spread / 2.0)
        return drift


@dataclass(frozen=True, slots=True)
class Sureness:
    """How sure one surface's place is, by the law of propagation (JCGM 100:2008, 5.1.2), with the
    second-order terms of its note for each input by itself.

    ``influences`` are those that move it, ``covariance`` (5, 5) is of the outputs in mm and
    degrees; NaN where a reading's uncertainty is not known (``unsure`` names it).
    """

    influences: tuple[Influence, ...]
    covariance: Array

    @property
    def unsure(self) -> tuple[str, ...]:
        """Return what it rests on of which nobody said how sure it is, or cannot be told here."""
        return tuple(i.source.key for i in self.influences if not i.is_told)

    def u95(self) -> tuple[float, ...] | None:
        """Return ± for 95 % of the five outputs, mm and degrees; None where it is not known."""
        if self.unsure or not np.isfinite(self.covariance).all():
            return None
        drift = sum((i.drift() for i in self.influences), np.zeros(OUTPUTS))
        return tuple(float(COVER_95 * v) for v in np.sqrt(np.diag(self.covariance) + drift**2))

    def shares(self) -> list[tuple[str, float]]:
        """Return each input's share of the trace of the middle's covariance, largest first.

        All lengths of the hardware together are ``hardware``.
        """
        whole = float(np.trace(self.covariance[:3, :3]))
        if not np.isfinite(whole) or whole <= 0.0:
            return []
        shares: dict[str, float] = {}
        for influence in self.influences:
            key = influence.source.key if influence.source.is_setting else "hardware"
            part = float(np.trace(influence.covariance()[:3, :3])) / whole
            shares[key] = shares.get(key, 0.0) + part
        return sorted(shares.items(), key=lambda item: (-item[1], item[0]))


def sureness_of(
    page: Page, pieces: Mapping[str, Piece], rests: Mapping[str, frozenset[str]]
) -> dict[str, Sureness]:
    """Return how sure the surfaces of ``pieces`` are; ``rests`` are the inputs of each.

    Every input is nudged up and down and the whole page worked out again, in one batch.
    """
    trials = trials_for(page, rests)
    nudged = nudged_places(page, trials.nudges())
    found: dict[str, Sureness] = {}
    for name, piece in pieces.items():
        try:
            outputs = outputs_of(nudged.surface(piece), trials.rows)
        except Unplaced:
            continue
        influences = []
        for key in sorted(rests[name]):
            if key in trials.inputs:
                held, first = trials.inputs[key], 2 * trials.slot[key]
                rows = outputs[first : first + 2 * held.width]
                up, down = (short_way(rows[way::2] - outputs[-1:]) for way in (0, 1))
                by, bend = (up - down) / (2.0 * STEP), (up + down) / (STEP * STEP)
                influences.append(Influence(held, by.T, bend.T))
        moving = tuple(influence for influence in influences if influence.moves)
        covariance = sum(
            (influence.covariance() for influence in moving), np.zeros((OUTPUTS, OUTPUTS))
        )
        found[name] = Sureness(moving, covariance)
    return found


def short_way(difference: Array) -> Array:
    """Return differences of outputs (n, 5), with those of the tilts the short way round."""
    difference[:, 3:] = (difference[:, 3:] + 180.0) % 360.0 - 180.0
    return difference


def nudged_places(page: Page, nudges: Mapping[str, Array]) -> Places:
    """Return the page's places with its inputs nudged; open turns stand at zero."""
    stand_ins = {key: trial[:1] for key, trial in open_turns(page).items()}
    return Places(page, nudges, stand_ins=stand_ins)


def outputs_of(surface: Frame, rows: int) -> Array:
    """Return the five outputs (rows, 5) of a surface: mm right, ahead, up; degrees ahead, right."""
    ahead, right = tilts(surface.z)
    outputs = np.empty((rows, OUTPUTS))
    outputs[:, :3], outputs[:, 3], outputs[:, 4] = surface.at, ahead, right
    return outputs
