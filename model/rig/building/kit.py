"""A kit list, as a player sends it: a line a piece, to be hung piece by piece."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from model.errors import Problem
from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal
from model.rig.building.changes import Changes
from model.rig.building.grips import together
from model.rig.building.hanging import Kinds
from model.rig.building.naming import Pair, checked_name, free_name, names_of, random_pair
from model.rig.building.steps import Wish, added
from model.rig.page import Page
from model.rig.part import NOT_HUNG

COLUMNS = ("role", "type", "diameter", "depth", "name", "weight")
NEEDED = ("role", "type")
TYPES: Mapping[str, tuple[str, str | None]] = {
    "drum": ("shell", None),
    "kick": ("shell", "floor-kick"),
    "cymbal": ("disc", None),
    "pad": ("disc", None),
    "percussion": ("disc", None),
    "throne": ("disc", "floor-seat"),
    "pedal": ("", "floor-pedal"),
}
"""What a piece is -> the sort of its surface, and the kind of one that stands on the floor."""
MOST_LINES = 500
EXAMPLE = "role, type, diameter, depth"
"""The first line of a list; the others are such as: tom 1, drum, 10", 7"."""


@dataclass(frozen=True, slots=True)
class KitPiece:
    """One line of the list, understood: its number, name, role, kind, and what is set of it."""

    line: int
    name: str
    role: str
    kind: str | None
    fields: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Kit:
    """The pieces of a list, and all that is wrong with it: with one fault, none is taken."""

    pieces: tuple[KitPiece, ...]
    problems: tuple[Problem, ...] = ()


def read_kit(text: str, file: str, unit: LengthUnit = "mm") -> Kit:
    """Read a kit list: CSV with its columns named, or lines of role, type, diameter, depth.

    Commas, semicolons or tabs stand between; lengths are written as anywhere. A line that begins
    with # is a comment.
    """
    try:
        rows = list(_rows(text.removeprefix("\ufeff")))
    except csv.Error as error:
        return Kit((), (_problem(file, None, f"it is no list: {error}", EXAMPLE),))
    if not rows:
        return Kit((), (_problem(file, None, "the list is empty", EXAMPLE),))
    if len(rows) > MOST_LINES:
        what = f"the list has {len(rows)} lines"
        return Kit((), (_problem(file, None, what, f"{MOST_LINES} at most"),))
    columns, rows = _columns(rows)
    if missing := [name for name in NEEDED if name not in columns]:
        what = f"the list has no column {' and none '.join(missing)}"
        why = f"its columns are {', '.join(column for column in columns if column) or 'unnamed'}"
        return Kit((), (_problem(file, 1, what, EXAMPLE, why),))
    pieces: list[KitPiece] = []
    problems: list[Problem] = []
    for number, cells in rows:
        found = _piece(number, dict(zip(columns, cells, strict=False)), unit)
        if isinstance(found, Refusal):
            problems.append(_problem(file, number, found.why, found.right))
        elif len(cells) > len(columns) and any(cells[len(columns) :]):
            what = f"the line has {len(cells)} entries for {len(columns)} columns"
            problems.append(_problem(file, number, what, ", ".join(columns)))
        else:
            pieces.append(found)
    return Kit(tuple(pieces), tuple(problems))


def kit_added(
    page: Page, kit: Kit, kinds: Kinds, unit: LengthUnit = "mm", pair: Pair = random_pair
) -> Changes | Refusal:
    """Add the pieces of a list, not hung yet. A name that is taken gets a number."""
    changes, names = Changes(""), names_of(page)
    for piece in kit.pieces:
        name = free_name(piece.name, names)
        names.add(name)
        wish = Wish(name, piece.kind, "piece", (NOT_HUNG,), fields=dict(piece.fields))
        step = added(page, wish, kinds, unit, _unlike(pair, changes))
        if isinstance(step, Refusal):
            return Refusal(f"line {piece.line}: {step.why}", step.right)
        changes = together(changes, step)
    number = len(kit.pieces)
    what = f"added {number} piece{'s' * (number != 1)} of the kit list, not hung"
    first = changes.parts[0].id if changes.parts else ""
    return Changes(what, first, parts=changes.parts, kinds=changes.kinds)


def _unlike(pair: Pair, changes: Changes) -> Pair:
    """Return pairs that none of the parts before it ends in: their ids are not on the page yet."""
    taken = {part.id[-2:] for part in changes.parts}

    def other() -> str:
        for _ in range(50):
            if (made := pair()) not in taken:
                return made
        return pair() + pair()

    return other


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    lines = (line for line in text.splitlines() if not line.lstrip().startswith("#"))
    first = next((line for line in lines if line.strip()), "")
    comma = next((sign for sign in ("\t", ";") if sign in first), ",")
    for number, cells in enumerate(
        csv.reader(text.splitlines(), delimiter=comma, skipinitialspace=True), 1
    ):
        clean = [cell.strip() for cell in cells]
        if any(clean) and not clean[0].startswith("#"):
            yield number, clean


def _columns(
    rows: list[tuple[int, list[str]]],
) -> tuple[list[str], list[tuple[int, list[str]]]]:
    """Return the columns by name and the lines below; without names, in their usual order."""
    head = [cell.lower() for cell in rows[0][1]]
    if any(cell in COLUMNS for cell in head):
        return head, rows[1:]
    return list(COLUMNS[:4]), rows


def _piece(number: int, cells: Mapping[str, str], unit: LengthUnit) -> KitPiece | Refusal:
    role = checked_name(cells.get("role", ""), "a role")
    if isinstance(role, Refusal):
        return role
    sort = cells.get("type", "").lower()
    if sort not in TYPES:
        return Refusal(f"{sort or 'nothing'!r} is no type of piece", ", ".join(TYPES))
    surface, kind = TYPES[sort]
    name = checked_name(cells.get("name", "") or role[:1].upper() + role[1:])
    if isinstance(name, Refusal):
        return name
    fields = [("role", role)]
    diameter, depth = cells.get("diameter", ""), cells.get("depth", "")
    for what, typed in (("diameter", diameter), ("depth", depth)):
        if typed and isinstance(refused := parse_length(typed, unit), Refusal):
            return Refusal(f"{what}: {refused.why}", refused.right)
    if depth and surface != "shell":
        return Refusal(f"a {sort} has no depth", "leave it empty")
    if depth and not diameter:
        return Refusal("a depth without a diameter", '10", 7"')
    if diameter and not surface:
        return Refusal(f"a {sort} has no diameter", "leave it empty")
    if diameter:
        fields.append(("size", f"{surface} {diameter}{f' x {depth}' if depth else ''}"))
    if weight := cells.get("weight", ""):
        fields.append(("weight", weight))
    return KitPiece(number, name, role, kind, tuple(fields))


def _problem(file: str, line: int | None, what: str, right: str, why: str = "") -> Problem:
    return Problem(code="kit-list", what=what, why=why, right=right, path=file, line=line)
