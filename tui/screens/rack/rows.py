"""The rows of the rack: groups, parts and settings, in walking order, with what is folded away."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from model.rig.page import Page
from model.rig.part import FLOOR
from model.rig.tree import Tree

SPOTS = "spots of the page"  # no id of a part: it has spaces
NOT_HUNG = "not hung"


@dataclass(frozen=True, slots=True)
class Row:
    """One row: a part (or the floor, or a group) or one of its settings.

    ``id`` is the owner's id for a part's row and the setting's key for a setting's.
    """

    id: str
    sort: Literal["part", "setting", "group"]
    owner: str
    depth: int
    label: str


def rack_rows(page: Page, tree: Tree, folded: frozenset[str]) -> tuple[Row, ...]:
    """Return the rows that can be seen: the floor, the tree, what is not hung, the spots."""
    return tuple(_rows(page, tree, folded))


def _rows(page: Page, tree: Tree, folded: frozenset[str]) -> Iterator[Row]:
    by_owner: dict[str, list[Row]] = {}
    for declared in page.declared.values():
        row = Row(declared.key, "setting", declared.owner, 0, declared.label)
        by_owner.setdefault(declared.owner, []).append(row)

    def part(owner: str, name: str, depth: int) -> Iterator[Row]:
        yield Row(owner, "part", owner, depth, name)
        if owner not in folded:
            for row in by_owner.get(owner, ()):
                yield Row(row.id, "setting", owner, depth + 1, row.label)

    yield from part(FLOOR, "Floor", 0)
    hidden_below: int | None = None
    for branch in tree.branches():
        if hidden_below is not None and branch.depth > hidden_below:
            continue
        hidden_below = branch.depth if branch.part.id in folded else None
        yield from part(branch.part.id, branch.part.name, branch.depth)
    for group, name, owners in (
        (NOT_HUNG, "Not hung", [(p.id, p.name) for p in tree.not_hung]),
        (SPOTS, "Spots", [(spot.id, spot.name) for spot in page.spots]),
    ):
        if not owners:
            continue
        yield Row(group, "group", group, 0, name)
        if group not in folded:
            for owner, label in owners:
                yield from part(owner, label, 1)


def foldable(page: Page) -> frozenset[str]:
    """Return everything that can be folded: parts, the floor, the groups."""
    return frozenset({FLOOR, SPOTS, NOT_HUNG, *page.by_id})


def owners_above(page: Page, owner: str) -> list[str]:
    """Return the parts that ``owner`` hangs on, nearest first: what must unfold to see it."""
    above: list[str] = []
    if owner in page.by_spot:
        return [SPOTS]
    at = owner
    while at in page.by_id and (at := page.by_id[at].on[0]) in page.by_id and at not in above:
        above.append(at)
    return [*above, NOT_HUNG]
