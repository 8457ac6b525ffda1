"""The whole comparison of two pages of one rig: structure, joints by their own values, pieces."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from model.compare.answer import Compared, compare_pages
from model.compare.joints import joint_differences
from model.compare.pieces import compared_pieces
from model.compare.placed import placed_pages
from model.compare.spread import Names, Pages
from model.rig.tree import rig_tree

if TYPE_CHECKING:
    from model.book.book import Tolerance


def whole_comparison(
    pages: Pages,
    names: Names,
    *,
    walk: tuple[str, ...] = (),
    tolerances: Iterable[Tolerance] = (),
    wanted: bool = False,
) -> Compared:
    """Compare two pages of one rig with all that geometry tells.

    ``walk`` and ``tolerances`` are the book's; with ``wanted`` the first page is one of its homes.
    """
    placed = placed_pages(pages, names, wanted=wanted)
    places = placed.positions[0].places, placed.positions[1].places
    return compare_pages(
        *pages,
        names,
        walk,
        joints=joint_differences(places, names, wanted=wanted),
        pieces=compared_pieces(placed, tolerances, rig_tree(pages[1], walk).order),
        wanted=wanted,
    )
