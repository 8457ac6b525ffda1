"""The second computation of places: posts and bars as rails, and clamps on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind
from model.rig.part import Post
from tests.second_bars import Run
from tests.second_turns import (
    UP,
    Array,
    Stand,
    Unknown,
    cross,
    direction,
    square_to,
    turning,
    unit,
)

if TYPE_CHECKING:
    from tests.second_places import SecondPlaces


class Rail(Protocol):
    """What clamps sit on."""

    @property
    def length(self) -> float | None: ...
    def at(self, place: float) -> tuple[Array, Array]: ...
    def zero(self, tangent: Array, source: str, gravity: Array) -> Array: ...


@dataclass(frozen=True, slots=True)
class PostRail:
    """A post: where its axis begins and goes, its own ahead, and the top of its inner tube."""

    foot: Array
    axis: Array
    post: Post
    ahead: Callable[[], Array]
    top: Callable[[], float]

    @property
    def length(self) -> float | None:
        return self.post.length

    def at(self, place: float) -> tuple[Array, Array]:
        return self.foot + self.axis * place, self.axis

    def zero(self, tangent: Array, source: str, gravity: Array) -> Array:
        """Return where a clamp at spin 0 points."""
        if source != "joint":
            raise Unknown("no level shows a turn round a post")
        return self.ahead()

    def ends(self) -> tuple[Array, Array | None]:
        return self.foot, None if self.length is None else self.at(self.length)[0]


@dataclass(frozen=True, slots=True)
class BarRail:
    """A bar that clamps sit on."""

    run: Run

    @property
    def length(self) -> float | None:
        return self.run.arc.length

    def at(self, place: float) -> tuple[Array, Array]:
        return self.run.at(place)

    def zero(self, tangent: Array, source: str, gravity: Array) -> Array:
        """Return where a clamp at spin 0 points: up as the level or the riser has it."""
        return square_to(gravity if source == "gravity" else UP, tangent)


@dataclass(frozen=True, slots=True)
class Clamped:
    """A clamp's centre on its rail, the rail's tangent there, and its frame with its spin."""

    place: float
    centre: Array
    tangent: Array
    spun: Callable[[], Stand]

    @property
    def stand(self) -> Stand:
        return self.spun()


def first_of(kind: Kind, fits: Callable[[Joint], bool]) -> Joint | None:
    return next((joint for joint in kind.joints if fits(joint)), None)


def place_on(places: SecondPlaces, part: AnyPart) -> Clamped:
    """Return where a part is clamped to the post or bar it is on."""
    kind = places.kind(part)
    joint = first_of(kind, lambda j: j.slides == "rail")
    if joint is None or not kind.on_rail:
        raise Unknown("it is not clamped to a rail")
    rail = places.rail(part.on[0])
    place = _centre(places, part, kind, joint, rail)
    point, tangent = rail.at(place)

    def spun() -> Stand:
        out = _outward(places, part, kind, rail, tangent)
        return Stand.of(point, cross(out, tangent), out, tangent)

    return Clamped(place, point, tangent, lambda: places.once("spun", part.id, spun))


def _centre(places: SecondPlaces, part: AnyPart, kind: Kind, joint: Joint, rail: Rail) -> float:
    """Return the place of a clamp's centre, in mm from end A."""
    value = places.value(part, joint)
    start = part.measured_from or joint.end or "A"
    low, high = 0.0, rail.length
    if part.rail == "inner":
        if not isinstance(rail, PostRail):
            raise Unknown("a bar has no inner tube")
        high, inner = rail.top(), rail.post.inner_length
        low, value = -np.inf if inner is None else high - inner, high - value
    elif start == "B":
        if rail.length is None:
            raise Unknown("from end B, and no length")
        value = rail.length - value
    elif start != "A":
        other = places.part(start)
        if other.on[0] != part.on[0]:
            raise Unknown("measured from a clamp on another rail")
        value += places.clamped(other).place
    sign = {"near": 1, "bottom": 1, "far": -1, "top": -1}.get(part.edge or "centre", 0)
    if sign and kind.body is None:
        raise Unknown("to an edge, and the clamp's depth is not told")
    centre = value + sign * (kind.body or 0.0) / 2.0
    if centre < low - 1e-9 or (high is not None and centre > high + 1e-9):
        raise Unknown("the clamp is not on the tube")
    return centre


def _outward(places: SecondPlaces, part: AnyPart, kind: Kind, rail: Rail, tangent: Array) -> Array:
    """Return the clamp's outward direction."""
    joint = first_of(kind, lambda j: j.turns == "rail")
    spin, source = 0.0, "joint"
    if joint is not None:
        spin, source = places.value(part, joint), places.source(part, joint)
    if source == "zero line":
        # What lies upright over the line seen from above, and is square to the tube.
        along = direction(spin)
        out = unit(cross(cross(along, UP), tangent))
        seen = float(out @ along)
        if abs(seen) < 1e-9:
            raise Unknown("seen from above it points nowhere")
        return out if seen > 0.0 else -out
    return turning(-tangent, spin) @ rail.zero(tangent, source, places.gravity)
