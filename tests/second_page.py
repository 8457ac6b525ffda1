"""The second computation of places: everything of a page in one value, for a comparison."""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import dataclass, field

import numpy as np

from model.rig.page import Page
from model.rig.part import Bar, Piece, Post
from tests.second_places import SecondPlaces
from tests.second_rails import PostRail
from tests.second_turns import Array, Stand, Unknown, unit, vec

STANDS_DEG = 80.0
"""From this lean on a surface stands, and has no near and far edge."""


@dataclass(frozen=True, slots=True)
class Lean:
    """Degrees; ``toward`` is None near level and near upside down."""

    lean: float
    toward: float | None
    ahead: float
    right: float


@dataclass(frozen=True, slots=True)
class Second:
    """What is known, by id, in mm; what is unknown or at fault is not there."""

    surfaces: dict[str, tuple[Array, Array]] = field(default_factory=dict)
    clamps: dict[str, Array] = field(default_factory=dict)
    bars: dict[str, tuple[Array, Array | None, float | None]] = field(default_factory=dict)
    posts: dict[str, tuple[Array, Array | None]] = field(default_factory=dict)
    edges: dict[str, tuple[float, float] | None] = field(default_factory=dict)
    leans: dict[str, Lean] = field(default_factory=dict)


TRIALS = 8
"""How many sets of values open turns are given: a level after them may have two answers, and which
of them is taken changes with the values."""
SAME_MM = 1e-7
FAR_MM = 1000.0

Probed = dict[str, list[Array]]
"""What is known of each part, as points in the room that show every change of it."""


def second(page: Page, places: SecondPlaces | None = None) -> Second:
    """Return everything of a page that is known: what no open turn changes."""
    places = places or SecondPlaces(page)
    found = _found(places)
    if not places.tried:
        return _with_edges(places, found)
    probed = _probed(places, found)
    for trial in range(1, TRIALS):
        again = SecondPlaces(page, trial)
        other = _probed(again, _found(again))
        probed = {key: at for key, at in probed.items() if _same(at, other.get(key))}
    for what in ("surfaces", "clamps", "bars", "posts"):
        known = getattr(found, what)
        for id_ in [id_ for id_ in known if f"{what} {id_}" not in probed]:
            del known[id_]
    return _with_edges(places, found)


def _same(points: list[Array], other: list[Array] | None) -> bool:
    return other is not None and all(
        float(abs(a - b).max()) < SAME_MM for a, b in zip(points, other, strict=True)
    )


def _found(places: SecondPlaces) -> Second:
    found = Second()
    for part in places.page.parts:
        with suppress(Unknown):
            if isinstance(part, Bar):
                run = places.run(part)
                found.bars[part.id] = (*run.ends(), run.closure)
            elif isinstance(part, Post):
                found.posts[part.id] = _post(places, part).ends()
            elif isinstance(part, Piece):
                stand = places.surface(part)
                found.surfaces[part.id] = stand.origin, stand.axis(2)
        with suppress(Unknown):
            if places.kind(part).on_rail:
                found.clamps[part.id] = places.clamped(part).centre
    return found


def _post(places: SecondPlaces, post: Post) -> PostRail:
    rail = places.rail(post.id)
    assert isinstance(rail, PostRail)
    return rail


def _probed(places: SecondPlaces, found: Second) -> Probed:
    page = places.page
    points: Probed = {f"clamps {id_}": [at] for id_, at in found.clamps.items()}
    for id_, (at, normal) in found.surfaces.items():
        points[f"surfaces {id_}"] = [at, at + FAR_MM * normal]
    for id_ in (*found.bars, *found.posts):
        part = page.by_id[id_]
        rail = places.run(part) if isinstance(part, Bar) else places.rail(id_)
        what = "bars" if isinstance(part, Bar) else "posts"
        points[f"{what} {id_}"] = [rail.at(place)[0] for place in (0.0, FAR_MM / 2.0, FAR_MM)]
    return points


def _with_edges(places: SecondPlaces, found: Second) -> Second:
    """Add what is told of each surface; the player sits on the first throne that is known."""
    page = places.page
    thrones = [p.id for p in page.parts if isinstance(p, Piece) and p.role == "throne"]
    seats = [found.surfaces[id_][0] for id_ in thrones if id_ in found.surfaces]
    player = seats[0] if seats else np.zeros(3)
    for id_, (_, normal) in found.surfaces.items():
        piece = page.by_id[id_]
        assert isinstance(piece, Piece)
        found.leans[id_] = lean_of(normal)
        found.edges[id_] = edges(piece, places.surface(piece), player)
    return found


def lean_of(normal: Array) -> Lean:
    """Return a normal as lean and toward, and as tilts ahead and right, in degrees."""
    x, y, z = normal.tolist()
    lean = math.degrees(math.atan2(math.hypot(x, y), z))
    toward = None if lean < 1.0 or lean > 179.0 else math.degrees(math.atan2(x, y))
    ahead, right = math.atan2(y, z), math.atan2(x, math.hypot(y, z))
    return Lean(lean, toward, math.degrees(ahead), math.degrees(right))


def edges(piece: Piece, stand: Stand, player: Array) -> tuple[float, float] | None:
    """Return the heights of the near and the far edge, in mm; None where there are none."""
    centre, normal = stand.origin, stand.axis(2)
    away = vec((centre[0] - player[0], centre[1] - player[1], 0.0))
    size = piece.shell or piece.disc or piece.slab
    if piece.role == "throne" or size is None or math.hypot(*away) < 1.0:
        return None
    if lean_of(normal).lean > STANDS_DEG:
        return None
    away = unit(away)
    # Along the surface, over the line from the player.
    across = unit(away - vec((0.0, 0.0, float(away @ normal) / float(normal[2]))))
    if piece.slab is None:
        reach = (piece.shell or piece.disc).diameter / 2.0  # type: ignore[union-attr]
    else:
        halves = ((piece.slab.width, stand.axis(0)), (piece.slab.depth, stand.axis(1)))
        sides = ((size / 2.0, abs(float(across @ axis))) for size, axis in halves)
        reach = min(half / part for half, part in sides if part > 1e-12)
    rise = reach * float(across[2])
    return float(centre[2]) - rise, float(centre[2]) + rise
