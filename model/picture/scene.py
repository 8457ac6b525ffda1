"""What a picture shows, in the room: tubes, rods, clamps, surfaces, arrows. Millimetres.

x runs to the player's right, y ahead of the player, z up from the rug.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Vec = tuple[float, float, float]

View = Literal["above", "front", "left"]
VIEWS: tuple[View, ...] = ("above", "front", "left")
"""From above, ahead up the page; from the audience's side; from the player's left."""

TubeSort = Literal["post", "bar", "mount"]


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube or a rod along its axis: two points, or as many as a curve needs.

    A bar has a ``letter`` of its own and is the ``number``-th bar: its colour and its line's style
    come from that. ``open_end`` says that where it ends is not known.
    """

    id: str
    name: str
    sort: TubeSort
    points: tuple[Vec, ...]
    letter: str = ""
    number: int = 0
    open_end: bool = False


@dataclass(frozen=True, slots=True)
class Clamp:
    """Where a clamp holds on its tube."""

    id: str
    at: Vec


@dataclass(frozen=True, slots=True)
class Disc:
    """A round surface: its middle, its unit normal, its radius; a drum's shell goes ``depth`` mm
    against the normal. Seen aslant it is an ellipse.
    """

    id: str
    name: str
    centre: Vec
    normal: Vec
    radius: float
    depth: float = 0.0


@dataclass(frozen=True, slots=True)
class Slab:
    """A surface with corners, or a piece whose size is not known (a small cross at ``centre``)."""

    id: str
    name: str
    centre: Vec
    corners: tuple[Vec, ...] = ()


@dataclass(frozen=True, slots=True)
class Arrow:
    """How a piece moved: from where to where, and the words beside it."""

    id: str
    start: Vec
    end: Vec
    words: str


@dataclass(frozen=True, slots=True)
class FloorMark:
    """A mark on the rug."""

    id: str
    name: str
    at: Vec


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything of one page that has a place. ``left_out`` are names whose place is not known."""

    title: str
    tubes: tuple[Tube, ...] = ()
    clamps: tuple[Clamp, ...] = ()
    discs: tuple[Disc, ...] = ()
    slabs: tuple[Slab, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    marks: tuple[FloorMark, ...] = ()
    zero_line: tuple[Vec, Vec] = ((0.0, 0.0, 0.0), (0.0, 1000.0, 0.0))
    left_out: tuple[str, ...] = ()
