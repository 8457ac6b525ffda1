"""Every line of a view as segments, for the ink that labels keep off. Rig mm, y down."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from model.picture import style
from model.picture.boxes import XY, Segment
from model.picture.figure import end_on, run
from model.picture.moved import RING, reach
from model.picture.scene import Disc, Scene, View
from model.picture.view import drum, project

Weighed = tuple[Segment, float]
"""A segment, and how much a label on it would hurt."""


def segments(scene: Scene, view: View, scale: float) -> Iterator[Weighed]:
    """Yield every line that is seen; signs of one size on paper are ``scale`` times as large."""
    for tube in scene.tubes:
        points = run(tube, view)
        yield from _chain(points, {"post": 1.6, "bar": 1.4, "mount": 0.8}[tube.sort])
        if tube.sort == "post" and (view == "above" or end_on(points, scale)):
            yield from _round(points[-1], style.POST_END * scale, 2.0)
    for clamp in scene.clamps:
        yield from _arms(project(clamp.at, view), style.CLAMP / 2 * scale, 0.8)
    for disc in scene.discs:
        yield from _disc(disc, view)
    for slab in scene.slabs:
        corners = tuple(project(corner, view) for corner in slab.corners)
        yield from _chain((*corners, *corners[:1]), 1.0)
        if not corners:
            yield from _arms(project(slab.centre, view), style.ARM * scale, 2.0)
    for mark in scene.marks:
        yield from _arms(project(mark.at, view), style.ARM * scale, 1.5)
    for moved in scene.arrows:
        start, end = project(moved.start, view), project(moved.end, view)
        yield from _round(start, RING * scale, 4.0)
        yield (reach(start, end, scale), end), 6.0
    zero, ahead = (project(point, view) for point in scene.zero_line)
    yield (zero, ahead), 0.6
    yield from _arms(zero, style.ARM * scale, 1.0)


def _chain(points: tuple[XY, ...], weight: float) -> Iterator[Weighed]:
    for segment in pairwise(points):
        yield segment, weight


def _disc(disc: Disc, view: View) -> Iterator[Weighed]:
    seen = drum(disc, view)
    ring = seen.near.ring(40)
    yield from _chain((*ring, ring[0]), 1.0)
    if disc.depth:
        ring = seen.far.ring(40)
        yield from _chain((*ring, ring[0]), 0.6)
        for side in seen.sides or ():
            yield side, 1.0


def _round(at: XY, radius: float, weight: float) -> Iterator[Weighed]:
    angles = [math.tau * i / 8 for i in range(9)]
    ring = tuple((at[0] + radius * math.cos(a), at[1] + radius * math.sin(a)) for a in angles)
    yield from _chain(ring, weight)


def _arms(at: XY, arm: float, weight: float) -> Iterator[Weighed]:
    x, y = at
    yield ((x - arm, y - arm), (x + arm, y + arm)), weight
    yield ((x - arm, y + arm), (x + arm, y - arm)), weight
