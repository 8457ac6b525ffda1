"""The scene of a page: everything whose place is known, for the line drawing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from itertools import count

import numpy as np

from model.picture.scene import (
    Arrow,
    Clamp,
    Disc,
    FloorMark,
    Scene,
    Slab,
    Tube,
    TubeSort,
    Vec,
)
from model.rig.kind import ROOT, Kind
from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Mount, Post
from model.space.frames import Array, Frame, settled
from model.space.memo import Unplaced
from model.space.places import hangs_in_a_ring
from model.space.positions import PlacedPiece, Positions
from model.space.rails import Arc, Rail

CURVE_STEPS = 24
SAME_POINT = 0.5
"""Points nearer than this, mm, are drawn as one."""
SHORTEST_TUBE = 100.0


def scene_of(positions: Positions, title: str, arrows: Iterable[Arrow] = ()) -> Scene:
    """Return the scene of a page's known places; what has none is named in ``left_out``."""
    page = positions.page
    pieces = positions.pieces
    clamps = tuple(Clamp(key, _vec(at)) for key, at in positions.clamps())
    rails = tuple(_rails(positions))
    drawn = {tube.id for tube in rails} | set(pieces)
    return Scene(
        title=title,
        tubes=(*rails, *_mounts(positions)),
        clamps=clamps,
        discs=tuple(disc for placed in pieces.values() if (disc := _disc(placed)) is not None),
        slabs=tuple(slab for placed in pieces.values() if (slab := _slab(placed)) is not None),
        arrows=tuple(arrows),
        marks=tuple(
            FloorMark(mark.id, mark.name or mark.id, (mark.x, mark.y, 0.0)) for mark in page.marks
        ),
        zero_line=((0.0, 0.0, 0.0), (0.0, _ahead(page), 0.0)),
        left_out=tuple(
            part.name for part in page.parts if not isinstance(part, Mount) and part.id not in drawn
        ),
    )


def page_title(page: Page, name: str) -> str:
    """Return the words over a drawing: the rig, the page, its night and house."""
    head = page.head
    where = f", {head.venue}" if head.venue else ""
    return f"{head.rig}: {name} ({head.date.isoformat()} {head.moment}{where})"


def _ahead(page: Page) -> float:
    """Return how far ahead the zero line's second mark is, mm; 1 m where none is on it."""
    on_line = [mark.y for mark in page.marks if abs(mark.x) < 1.0 and mark.y > 0.0]
    return max(on_line, default=1000.0)


def _rails(positions: Positions) -> Iterator[Tube]:
    letters, numbers = _letters(), count(1)
    bars = 1
    for part, rail, _ in positions.rails():
        sort: TubeSort = "bar" if isinstance(part, Bar) else "post"
        length = _drawn_length(positions, part, rail)
        points = _points_along(positions, part, rail, length)
        yield Tube(
            part.id,
            part.name,
            sort,
            points,
            next(letters) if sort == "bar" else str(next(numbers)),
            bars if sort == "bar" else 0,
            open_end=rail.length is None,
        )
        bars += sort == "bar"
        top = rail.highest
        if isinstance(part, Post) and top is not None and settled(top):
            ends = [_vec(rail.at(np.array([place]))[0]) for place in (length, float(top[0]))]
            yield Tube(f"{part.id}.inner", f"{part.name}, inner tube", "mount", tuple(ends))


def _letters() -> Iterator[str]:
    """Yield A to Z, then AA, AB, …"""
    for first in ("", *"ABCDEFGHIJKLMNOPQRSTUVWXYZ"):
        for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ":
            yield first + letter


def _drawn_length(positions: Positions, part: Post | Bar, rail: Rail) -> float:
    """Return a rail's length; where it is not known, as far as the last thing on it."""
    if rail.length is not None:
        return rail.length
    far = SHORTEST_TUBE
    for other in positions.page.parts:
        if part.id in other.on and positions.places.is_clamped(other):
            try:
                place = positions.places.clamp_place(other)
            except Unplaced:
                continue
            if settled(place):
                far = max(far, float(place[0]))
    if isinstance(part, Bar):
        joints = ("grip_a", "grip_b", "grip")
        values = [positions.page.setting(f"{part.id}.{name}").value for name in joints]
        far = max([far, *(float(v) for v in values if isinstance(v, int | float))])
    return far


def _points_along(
    positions: Positions, part: Post | Bar, rail: Rail, length: float
) -> tuple[Vec, ...]:
    """Return the points of a rail: its two ends, or as many as its curve needs."""

    def make() -> tuple[Vec, ...]:
        positions.places.rail(part)
        steps = CURVE_STEPS if isinstance(rail, Arc) else 1
        places = (np.array([length * step / steps]) for step in range(steps + 1))
        return tuple(_vec(rail.at(place)[0]) for place in places)

    if rail.length is None:
        return make()
    return positions.places.memo.once(("drawn", part.id), make, partial(hangs_in_a_ring, part))


def _mounts(positions: Positions) -> Iterator[Tube]:
    page, memo = positions.page, positions.places.memo
    used: dict[str, set[str | None]] = {}
    for part in page.parts:
        for on in part.on:
            used.setdefault(on, set()).add(part.at)
    for part in page.parts:
        kind = page.by_kind.get(part.kind or "")
        if not isinstance(part, Mount) or kind is None or any(o.holds for o in kind.outlets):
            continue
        names = [o.id for o in kind.outlets if o.id in used.get(part.id, ())]

        def make(part: Mount = part, kind: Kind = kind, names: list[str] = names) -> list[Tube]:
            return list(_rods(positions, part, kind, names))

        try:
            yield from memo.once(("drawn", part.id), make, partial(hangs_in_a_ring, part))
        except Unplaced:
            continue


def _rods(positions: Positions, part: Mount, kind: Kind, names: list[str]) -> Iterator[Tube]:
    """Yield a mount's rods: one to each of its outlets that is used, or to the first."""
    frames = positions.places.frames(part)
    for number, name in enumerate(names or [None]):
        outlet = positions.places.outlet(part.id, name)
        points = _path(kind, frames, name, outlet, stands=part.on[0] == FLOOR)
        if len(points) > 1:
            tube_id = part.id if number == 0 else f"{part.id}.{name}"
            yield Tube(tube_id, part.name, "mount", points)


def _path(
    kind: Kind, frames: Mapping[str, Frame], name: str | None, outlet: Frame, *, stands: bool
) -> tuple[Vec, ...]:
    """Return the points from where a mount begins to an outlet, as far as they are known.

    What stands on the floor begins at its own place, not at the zero mark.
    """
    before = ROOT
    parents: dict[str, str] = {}
    for joint in kind.joints:
        parents[joint.id] = joint.after or before
        before = joint.id
    found = next((o for o in kind.outlets if o.id == name), None) or next(iter(kind.outlets), None)
    step = (found.after if found else None) or before
    way = [step]
    while step != ROOT:
        step = parents[step]
        way.append(step)
    if stands:
        way = [step for step in way if step not in (ROOT, "x")] or way
    points: list[Vec] = []
    for at in (*(frames[key].at for key in reversed(way)), outlet.at):
        if not settled(at):
            break
        point = _vec(at[0])
        if not points or max(abs(a - b) for a, b in zip(points[-1], point, strict=True)) > (
            SAME_POINT
        ):
            points.append(point)
    return tuple(points)


def _disc(placed: PlacedPiece) -> Disc | None:
    piece = placed.piece
    sized = piece.shell or piece.disc
    if sized is None:
        return None
    depth = piece.shell.depth if piece.shell is not None else None
    return Disc(
        piece.id,
        piece.name,
        _vec(placed.surface.at[0]),
        _vec(placed.surface.z[0]),
        sized.diameter / 2.0,
        depth or 0.0,
    )


def _slab(placed: PlacedPiece) -> Slab | None:
    piece, surface = placed.piece, placed.surface
    if piece.shell is not None or piece.disc is not None:
        return None
    corners: tuple[Vec, ...] = ()
    if piece.slab is not None and settled(surface.x, surface.y):
        across, along = piece.slab.width / 2.0, piece.slab.depth / 2.0
        corners = tuple(
            _vec((surface.at + surface.x * across * a + surface.y * along * b)[0])
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        )
    return Slab(piece.id, piece.name, _vec(surface.at[0]), corners)


def _vec(at: Array) -> Vec:
    return (float(at[0]), float(at[1]), float(at[2]))
