"""Where labels stand: beside what they name, on white paper, and never on one another.

Pure geometry on boxes, in millimetres on paper. A label is looked for at the spots that suit it
best, then on rings round its feet (the points its leader may end at), wider and wider without a
bound. The labels placed before are finitely many and finite, so that a free place is always found.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from model.picture.boxes import Box, Segment, around, cross, cuts, union
from model.picture.ink import Ink

GAP = 0.4
"""The least white between two labels."""

# What a placement costs, in millimetres of leader that one would rather draw instead.
ON_LINE = 1.6  # each mm of line under a label
_OUTSIDE = 0.35  # each mm beyond the drawing
_ON_LABEL = 40.0  # a leader through a label
_ON_LEADER = 9.0  # a leader across another leader
_TANGLE = 45.0  # all that is crossed together: a label that cannot help it need not go far away
_LED = 1.5  # a leader at all
_MANY = 60
AGAIN = 2
"""How often every label looks for a better place once all the others have theirs."""

_WAYS = tuple(
    (math.cos(a), math.sin(a), max(-1.0, min(1.0, 1.5 * math.cos(a))), math.sin(a))
    for a in (math.tau * i / 16 for i in range(16))
)


class Foot(NamedTuple):
    """A point that a leader may end at, and what it costs to end there rather than elsewhere."""

    x: float
    y: float
    cost: float = 0.0


class Spot(NamedTuple):
    """A place for the label's middle at which it needs no leader, and what it costs there."""

    x: float
    y: float
    cost: float = 0.0


@dataclass(frozen=True, slots=True)
class Want:
    """A label to be placed: its size, its feet (at least one) and the spots that suit it.

    ``bare`` is how near to its foot it stands without a leader; ``stop`` is how far before its foot
    a leader ends, so that it leaves a small sign there in the clear.
    """

    key: str
    width: float
    height: float
    feet: tuple[Foot, ...]
    spots: tuple[Spot, ...] = ()
    bare: float = 0.0
    stop: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed:
    """A label in its place, and its leader from the label's edge to its foot, if it needs one."""

    key: str
    box: Box
    leader: Segment | None


def place(
    wants: Sequence[Want], ink: Ink, drawing: Box | None = None, again: int = AGAIN
) -> tuple[Placed, ...]:
    """Place every label, in the order given: no two overlap or come nearer than ``GAP``.

    ``drawing`` is where labels had rather stay; they leave it where there is no room. ``again`` is
    how often all of them look for something better; none is a quick first look.
    """
    placed: dict[int, Placed] = {}
    ways = _WAYS if again else _WAYS[::2]
    for _ in range(1 + (again if len(wants) < _MANY else min(again, 1))):
        before = dict(placed)
        for i, want in enumerate(wants):
            placed.pop(i, None)
            placed[i] = _Search(want, tuple(placed.values()), ink, drawing, ways).best()
        if placed == before:
            break
    return tuple(placed[i] for i in range(len(wants)))


def frame(placed: Sequence[Placed], drawing: Box) -> Box:
    """Return the box around the drawing and its labels."""
    return union([drawing, *(label.box for label in placed)])


def _radii() -> Iterator[float]:
    radius = 0.8
    while True:
        yield radius
        radius += max(1.6, radius * 0.22)


_Candidate = tuple[float, Box, Segment | None]


class _Search:
    """The search for one label's place among those that have theirs.

    Candidates are first weighed by what is quick to know; the cheapest are held against the other
    labels, until none that is left can be better.
    """

    def __init__(
        self,
        want: Want,
        others: tuple[Placed, ...],
        ink: Ink,
        drawing: Box | None,
        ways: Sequence[tuple[float, float, float, float]],
    ) -> None:
        self.want, self.ink, self.drawing, self.ways = want, ink, drawing, ways
        self.boxes = [other.box for other in others]
        self.leaders = [(around(other.leader), other.leader) for other in others if other.leader]
        self.found: Placed | None = None
        self.cost = math.inf

    def best(self) -> Placed:
        """Return the best place; there always is one."""
        want = self.want
        half_w, half_h = want.width / 2, want.height / 2
        self._judge([self._weighed(spot.x, spot.y, spot.cost, None) for spot in want.spots])
        cheapest = min(foot.cost for foot in want.feet)
        for radius in _radii():
            if self.found and self.cost <= cheapest + 0.8 * radius:
                return self.found
            self._judge(
                [
                    self._weighed(
                        foot.x + radius * cos + half_w * wide,
                        foot.y + radius * sin + half_h * high,
                        foot.cost,
                        foot,
                    )
                    for foot in want.feet
                    if foot.cost + 0.8 * radius < self.cost
                    for cos, sin, wide, high in self.ways
                ]
            )
        raise AssertionError("the rings have no end")

    def _weighed(self, x: float, y: float, cost: float, foot: Foot | None) -> _Candidate:
        """A place for the label's middle, and what it costs but for the other labels."""
        half_w, half_h = self.want.width / 2, self.want.height / 2
        box = Box(x - half_w, y - half_h, x + half_w, y + half_h)
        leader: Segment | None = None
        if foot is not None:
            edge = box.nearest(foot.x, foot.y)
            length = math.hypot(edge[0] - foot.x, edge[1] - foot.y)
            cost += length
            if length > max(self.want.bare, self.want.stop):
                part = self.want.stop / length
                end = foot.x + (edge[0] - foot.x) * part, foot.y + (edge[1] - foot.y) * part
                leader = (edge, end)
                cost += _LED
        out = self.drawing
        if out is not None and not out.holds(box):
            cost += _OUTSIDE * (
                max(0.0, out.x0 - box.x0) + max(0.0, box.x1 - out.x1)
                + max(0.0, out.y0 - box.y0) + max(0.0, box.y1 - out.y1)
            )  # fmt: skip
        if cost < self.cost:
            cost += ON_LINE * self.ink.under(box)
        return cost, box, leader

    def _judge(self, candidates: list[_Candidate]) -> None:
        for cost, box, leader in sorted(candidates, key=lambda candidate: candidate[0]):
            if cost >= self.cost:
                return
            if _meets(box.grown(GAP), self.boxes):
                continue
            whole = self._crossed(cost, box, leader)
            if whole < self.cost:
                self.cost, self.found = whole, Placed(self.want.key, box, leader)

    def _crossed(self, cost: float, box: Box, leader: Segment | None) -> float:
        """Add what the leader crosses, and whose leaders the label lies on; at most ``_TANGLE``."""
        most = cost + _TANGLE
        x0, y0, x1, y1 = span = union([box, around(leader)]) if leader else box
        for (ox0, oy0, ox1, oy1), other in self.leaders:
            if ox0 > x1 or x0 > ox1 or oy0 > y1 or y0 > oy1:
                continue
            if cuts(other, box):
                cost += _ON_LABEL
            elif leader and cross(leader, other):
                cost += _ON_LEADER
            if cost >= self.cost or cost >= most:
                return min(cost, most)
        for other_box in self.boxes if leader else ():
            if leader and _meets(other_box, (span,)) and cuts(leader, other_box):
                cost += _ON_LABEL
                if cost >= most:
                    return most
        return cost


def _meets(box: Box, others: Sequence[Box]) -> bool:
    """Tell whether a box overlaps one of the others (written out, as it is asked most often)."""
    x0, y0, x1, y1 = box
    for ox0, oy0, ox1, oy1 in others:  # noqa: SIM110 - any() takes three times as long here
        if ox0 < x1 and x0 < ox1 and oy0 < y1 and y0 < oy1:
            return True
    return False
