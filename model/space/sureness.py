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

COVER_95 = 1.959963984540054
"""The 97.5 % point of the normal distribution: what ± covers 95 % (JCGM 100:2008, annex G)."""

NONE = 1e-9
"""An influence under this, mm per mm or per degree, is none."""

OUTPUTS = 5
"""Right, ahead and up of the surface's middle in mm; tilt ahead and right in degrees."""


@dataclass(frozen=True, slots=True)
class Influence:
    """How one input moves a surface: ``by`` (5, width) per mm, degree or tooth of it."""

    source: Input
    by: Array

    @property
    def moves(self) -> bool:
        """Whether it moves the surface at all."""
        return bool(np.any(np.abs(self.by) > NONE))

    def covariance(self, u: float | None = None) -> Array:
        """Return its part of the covariance (5, 5), with its own u or another."""
        spread = self.source.u if u is None else u
        product: Array = self.by @ self.by.T
        return product * (np.nan if spread is None else spread) ** 2


@dataclass(frozen=True, slots=True)
class Sureness:
    """How sure one surface's place is, by the law of propagation (JCGM 100:2008, 5.1.2).

    ``influences`` are those that move it, ``covariance`` (5, 5) is of the outputs in mm and
    degrees; NaN where a reading's uncertainty is not known (``unsure`` names it).
    """

    influences: tuple[Influence, ...]
    covariance: Array

    @property
    def unsure(self) -> tuple[str, ...]:
        """Return the settings it rests on of which nobody said how sure they are."""
        return tuple(i.source.key for i in self.influences if i.source.u is None)

    def u95(self) -> tuple[float, ...] | None:
        """Return ± for 95 % of the five outputs, mm and degrees; None where it is not known."""
        if self.unsure or not np.isfinite(self.covariance).all():
            return None
        return tuple(float(COVER_95 * v) for v in np.sqrt(np.diag(self.covariance)))

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
    if not trials.rows:
        return {name: Sureness((), np.zeros((OUTPUTS, OUTPUTS))) for name in pieces}
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
                difference = rows[0::2] - rows[1::2]
                difference[:, 3:] = (difference[:, 3:] + 180.0) % 360.0 - 180.0
                influences.append(Influence(held, (difference / (2.0 * STEP)).T))
        moving = tuple(influence for influence in influences if influence.moves)
        covariance = sum(
            (influence.covariance() for influence in moving), np.zeros((OUTPUTS, OUTPUTS))
        )
        found[name] = Sureness(moving, covariance)
    return found


def nudged_places(page: Page, nudges: Mapping[str, Array]) -> Places:
    """Return the page's places with its inputs nudged; open turns stand at zero."""
    from model.space.values import open_turns

    stand_ins = {key: trial[:1] for key, trial in open_turns(page).items()}
    return Places(page, nudges, stand_ins=stand_ins)


def outputs_of(surface: Frame, rows: int) -> Array:
    """Return the five outputs (rows, 5) of a surface: mm right, ahead, up; degrees ahead, right."""
    ahead, right = tilts(surface.z)
    columns = (surface.at[..., 0], surface.at[..., 1], surface.at[..., 2], ahead, right)
    return np.stack([np.broadcast_to(column, (rows,)) for column in columns], axis=-1)
