"""What hangs on what, and the order in which one goes round the rack."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from model.rig.declared import AnyPart
from model.rig.floor_point import floor_point
from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Piece

DEEPEST = 40
"""No rack hangs deeper; what does in a file is shown as not hung."""


@dataclass(frozen=True, slots=True)
class Branch:
    """A part in the tree: how deep it hangs, and what hangs on it, in walking order."""

    part: AnyPart
    depth: int
    children: tuple[Branch, ...] = ()

    def walk(self) -> Iterator[Branch]:
        """Yield this branch and all below it, root to tip."""
        yield self
        for child in self.children:
            yield from child.walk()


@dataclass(frozen=True, slots=True)
class Tree:
    """The rig's roots in walking order, and the parts that hang on nothing that is there."""

    roots: tuple[Branch, ...]
    not_hung: tuple[AnyPart, ...] = ()
    order: tuple[str, ...] = field(default=())

    def branches(self) -> Iterator[Branch]:
        """Yield every hung part, root to tip, in walking order."""
        for root in self.roots:
            yield from root.walk()

    def below(self, part_id: str) -> tuple[str, ...]:
        """Return a part and all that hangs on it, root to tip; the part alone if it is not hung."""
        for branch in self.branches():
            if branch.part.id == part_id:
                return tuple(held.part.id for held in branch.walk())
        return (part_id,)


def rig_tree(page: Page, first: tuple[str, ...] = ()) -> Tree:
    """Return the tree of a page's parts.

    ``first`` are ids that the book wants walked first, in that order. The other roots follow
    clockwise seen from above, round the zero mark, beginning behind the player; roots whose place
    is unknown come last, in hand order. Along a rail one goes from end A to end B. A bar held
    twice hangs below its first clamp.
    """
    children: dict[str, list[AnyPart]] = {}
    for part in page.parts:
        children.setdefault(part.on[0], []).append(part)
    known = set(page.by_id)
    reached: set[str] = set()

    def grow(part: AnyPart, depth: int) -> Branch:
        reached.add(part.id)
        hung = children.get(part.id, ()) if depth < DEEPEST else ()
        below = sorted(
            (c for c in hung if c.id not in reached and _held(c, known)),
            key=lambda child: _along(page, child),
        )
        return Branch(part, depth, tuple(grow(child, depth + 1) for child in below))

    standing = [part for part in children.get(FLOOR, ()) if _held(part, known)]
    ordered = sorted(standing, key=lambda part: _round(page, part, first))
    roots = tuple(grow(part, 0) for part in ordered)
    tree_order = tuple(branch.part.id for root in roots for branch in root.walk())
    return Tree(roots, tuple(p for p in page.parts if p.id not in reached), tree_order)


def _held(part: AnyPart, known: set[str]) -> bool:
    return all(on == FLOOR or on in known for on in part.on)


def _along(page: Page, part: AnyPart) -> tuple[int, float]:
    """Sort key along the rail: by place where it is known, pieces last, hand order between."""
    for name in ("height", "place"):
        value = page.setting(f"{part.id}.{name}").value
        if isinstance(value, int | float):
            falls = part.rail == "inner" or part.measured_from == "B"
            return (0, -float(value) if falls else float(value))
    return (2 if isinstance(part, Piece | Bar) else 1, 0.0)


def _round(page: Page, part: AnyPart, first: tuple[str, ...]) -> tuple[int, float]:
    if part.id in first:
        return (0, float(first.index(part.id)))
    point = floor_point(page, part)
    if point is None:
        return (2, 0.0)
    x, y = point
    if math.hypot(x, y) < 1.0:
        return (1, 0.0)
    # From straight behind (-y), clockwise seen from above: behind, left, ahead, right.
    return (1, math.degrees(math.atan2(-x, -y)) % 360.0)


def walking_order(page: Page, first: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Return every declared key in the order in which one goes round the rack.

    The floor's settings, each part's from root to tip, parts that are not hung, then the spots.
    """
    tree = rig_tree(page, first)
    owners = [FLOOR, *tree.order, *(p.id for p in tree.not_hung), *(s.id for s in page.spots)]
    by_owner: dict[str, list[str]] = {}
    for declared in page.declared.values():
        by_owner.setdefault(declared.owner, []).append(declared.key)
    return tuple(key for owner in owners for key in by_owner.get(owner, ()))
