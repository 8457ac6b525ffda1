"""The answer about positions: what the screens show and what ``--json`` prints."""

from __future__ import annotations

from typing import Literal

import numpy as np

from model.frozen import Frozen
from model.rig.page import Page
from model.rig.part import Bar, Piece, Post
from model.space.frames import Array
from model.space.positions import Positions
from model.space.surfaces import lean_toward, tilts

LEAST_SHARE = 0.005
"""A share of the middle's covariance under half a percent is not told."""

Point = tuple[float, float, float]


class Tilt(Frozen):
    """How far a surface tilts, degrees: + with its far edge low, + with its right edge low."""

    ahead: float
    right: float


class Sure(Frozen):
    """± for 95 %: mm to the right, ahead and up; degrees of the two tilts.

    A tilt's is null where it is more than a quarter turn: the surface faces sideways, and a tilt
    ahead means nothing.
    """

    right: float
    ahead: float
    up: float
    tilt_ahead: float | None
    tilt_right: float | None


class Share(Frozen):
    """How much of the middle's uncertainty comes from one setting, or from the ``hardware``."""

    setting: str
    share: float


class PiecePosition(Frozen):
    """Where one piece's playing surface is, mm and degrees; all null where it is unknown.

    ``normal`` is unit; ``toward`` is where the low edge is, clockwise from the zero line, null near
    level and near upside down. ``distance`` is along the floor from the player's point. ``u95`` is
    null where nobody said how sure the settings under ``unsure`` are. ``open`` are the settings
    that leave an unknown piece unknown; ``carried``, ``seen`` and ``assumed`` (open, taken at an
    assumed value) are those that a known one rests on. A place on assumed settings alone is
    ``unknown``, and told.
    """

    name: str
    role: str | None = None
    centre: Point | None = None
    normal: Point | None = None
    lean: float | None = None
    toward: float | None = None
    tilt: Tilt | None = None
    near_edge: float | None = None
    far_edge: float | None = None
    distance: float | None = None
    u95: Sure | None = None
    state: Literal["read", "seen", "carried", "unknown"]
    rests_on: tuple[Share, ...] = ()
    carried: tuple[str, ...] = ()
    seen: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    unsure: tuple[str, ...] = ()


class BarPosition(Frozen):
    """A bar's two ends, mm: ``b`` null where its length is not known.

    ``closure`` is how much farther apart its two clamps are than the places on it say.
    """

    a: Point
    b: Point | None = None
    closure: float | None = None


class PostPosition(Frozen):
    """A post's lower and upper end, mm: ``b`` null where its length is not known."""

    a: Point
    b: Point | None = None


class Fault(Frozen):
    """What stands in the way of a place: the same words as on a terminal."""

    code: str
    key: str
    what: str
    why: str
    right: str


class PagePositions(Frozen):
    """Where everything of a page is, mm from the zero mark: right, ahead, up from the rug.

    ``left_out`` are the posts and bars whose place is not known.
    """

    answer: Literal["positions"] = "positions"
    version: Literal[1] = 1
    page: str
    player: Point
    player_from: str
    pieces: dict[str, PiecePosition]
    clamps: dict[str, Point]
    bars: dict[str, BarPosition]
    posts: dict[str, PostPosition]
    left_out: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()

    @property
    def something(self) -> bool:
        """Whether there is something to report: a fault, or a place that is not known."""
        unplaced = bool(self.left_out) or any(p.state == "unknown" for p in self.pieces.values())
        return bool(self.faults) or unplaced


def page_positions(page: Page, name: str, positions: Positions | None = None) -> PagePositions:
    """Return where everything of a page is; ``name`` is the page's."""
    places = positions or Positions(page)
    bars: dict[str, BarPosition] = {}
    posts: dict[str, PostPosition] = {}
    for part, rail, closure in places.rails():
        begin = point(rail.at(np.zeros(1))[0])
        end = None if rail.length is None else point(rail.at(np.array([rail.length]))[0])
        if part.type == "bar":
            bars[part.id] = BarPosition(a=begin, b=end, closure=_rounded(closure))
        else:
            posts[part.id] = PostPosition(a=begin, b=end)
    return PagePositions(
        page=name,
        player=point(places.player[0]),
        player_from=places.throne or "zero mark",
        pieces={
            part.id: piece_position(places, part) for part in page.parts if isinstance(part, Piece)
        },
        clamps={key: point(at) for key, at in places.clamps()},
        bars=bars,
        posts=posts,
        left_out=tuple(
            part.id
            for part in page.parts
            if isinstance(part, Post | Bar) and part.id not in bars and part.id not in posts
        ),
        faults=tuple(
            Fault(code=p.code, key=p.key or "", what=p.what, why=p.why, right=p.right)
            for p in places.faults()
        ),
    )


def piece_position(places: Positions, piece: Piece) -> PiecePosition:
    """Return where one piece is, and how sure that is."""
    placed = places.pieces.get(piece.id)
    if placed is None:
        return PiecePosition(
            name=piece.name,
            role=piece.role,
            state="unknown",
            open=places.open_settings(piece.id),
        )
    surface, sure = placed.surface, places.sureness.get(piece.id)
    lean, toward = lean_toward(surface.z)
    ahead, right = tilts(surface.z)
    edges = places.edges(piece.id)
    away = surface.at[0] - places.player[0]
    u95 = sure.u95() if sure else None
    return PiecePosition(
        name=piece.name,
        role=piece.role,
        centre=point(surface.at[0]),
        normal=point(surface.z[0], 9),
        lean=_rounded(lean),
        toward=_rounded(toward),
        tilt=Tilt(ahead=round(float(ahead[0]), 6), right=round(float(right[0]), 6)),
        near_edge=_rounded(edges[0] if edges else None),
        far_edge=_rounded(edges[1] if edges else None),
        distance=_rounded(float(np.hypot(away[0], away[1]))),
        u95=None
        if u95 is None
        else Sure(
            right=round(u95[0], 6),
            ahead=round(u95[1], 6),
            up=round(u95[2], 6),
            tilt_ahead=_within_a_quarter(u95[3]),
            tilt_right=_within_a_quarter(u95[4]),
        ),
        state=places.state(piece.id),
        rests_on=tuple(
            Share(setting=key, share=round(share, 6))
            for key, share in (sure.shares() if sure else ())
            if share >= LEAST_SHARE
        ),
        carried=places.rests_in(piece.id, "carried"),
        seen=places.rests_in(piece.id, "seen"),
        assumed=places.rests_in(piece.id, "open"),
        unsure=sure.unsure if sure else (),
    )


def point(at: Array, digits: int = 6) -> Point:
    """Return a point (3,) as plain numbers, mm to six decimals."""
    x, y, z = (round(float(v), digits) + 0.0 for v in at)
    return x, y, z


def _within_a_quarter(degrees: float) -> float | None:
    return round(degrees, 6) if degrees < 90.0 else None


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 6) + 0.0
