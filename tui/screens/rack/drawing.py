"""The drawing beside the rows: the rack in one view, the part under the cursor standing out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from model.picture.scene import Disc, Scene, Slab, Tube, Vec, View
from model.picture.view import project
from tui.looks.look import BAR_ROLES, Role
from tui.widgets.line import Cell
from tui.widgets.raster import XY, Raster

if TYPE_CHECKING:
    from collections.abc import Callable

VIEW_WORDS: dict[View, str] = {
    "above": "from above, ahead is up",
    "front": "from the front (audience)",
    "left": "from the player's left",
}
RIM_STEPS = 18
PICKED: Role = "moved"


def drawing_lines(
    scene: Scene, view: View, picked: frozenset[str], size: tuple[int, int], *, braille: bool
) -> list[list[Cell]]:
    """Return a scene in one view as lines of cells, ``size`` columns and rows, in true scale.

    Parts with an id in ``picked`` are drawn last, in the role that stands out, and marked by a sign
    of their own.
    """
    width, height = size
    raster = Raster(width, height, braille=braille)
    points = [project(point, view) for point in _all_points(scene)]
    if not points:
        raster.sign((0, 0), "no place is known yet", "quiet")
        return raster.rows()
    spot = _fitted(points, raster)

    def at(point: Vec) -> XY:
        return spot(project(point, view))

    ordered = sorted(scene.tubes, key=lambda tube: ("mount", "post", "bar").index(tube.sort))
    raster.path([at(point) for point in scene.zero_line], "quiet", dash=3)
    shapes: list[tuple[str, tuple[Vec, ...], Role]] = [
        *((tube.id.split(".")[0], tube.points, _tube_role(tube)) for tube in ordered),
        *((disc.id, _rim(disc), "text") for disc in scene.discs),
        *((slab.id, _outline(slab), "text") for slab in scene.slabs),
    ]
    for chosen in (False, True):
        for part, run, role in shapes:
            if (part in picked) == chosen:
                raster.path([at(point) for point in run], PICKED if chosen else role)
    raster.sign(at((0.0, 0.0, 0.0)), "+", "quiet")
    for tube in scene.tubes:
        if tube.letter and tube.sort == "bar":
            middle = tube.points[len(tube.points) // 2]
            if len(tube.points) == 2:
                middle = _between(*tube.points)
            raster.sign(at(middle), tube.letter, _tube_role(tube))
    middles = [(disc.id, disc.centre) for disc in scene.discs]
    middles += [(slab.id, slab.centre) for slab in scene.slabs]
    marked = [centre for part, centre in middles if part in picked]
    if not marked:  # a bare post, bar or arm: its middle is marked, so that no colour is needed
        runs = [
            tube.points for tube in scene.tubes if tube.id in picked and not tube.letter.isalpha()
        ]
        marked = [_between(run[0], run[-1]) for run in runs[:1]]
    for centre in marked:
        raster.sign(at(centre), "◆" if braille else "@", PICKED)
    return raster.rows()


def _all_points(scene: Scene) -> Iterator[Vec]:
    for tube in scene.tubes:
        yield from tube.points
    for disc in scene.discs:
        yield from _rim(disc)
    for slab in scene.slabs:
        yield from _outline(slab)
    if scene.tubes or scene.discs or scene.slabs:
        yield scene.zero_line[0]


def _fitted(points: Iterable[XY], raster: Raster) -> Callable[[XY], XY]:
    """Return what takes a view's mm to the raster's dots, in one scale, all within it."""
    xs, ys = zip(*points, strict=True)
    low_x, high_x, low_y, high_y = min(xs), max(xs), min(ys), max(ys)
    wide, high = raster.dots[0] - 1, raster.dots[1] - 1
    scale = min(
        wide / max(high_x - low_x, 1.0),
        high / max(high_y - low_y, 1.0),
    )
    left = (wide - (high_x - low_x) * scale) / 2.0
    top = (high - (high_y - low_y) * scale) / 2.0

    def spot(point: XY) -> XY:
        return (point[0] - low_x) * scale + left, (point[1] - low_y) * scale + top

    return spot


def _tube_role(tube: Tube) -> Role:
    if tube.sort == "bar":
        return BAR_ROLES[(tube.number - 1) % len(BAR_ROLES)]
    return "part" if tube.sort == "post" else "quiet"


def _between(a: Vec, b: Vec) -> Vec:
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0, (a[2] + b[2]) / 2.0)


@lru_cache(maxsize=1024)
def _rim(disc: Disc) -> tuple[Vec, ...]:
    """Return points round a disc's rim, and round again to the first."""
    nx, ny, nz = disc.normal
    # Any direction square to the normal begins the circle: the axis it is least along, made square.
    least = min(range(3), key=lambda axis: abs(disc.normal[axis]))
    seed = tuple(1.0 if axis == least else 0.0 for axis in range(3))
    share = disc.normal[least]
    ax, ay, az = (seed[axis] - share * disc.normal[axis] for axis in range(3))
    long = math.sqrt(ax * ax + ay * ay + az * az)
    ax, ay, az = ax / long, ay / long, az / long
    bx, by, bz = ny * az - nz * ay, nz * ax - nx * az, nx * ay - ny * ax
    run: list[Vec] = []
    for step in range(RIM_STEPS + 1):
        t = 2.0 * math.pi * step / RIM_STEPS
        c, s = disc.radius * math.cos(t), disc.radius * math.sin(t)
        run.append(
            (
                disc.centre[0] + c * ax + s * bx,
                disc.centre[1] + c * ay + s * by,
                disc.centre[2] + c * az + s * bz,
            )
        )
    return tuple(run)


def _outline(slab: Slab) -> tuple[Vec, ...]:
    return (*slab.corners, slab.corners[0]) if slab.corners else (slab.centre,)
