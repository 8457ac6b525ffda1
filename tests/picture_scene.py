"""An invented two-sided rack to draw, and reading a drawing back: shapes in user units."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from model.picture.scene import Arrow, Clamp, Disc, FloorMark, Scene, Slab, Tube, Vec
from model.picture.text import width

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


def leaning(degrees: float, towards: float) -> Vec:
    """Return a unit normal leaning so far from upright, towards a bearing (0 ahead, 90 right)."""
    a, b = math.radians(degrees), math.radians(towards)
    return math.sin(a) * math.sin(b), math.sin(a) * math.cos(b), math.cos(a)


def _curved(a: Point, b: Point, bulge: float, z: float) -> tuple[Vec, ...]:
    (x0, y0), (x1, y1) = a, b
    far = math.dist(a, b)
    nx, ny = -(y1 - y0) / far, (x1 - x0) / far
    shares = [i / 12 for i in range(13)]
    return tuple(
        (
            x0 + (x1 - x0) * t + nx * 4 * bulge * t * (1 - t),
            y0 + (y1 - y0) * t + ny * 4 * bulge * t * (1 - t),
            z,
        )
        for t in shares
    )


_POSTS = {"P1": (-950.0, 120.0), "P2": (-520.0, 640.0), "P3": (520.0, 640.0), "P4": (950.0, 120.0)}
_DISCS: list[tuple[str, Vec, Vec, float, float]] = [
    ("kick", (0, 760, 280), (0, -1, 0), 280, 450),
    ("snare", (-180, -60, 650), leaning(4, 180), 178, 150),
    ("throne", (0, -620, 520), (0, 0, 1), 170, 90),
    ("tom 1", (-230, 400, 820), leaning(18, 180), 127, 180),
    ("tom 2", (110, 420, 820), leaning(18, 180), 152, 200),
    ("floor tom", (480, -40, 640), leaning(5, 200), 203, 380),
    ("hi-hats", (-560, 40, 860), leaning(3, 90), 178, 0),
    ("crash left", (-480, 420, 1240), leaning(16, 150), 203, 0),
    ("crash right", (420, 560, 1260), leaning(18, 200), 229, 0),
    ("ride", (640, 240, 1020), leaning(20, 225), 254, 0),
    ("china", (960, 420, 1380), leaning(28, 220), 229, 0),
    ("splash", (-60, 600, 1120), leaning(15, 180), 127, 0),
]


def rack() -> Scene:
    """Return the rack: four posts, five bars of which two are curved, mounts, pieces, arrows."""
    posts = [
        Tube(letter.lower(), f"post {letter[1]}", "post", ((x, y, 0), (x, y, 1150)), letter)
        for letter, (x, y) in _POSTS.items()
    ]
    runs: list[tuple[str, tuple[Vec, ...]]] = [
        ("left front bar", _curved(_POSTS["P1"], _POSTS["P2"], 70, 760)),
        ("front bar", ((-600, 640, 700), (600, 640, 700))),
        ("right front bar", _curved(_POSTS["P3"], _POSTS["P4"], 70, 760)),
        ("upper left bar", ((-1000, 60, 1100), (-470, 700, 1100))),
        ("upper right bar", ((1000, 60, 1100), (470, 700, 1100))),
    ]
    bars = [
        Tube(f"bar-{i}", name, "bar", points, "ABCDE"[i], i + 1, open_end=i == 4)
        for i, (name, points) in enumerate(runs)
    ]
    discs = [Disc(name.replace(" ", "-"), name, *rest) for name, *rest in _DISCS]  # type: ignore[arg-type]
    mounts = [
        Tube(f"arm-{disc.id}", "arm", "mount", ((disc.centre[0], 640, 900), disc.centre))
        for disc in discs[3:]
    ]
    clamps = [Clamp(f"clamp-{mount.id}", mount.points[0]) for mount in mounts]
    pad = ((-1040, 120, 840), (-780, 120, 840), (-780, 300, 900), (-1040, 300, 900))
    slabs = [
        Slab("pad", "sample pad", (-910, 210, 870), pad),
        Slab("cowbell", "cowbell", (180, 640, 900)),
    ]
    return Scene(
        "12 March, Harbour hall: after the show",
        (*posts, *bars, *mounts),
        tuple(clamps),
        tuple(discs),
        tuple(slabs),
        (
            Arrow("snare", (-180, -90, 650), (-180, -60, 650), "snare 30 mm ahead"),
            Arrow("ride", (640, 240, 1020), (643, 244, 1020), "ride 5 mm ahead"),
            Arrow("china", (960, 420, 1300), (960, 420, 1380), "china 80 mm up"),
        ),
        (FloorMark("m1", "mark 1", (-300, 900, 0)),),
        left_out=("tambourine", "fan"),
    )


@dataclass(frozen=True)
class Shape:
    """An element with the points that bound it, in user units of the whole sheet."""

    element: ElementTree.Element
    inside: tuple[str, ...]
    points: tuple[Point, ...]


def shapes(svg: str) -> Iterator[Shape]:
    """Yield every element that is drawn, with its transforms followed."""
    yield from _shapes(ElementTree.fromstring(svg), (), (1, 0, 0, 1, 0, 0))


_Matrix = tuple[float, float, float, float, float, float]


def _times(m: _Matrix, n: _Matrix) -> _Matrix:
    return (
        m[0] * n[0] + m[2] * n[1],
        m[1] * n[0] + m[3] * n[1],
        m[0] * n[2] + m[2] * n[3],
        m[1] * n[2] + m[3] * n[3],
        m[0] * n[4] + m[2] * n[5] + m[4],
        m[1] * n[4] + m[3] * n[5] + m[5],
    )


def _transform(said: str) -> _Matrix:
    found = re.fullmatch(r"(translate|rotate)\(([^)]*)\)", said)
    assert found, said
    numbers = [float(n) for n in found[2].split()]
    if found[1] == "translate":
        return 1, 0, 0, 1, numbers[0], numbers[1]
    # SVG 1.1, 7.6: rotate(a cx cy) is translate(cx cy) rotate(a) translate(-cx -cy).
    a, cx, cy = math.radians(numbers[0]), numbers[1], numbers[2]
    turn: _Matrix = (math.cos(a), math.sin(a), -math.sin(a), math.cos(a), 0, 0)
    return _times(_times((1, 0, 0, 1, cx, cy), turn), (1, 0, 0, 1, -cx, -cy))


def _shapes(e: ElementTree.Element, inside: tuple[str, ...], matrix: _Matrix) -> Iterator[Shape]:
    if "transform" in e.attrib:
        matrix = _times(matrix, _transform(e.attrib["transform"]))
    inside = (*inside, *e.get("class", "").split())
    points = tuple(
        (matrix[0] * x + matrix[2] * y + matrix[4], matrix[1] * x + matrix[3] * y + matrix[5])
        for x, y in _points(e)
    )
    if points:
        yield Shape(e, inside, points)
    for child in e:
        yield from _shapes(child, inside, matrix)


def _points(e: ElementTree.Element) -> list[Point]:
    kind = e.tag.removeprefix(SVG)

    def get(name: str) -> float:
        return float(e.get(name, "0"))

    if kind == "line":
        return [(get("x1"), get("y1")), (get("x2"), get("y2"))]
    if kind in ("polyline", "polygon"):
        pairs = (pair.split(",") for pair in e.attrib["points"].split())
        return [(float(x), float(y)) for x, y in pairs]
    if kind == "rect":
        x, y, w, h = get("x"), get("y"), get("width"), get("height")
        return [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
    if kind in ("circle", "ellipse"):
        rx, ry = (get("r"), get("r")) if kind == "circle" else (get("rx"), get("ry"))
        angles = [math.tau * i / 72 for i in range(72)]
        return [(get("cx") + rx * math.cos(a), get("cy") + ry * math.sin(a)) for a in angles]
    if kind == "path":
        return [
            (float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", e.attrib["d"])
        ]
    if kind == "text":
        words = "".join([e.text or "", *(child.tail or "" for child in e)])
        wide = width(words, bold=e.get("font-weight") == "bold") * get("font-size")
        left = {"middle": -wide / 2, "end": -wide}.get(e.get("text-anchor", "start"), 0.0)
        x, y, size = get("x") + left, get("y"), get("font-size")
        return [(x, y - 0.91 * size), (x + wide, y + 0.21 * size)]
    return []
