"""The page of a new home: the old home's text, with what is adopted carried from another page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from model.book.adopt_scope import Scope, Sides, scope_of
from model.book.adopting import Chosen, choose
from model.book.begin import Begin, begin_page, begun_value, page_name
from model.book.edits import ClosedEdit, CrewNoteEdit, SettingsEdit
from model.book.page_file import PageFile, changed
from model.book.read import parse_page
from model.errors import CannotDo, NotSaved, Problem
from model.readings.instruments import Instrument
from model.rig.page import Page

MOST_NAMED = 3
LONGEST_MOMENT = 40


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to become home, and as what.

    ``pieces`` are ids; ``from_home`` a home's or a page's name, ``name`` what the new home is
    called, each the usual one where it is left out; ``with_shared`` adopts what also holds other
    pieces; ``by`` are the initials of whoever decides, ``began`` the time, with its offset from
    UTC.
    """

    pieces: tuple[str, ...]
    reason: str
    began: datetime
    by: str | None = None
    from_home: str | None = None
    name: str | None = None
    with_shared: bool = False


@dataclass(frozen=True, slots=True)
class NewHome:
    """A new home's page, not saved yet, and what is in it of the page that it adopts from."""

    file: PageFile
    chosen: Chosen


def new_home(here: PageFile, home: PageFile, wish: Wish, taken: Iterable[str]) -> NewHome:
    """Return the new home's page and what is in it, not saved; ``taken`` are pages' names.

    Its settings are the old home's, carried from the page of their reading, but for those that are
    adopted: they are carried from ``here``, or from where they were read before they were seen
    there. Raises :class:`CannotDo` where the hardware is not the same, or where nothing of the
    pieces was measured.
    """
    sides = Sides(here.page, here.name, home.page, home.name)
    scope = scope_of(sides, wish.pieces)
    start = _start(here.page, wish, set(taken))
    # The old home's own instruments and kinds stay, whatever the book says by now; an instrument
    # that it does not have comes along with the reading.
    lacking = [i for i in here.page.instruments if i.id not in home.page.by_instrument]
    chosen = choose(sides, scope, begun_value(home, start, lacking, ()), wish.with_shared)
    if not chosen.settings:
        raise _nothing(sides, scope)
    used = {setting.using for _, setting in chosen.settings}
    file = _begun(home, start, [i for i in lacking if i.id in used])
    file = changed(file, SettingsEdit(chosen.settings))
    if wish.by:
        pieces = start.moment.partition(", ")[2]
        file = changed(file, CrewNoteEdit(wish.by, f"Adopted from {here.name}: {pieces}."))
    file = changed(file, ClosedEdit(True))
    return NewHome(file, chosen)


def _start(here: Page, wish: Wish, taken: set[str]) -> Begin:
    """Return what the page begins with: the date of the readings, a moment that is still free."""
    pieces = [here.by_id[piece] for piece in wish.pieces]
    labels = [getattr(piece, "role", None) or piece.name for piece in pieces]
    first = ", ".join(labels[:-1])
    moment = f"home, {first} and {labels[-1]}" if first else f"home, {labels[-1]}"
    if len(labels) > MOST_NAMED or len(moment) > LONGEST_MOMENT:
        moment = f"home, {len(labels)} piece{'s' if first else ''}"
    free, number = moment, 2
    while page_name(here.head.date, free) in taken:
        free, number = f"{moment} ({number})", number + 1
    return Begin(
        date=here.head.date,
        began=wish.began,
        moment=free,
        venue=here.head.venue,
        crew=(wish.by,) if wish.by else (),
        reason=wish.reason,
    )


def _begun(home: PageFile, start: Begin, instruments: list[Instrument]) -> PageFile:
    """Begin the page from the home's text; it must read as exactly its value."""
    path = home.path.with_name(f"{page_name(start.date, start.moment)}.toml")
    text = begin_page(home, start, instruments, ())
    read = parse_page(text, str(path))
    if read.page is None or read.page != begun_value(home, start, instruments, ()):
        problem = Problem(
            code="text-and-value",
            what="the new home's text would not say what the old one carries",
            why="this is a fault of Clampbook's; nothing was written",
            right="adopt into another home, and report this one",
            path=str(home.path),
        )
        raise NotSaved("not saved", (problem, *read.problems))
    return PageFile(path, text, "", read.page, read.index, read.problems)


def _nothing(sides: Sides, scope: Scope) -> CannotDo:
    names = ", ".join(sides.here.by_id[piece].name for piece in scope.pieces)
    why, right = "only what was read or seen there becomes home", f"read it on {sides.here_name}"
    held = [on for piece in scope.pieces for on in sides.home.by_id[piece].on]
    others = dict.fromkeys(other for on in held for other in scope.shared.get(on, ()))
    if others and not any(d.owner in scope.own for d in sides.home.declared.values()):
        who = ", ".join(sides.home.by_id[other].name for other in others)
        why = f"what it hangs on also holds {who}"
        right = "adopt them together, or --with-shared"
    problem = Problem(
        code="nothing-measured",
        what=f"nothing of {names} alone was read or seen on {sides.here_name}",
        why=why,
        right=right,
        key=sides.here_name,
    )
    return CannotDo("there is nothing to adopt", (problem,))
