"""What the chosen pieces rest on, and whether that is the same hardware on the page and at home."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.book.faults import as_shown
from model.book.into_toml import table_of
from model.book.layout import value_text
from model.errors import CannotDo, Problem
from model.frozen import Frozen
from model.rig.carrying import pieces_resting, rests_on
from model.rig.page import Page
from model.rig.same_hardware import Unlike, hung_otherwise, sized_otherwise


@dataclass(frozen=True, slots=True)
class Sides:
    """The page that is adopted from and the home it is adopted into, each with its name."""

    here: Page
    here_name: str
    home: Page
    home_name: str


@dataclass(frozen=True, slots=True)
class Scope:
    """What the chosen pieces rest on, in the home's rig.

    ``own`` are they and the parts that hold nothing but them; ``shared`` the parts that hold other
    pieces too, with those.
    """

    pieces: tuple[str, ...]
    own: tuple[str, ...]
    shared: dict[str, tuple[str, ...]]


def scope_of(sides: Sides, pieces: tuple[str, ...]) -> Scope:
    """Return what the chosen pieces rest on; raises :class:`CannotDo` where the rigs differ there.

    Numbers read on one rig say nothing of another: a part that is missing, hangs elsewhere or is
    of another kind, or a size of what only the chosen pieces rest on.
    """
    resting = pieces_resting(sides.home)
    chain = dict.fromkeys(part for piece in pieces for part in rests_on(sides.home, piece))
    own = tuple(part for part in chain if set(resting[part]) <= set(pieces))
    shared = {
        part: tuple(piece for piece in resting[part] if piece not in pieces)
        for part in chain
        if part not in own
    }
    problems = [*_missing(sides, pieces, chain)]
    for part in chain:
        if part in sides.here.by_id:
            unlike = [*hung_otherwise(sides.here, sides.home, part)]
            if part in own:
                unlike += sized_otherwise(sides.here, sides.home, part)
            problems += [_unlike_problem(sides, found) for found in unlike]
    if problems:
        raise CannotDo("the pieces cannot be adopted one by one", tuple(problems))
    return Scope(pieces, own, shared)


def _missing(sides: Sides, pieces: tuple[str, ...], chain: dict[str, None]) -> Iterator[Problem]:
    for piece in pieces:
        if piece not in sides.home.by_id:
            name = sides.here.by_id[piece].name
            yield _structure(sides, piece, f"{name} is not on the home {sides.home_name}")
    for part in chain:
        if part not in sides.here.by_id:
            name = sides.home.by_id[part].name
            yield _structure(sides, part, f"{name} is not on {sides.here_name}")


def _unlike_problem(sides: Sides, unlike: Unlike) -> Problem:
    name = sides.here.by_id[unlike.part].name
    field = unlike.field.replace("measured_from", "from")
    what = f"{name}: {field} is {words(unlike.one)} there and {words(unlike.other)} at home"
    return _structure(sides, unlike.part, what)


def _structure(sides: Sides, part: str, what: str) -> Problem:
    return Problem(
        code="other-hardware",
        what=what,
        why="its numbers mean something else on other hardware, and home would be half of each",
        right=f"the same hardware on both; or clampbook adopt {sides.here_name} --all --as NAME, "
        "which names the whole page",
        key=f"part.{part}",
    )


def words(value: object) -> str:
    """Return a field's value for a message."""
    if value is None or value in ((), {}, ""):
        return "not told"
    return as_shown(value_text(table_of(value) if isinstance(value, Frozen) else value))
