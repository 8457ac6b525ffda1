"""Spots, direct check measures: a gap between two parts, a height over the rug; and rug marks."""

from __future__ import annotations

from typing import Literal

from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.hanging import missing
from model.rig.building.naming import (
    Pair,
    checked_name,
    free_id,
    random_pair,
    shortened,
    slug_of,
)
from model.rig.declared import ZERO
from model.rig.page import Mark, Page, Spot
from model.rig.part import Piece

Edge = Literal["near", "far", "centre", "bell"]
EDGES: tuple[Edge, ...] = ("near", "far", "centre", "bell")


def gap_added(
    page: Page,
    one: str,
    other: str,
    name: str = "",
    pair: Pair = random_pair,
    own_id: str | None = None,
) -> Changes | Refusal:
    """Declare the gap between two pieces."""
    if refused := missing(page, one, other):
        return refused
    if one == other:
        return Refusal("a gap is between two parts", "two of them")
    both = (page.by_id[one], page.by_id[other])
    return _added(page, name or f"{both[0].name} to {both[1].name}", own_id, pair, gap=(one, other))


def height_added(
    page: Page,
    part_id: str,
    edge: str = "near",
    name: str = "",
    pair: Pair = random_pair,
    own_id: str | None = None,
) -> Changes | Refusal:
    """Declare the height of a piece's edge over the rug."""
    found = next((known for known in EDGES if known.startswith(edge)), None)
    if found is None:
        return Refusal(f"{edge!r} is no edge", " or ".join(EDGES))
    if refused := missing(page, part_id):
        return refused
    part = page.by_id[part_id]
    if not isinstance(part, Piece):
        return Refusal(f"{part.name} is no piece", "a drum or a cymbal")
    return _added(page, name or f"{part.name}, {found} edge", own_id, pair, height=(part_id, found))


def spot_removed(page: Page, spot_id: str) -> Changes | Refusal:
    """Take a spot off the page."""
    if spot_id not in page.by_spot:
        return Refusal(f"{spot_id} is not on the page any more", "another spot")
    name = page.by_spot[spot_id].name
    return Changes(f"took the spot {name} off", gone_spots=frozenset({spot_id}))


def mark_placed(mark_id: str, x: float, y: float, name: str = "") -> Changes | Refusal:
    """Put a mark on the rug, or move it: x to the player's right, y ahead, in mm."""
    if mark_id == ZERO or slug_of(mark_id) != mark_id:
        return Refusal(f"{mark_id!r} is no name for a mark of one's own", "ahead")
    checked = checked_name(name, "a mark's name") if name else ""
    if isinstance(checked, Refusal):
        return checked
    if max(abs(x), abs(y)) > 1e6:
        return Refusal("a mark is on the rug", "ahead 0 1200")
    mark = Mark(id=mark_id, name=checked, x=x, y=y)
    return Changes(f"the mark {mark_id} is at {x:g}, {y:g}", marks=(mark,))


def _added(
    page: Page, name: str, own_id: str | None, pair: Pair, **measure: object
) -> Changes | Refusal:
    checked = checked_name(shortened(name))
    if isinstance(checked, Refusal):
        return checked
    id_ = free_id(page, own_id, checked, pair, "ride-gap")
    if isinstance(id_, Refusal):
        return id_
    spot = Spot.model_validate({"id": id_, "name": checked, **measure})
    return Changes(f"added the spot {checked}", id_, spots=(spot,))
