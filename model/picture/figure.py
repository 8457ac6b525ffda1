"""What of a scene is seen in a view: how far it reaches, its lines and outlines. Rig mm."""

from __future__ import annotations

import math
from collections.abc import Iterator

from model.errors import CannotDo, Problem
from model.picture.boxes import XY, Box, around, hull, union
from model.picture.scene import Disc, Scene, Slab, Tube, Vec, View
from model.picture.view import drum, ellipse, project


def check(scene: Scene) -> None:
    """Refuse a scene that cannot be drawn truly, with everything that is wrong with it."""
    wrong: list[Problem] = []

    def want(good: bool, key: str, what: str) -> None:
        if not good:
            wrong.append(Problem(code="picture", what=what, key=key, right="finite millimetres"))

    for key, points in _points(scene):
        want(bool(points), key, "has no points")
        want(all(math.isfinite(n) for p in points for n in p), key, "its place is not a number")
    for disc in scene.discs:
        want(math.isfinite(disc.radius) and disc.radius > 0, disc.id, "its radius is not a size")
        want(math.isfinite(disc.depth) and disc.depth >= 0, disc.id, "its depth is not a size")
        unit = math.hypot(*disc.normal)
        want(abs(unit - 1) < 1e-3, disc.id, "the normal of its surface is not a unit vector")
    if wrong:
        raise CannotDo("This cannot be drawn.", tuple(wrong))


def _points(scene: Scene) -> Iterator[tuple[str, tuple[Vec, ...]]]:
    for tube in scene.tubes:
        yield tube.id, tube.points
    for clamp in scene.clamps:
        yield clamp.id, (clamp.at,)
    for disc in scene.discs:
        yield disc.id, (disc.centre,)
    for slab in scene.slabs:
        yield slab.id, (slab.centre, *slab.corners)
    for arrow in scene.arrows:
        yield arrow.id, (arrow.start, arrow.end)
    for mark in scene.marks:
        yield mark.id, (mark.at,)
    yield "zero line", scene.zero_line


def empty(scene: Scene) -> bool:
    """Tell whether nothing of the scene has a place."""
    return not (
        scene.tubes or scene.clamps or scene.discs or scene.slabs or scene.arrows or scene.marks
    )


def run(tube: Tube, view: View) -> tuple[XY, ...]:
    """Return a tube's axis as it is seen."""
    return tuple(project(point, view) for point in tube.points)


def end_on(points: tuple[XY, ...], least: float) -> bool:
    """Tell whether a line is seen so nearly along itself that it is shorter than ``least`` mm."""
    box = around(points)
    return math.hypot(box.width, box.height) < least


def outline(piece: Disc | Slab, view: View) -> tuple[XY, ...]:
    """Return the convex outline of a piece as it is seen; fewer than three points if it has none.

    A drum's is round its shell.
    """
    if isinstance(piece, Slab):
        return hull(project(corner, view) for corner in piece.corners)
    if not piece.depth:
        return hull(ellipse(piece.centre, piece.normal, piece.radius, view).ring())
    seen = drum(piece, view)
    return hull((*seen.near.ring(), *seen.far.ring()))


def extent(scene: Scene, view: View) -> Box:
    """Return how far everything reaches, the zero line with it, in mm."""
    boxes = [around(project(point, view) for point in points) for _, points in _points(scene)]
    for disc in scene.discs:
        seen = drum(disc, view)
        boxes += [seen.near.box(), seen.far.box()]
    return union(boxes)
