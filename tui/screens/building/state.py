"""The building screen's state: the rack's own, its parts as rows, what is marked, what is asked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from model.book.build import Step, structure_edit
from model.readings.quantity import Refusal
from model.rig.building.grips import BarWish
from model.rig.building.hanging import Kinds
from model.rig.building.naming import Pair, random_pair
from model.rig.building.steps import Wish
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG
from model.rig.tree import Branch, Tree, rig_tree
from tui.screens.rack.state import RackState, Save, Sort
from tui.screens.rack.state import Step as Done
from tui.widgets.typed import Typed

SPOTS = "spots of the page"  # no id of a part: it has spaces
Wanted = Literal[
    "kinds", "bars", "places", "fields", "other kind", "spots", "help", "problems", "look", "back"
]


@dataclass(frozen=True, slots=True)
class BuildRow:
    """One row: the floor, a part in its place, or the group of what is not hung."""

    id: str
    depth: int
    name: str


@dataclass(frozen=True, slots=True)
class Asking:
    """A line being typed: a new part's name or size, a bar's name, or one field of a part."""

    sort: Literal["name", "size", "bar", "field", "own kind"]
    typed: Typed
    wish: Wish | None = None
    bar: BarWish | None = None
    part: str = ""
    word: str = ""


@dataclass(frozen=True, slots=True)
class BuildState:
    """All of the screen but its size. ``marked`` are parts chosen for the next step, in order."""

    rack: RackState
    kinds: Kinds
    rows: tuple[BuildRow, ...]
    cursor: int = 0
    marked: tuple[str, ...] = ()
    asking: Asking | None = None
    wanted: Wanted | None = None
    pair: Pair = random_pair

    @property
    def page(self) -> Page:
        """The page in hand."""
        return self.rack.page

    @property
    def row(self) -> BuildRow:
        """The row that the cursor is on."""
        return self.rows[self.cursor]

    @property
    def part(self) -> str | None:
        """The part that the cursor is on; None on the floor and on the group."""
        return self.row.id if self.row.id in self.page.by_id else None

    def saying(self, text: str, sort: Sort = "said") -> BuildState:
        """Return the state with a message."""
        return replace(self, rack=self.rack.saying(text, sort))

    def at(self, part_id: str) -> BuildState:
        """Return the state with the cursor on a part, where it is there."""
        found = (index for index, row in enumerate(self.rows) if row.id == part_id)
        return replace(self, cursor=next(found, min(self.cursor, len(self.rows) - 1)))

    def stepping(self, step: Step) -> BuildState:
        """Return the state that wants a step saved; or that says why it cannot be."""
        edit = structure_edit(self.rack.file, step, self.rack.hand.by)
        if isinstance(edit, Refusal):
            return self.saying(f"refused: {edit.text()}", "refused")
        done = Done(edit, edit.undone_on(self.page), edit.what)
        return replace(self, rack=replace(self.rack, wanted=Save(done)))


def start_building(rack: RackState, kinds: Kinds, pair: Pair = random_pair) -> BuildState:
    """Return the state in which building begins: the cursor on the part that the rack was on."""
    state = BuildState(rack.saying(""), kinds, build_rows(rack.page), pair=pair)
    owner = rack.row.owner
    return state.at(owner if owner in rack.page.by_id else FLOOR)


def with_rack(state: BuildState, rack: RackState, at: str = "") -> BuildState:
    """Return the state on a page that changed: its rows, the cursor on the part to look at."""
    known = rack.page.by_id
    row = state.row.id
    state = replace(
        state,
        rack=rack,
        rows=build_rows(rack.page),
        marked=tuple(id_ for id_ in state.marked if id_ in known),
    )
    shown = {row.id for row in state.rows}
    return state.at(at if at in shown else row)


def build_rows(page: Page) -> tuple[BuildRow, ...]:
    """Return the floor, the tree, and what is not hung with all that hangs on it."""
    return tuple(_rows(page, rig_tree(page)))


def _rows(page: Page, tree: Tree) -> Iterator[BuildRow]:
    yield BuildRow(FLOOR, 0, "Floor")
    for branch in tree.branches():
        yield BuildRow(branch.part.id, branch.depth + 1, branch.part.name)
    if tree.not_hung:
        yield BuildRow(NOT_HUNG, 0, "Not hung")
        for branch in _loose(page, tree):
            yield BuildRow(branch.part.id, branch.depth + 1, branch.part.name)
    if page.spots:
        yield BuildRow(SPOTS, 0, "Spots")
        for spot in page.spots:
            yield BuildRow(spot.id, 1, spot.name)


def _loose(page: Page, tree: Tree) -> Iterator[Branch]:
    """Yield what is not hung, each with what hangs on it below it; nothing twice."""
    loose = {part.id for part in tree.not_hung}
    seen: set[str] = set()

    def grow(part_id: str, depth: int) -> Iterator[Branch]:
        if part_id in seen:
            return
        seen.add(part_id)
        yield Branch(page.by_id[part_id], depth)
        for child in tree.not_hung:
            if child.on[0] == part_id:
                yield from grow(child.id, depth + 1)

    for part in tree.not_hung:
        if part.on[0] not in loose:
            yield from grow(part.id, 0)
    for part in tree.not_hung:  # what hangs on itself in a circle
        yield from grow(part.id, 0)
