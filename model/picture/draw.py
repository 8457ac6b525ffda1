"""A scene as lines: every shape of one view. User units are the rig's mm, weights mm on paper."""

from __future__ import annotations

from model.picture import style, svg
from model.picture.boxes import Box
from model.picture.figure import end_on, run
from model.picture.marks import cross, square, zero
from model.picture.scene import Disc, Scene, Slab, View
from model.picture.tubes import tube_shape
from model.picture.view import Drum, depth, drum, ellipse, outer_sweep, project


def draw(scene: Scene, view: View, scale: float, drawing: Box) -> list[str]:
    """Return the shapes of a scene, the farthest first; the rack lies over the pieces.

    Arrows are not among them: they lie over the leaders too.

    ``drawing`` is how far the floor line goes, in mm.
    """
    pieces: list[Disc | Slab] = [*scene.discs, *(s for s in scene.slabs if len(s.corners) > 1)]
    pieces.sort(key=lambda piece: depth(piece.centre, view))
    weight = {"post": 2, "bar": 1, "mount": 0}
    tubes = sorted(scene.tubes, key=lambda tube: weight[tube.sort])
    return [
        svg.group(
            "pieces",
            (_piece(piece, view, scale) for piece in pieces),
            fill=style.PAPER,
            fill_opacity=0.7,
            stroke=style.INK,
            stroke_width=style.PIECE * scale,
            stroke_linejoin="round",
        ),
        _floor(scene, view, scale, drawing),
        svg.group(
            "rack",
            (tube_shape(tube, view, scale) for tube in tubes),
            fill="none",
            stroke_linejoin="round",
        ),
        svg.group(
            "clamps",
            (square(project(clamp.at, view), scale) for clamp in scene.clamps),
            fill=style.INK,
            stroke=style.PAPER,
            stroke_width=0.15 * scale,
        ),
        svg.group(
            "points",
            (_point(slab, view, scale) for slab in scene.slabs if len(slab.corners) < 2),
            stroke=style.INK,
            stroke_width=style.PIECE * scale,
        ),
    ]


def draw_under(scene: Scene, view: View, scale: float) -> str:
    """Return a second scene to lie beneath: thin, grey, dashed, without a word."""
    shapes: list[str] = []
    for tube in scene.tubes:
        points = run(tube, view)
        small = end_on(points, 2 * scale)
        shapes.append(svg.circle(points[0], scale) if small else svg.polyline(points))
    for disc in scene.discs:
        seen = drum(disc, view)
        shapes += [svg.ellipse(seen.near), *([_shell(seen)] if seen.sides and disc.depth else [])]
    for slab in scene.slabs:
        corners = [project(corner, view) for corner in slab.corners]
        shapes.append(svg.tag("polygon", {"points": svg.points(corners)}) if corners else "")
        shapes += [] if corners else cross(project(slab.centre, view), style.ARM * scale)
    return svg.group(
        "under",
        (shape for shape in shapes if shape),
        fill="none",
        stroke=style.FAINT,
        stroke_width=style.UNDER * scale,
        stroke_dasharray=svg.dashes(style.UNDER_DASH, scale),
    )


def _floor(scene: Scene, view: View, scale: float, drawing: Box) -> str:
    start, end = (project(point, view) for point in scene.zero_line)
    shapes: list[str] = []
    if view != "above":
        level = project((0.0, 0.0, 0.0), view)[1]
        shapes.append(svg.line((drawing.x0, level), (drawing.x1, level), stroke=style.FAINT))
    mark = zero(start, end, scale)
    shapes.append(svg.tag("g", {"class": "zero"}, svg.title("zero mark, zero line"), *mark))
    for floor_mark in scene.marks:
        lines = cross(project(floor_mark.at, view), style.ARM * scale)
        shapes.append(svg.tag("g", {"class": "mark"}, svg.title(floor_mark.name), *lines))
    return svg.group(
        "floor", shapes, fill="none", stroke=style.SOFT, stroke_width=style.FLOOR * scale
    )


def _piece(piece: Disc | Slab, view: View, scale: float) -> str:
    kind = {"class": "piece"}
    name = svg.title(piece.name)
    if isinstance(piece, Slab):
        corners = svg.points(project(corner, view) for corner in piece.corners)
        return svg.tag("g", kind, name, svg.tag("polygon", {"points": corners}))
    if not piece.depth:
        shape = ellipse(piece.centre, piece.normal, piece.radius, view)
        return svg.tag("g", kind, name, svg.ellipse(shape))
    seen = drum(piece, view)
    thin = svg.ellipse(seen.far, stroke_width=style.HIDDEN * scale, fill="none")
    if not seen.sides:
        return svg.tag("g", kind, name, svg.ellipse(seen.near))
    return svg.tag("g", kind, name, _shell(seen), thin, svg.ellipse(seen.near))


def _point(slab: Slab, view: View, scale: float) -> str:
    lines = cross(project(slab.centre, view), style.ARM * scale)
    return svg.tag("g", {"class": "piece"}, svg.title(slab.name), *lines)


def _shell(seen: Drum) -> str:
    """The shell's sides and the half of the far end that is seen."""
    assert seen.sides
    (a, b), (d, c) = seen.sides
    outward = seen.far.cx - seen.near.cx, seen.far.cy - seen.near.cy
    axes = f"{svg.num(seen.far.rx)} {svg.num(seen.far.ry)} {svg.num(seen.far.turn)}"
    far = f"A {axes} 0 {outer_sweep(b, c, outward)} {svg.num(c[0])} {svg.num(c[1])}"
    path = f"M {svg.points([a])} L {svg.points([b])} {far} L {svg.points([d])}"
    return svg.tag("path", {"d": path})
