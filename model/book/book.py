"""book.toml: title, homes, tolerances by role, minutes of moves, instruments, walks, own kinds."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Annotated

from pydantic import Field

from model.book.faults import Faults, shown
from model.book.heads import BOOK_FILE
from model.book.into_values import build, instrument_value, kind_value
from model.book.toml import parse_toml
from model.disk.guard import read_text
from model.errors import Problem, UnreadableFile
from model.frozen import LONGEST_TEXT, Extra, Frozen, Spread, Words
from model.readings.instruments import Instrument
from model.rig.kind import Kind

Counts = Annotated[float, Field(ge=0, le=1000)]
LongMove = Annotated[float, Field(ge=0, le=600)]


class Tolerance(Frozen):
    """How far off the player lets a piece be, by its role: mm and degrees.

    ``counts`` is how much the role counts when there is no time for everything: 2 is twice.
    """

    id: Words
    mm: Spread | None = None
    deg: Spread | None = None
    counts: Counts = 1.0
    guess: bool = False
    extra: Extra = ()


class MoveMinutes(Frozen):
    """How many minutes the crew takes for each kind of move; None where nobody timed it.

    ``loosen`` is one clamp loosened and tightened, ``place`` what is put by hand, ``slide``,
    ``turn`` and ``tooth`` one joint set and read, ``hang`` a part put back.
    """

    loosen: LongMove | None = None
    place: LongMove | None = None
    slide: LongMove | None = None
    turn: LongMove | None = None
    tooth: LongMove | None = None
    dial: LongMove | None = None
    hang: LongMove | None = None
    extra: Extra = ()


class Book(Frozen):
    """What belongs to the book and not to a page.

    ``walk`` are part ids that are walked first, in that order; ``short_walk`` the setting keys
    that are worth it on a hurried night; ``homes`` (name, page).
    """

    title: Words
    rig: Words = ""
    homes: tuple[tuple[Words, Words], ...] = ()
    walk: tuple[Words, ...] = ()
    short_walk: tuple[Words, ...] = ()
    crew: tuple[Words, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    tolerances: tuple[Tolerance, ...] = ()
    minutes: MoveMinutes = MoveMinutes()
    kinds: tuple[Kind, ...] = ()
    extra: Extra = ()

    def home(self, name: str = "") -> str | None:
        """Return the page that is the named home, or the first home where no name is given."""
        homes = dict(self.homes)
        return homes.get(name) if name else next(iter(homes.values()), None)


class _Names(Frozen):
    title: Words
    rig: Words = ""
    walk: tuple[Words, ...] = ()
    short_walk: tuple[Words, ...] = ()
    crew: tuple[Words, ...] = ()
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class BookRead:
    """A book, and its text for what travels from it into new pages."""

    book: Book
    text: str
    problems: tuple[Problem, ...] = ()


_SECTIONS = ("format", "homes", "instrument", "tolerance", "minutes", "kind")


def read_book(folder: FilePath) -> BookRead:
    """Read a book's own file; raises :class:`UnreadableFile` with every reason."""
    path = folder / BOOK_FILE
    held = read_text(path)
    book, problems = parse_book(held.text, str(path))
    if book is None:
        raise UnreadableFile(f"{path} cannot be read", problems)
    return BookRead(book, held.text, problems)


def parse_book(text: str, file: str) -> tuple[Book | None, tuple[Problem, ...]]:
    """Read a book from its TOML text: the book unless it is refused, and all that was found."""
    tables, _, faults = parse_toml(text, file)
    if tables is None:
        return None, tuple(faults.found)
    names = build(_Names, {k: v for k, v in tables.items() if k not in _SECTIONS}, (), faults)
    kinds, instruments, tolerances = [], [], []
    for name, table in _tables(tables, "kind", faults).items():
        kinds.append(kind_value(name, table, faults))
    for name, table in _tables(tables, "instrument", faults).items():
        instruments.append(instrument_value(name, table, faults))
    for role, table in _tables(tables, "tolerance", faults).items():
        tolerances.append(build(Tolerance, table, ("tolerance", role), faults, id=role))
    minutes = _minutes(tables.get("minutes", {}), faults)
    homes = _tables(tables, "homes", faults)
    for home, page in homes.items():
        what = "" if isinstance(page, str) else "a home names its page"
        if isinstance(page, str) and max(len(home), len(page)) > LONGEST_TEXT:
            what = f"it is longer than {LONGEST_TEXT} characters"
        if what:
            right = 'main = "2025-03-14-soundcheck"'
            faults.add("wrong-value", ("homes", home), what, right=right)
    if faults.grave or names is None or minutes is None:
        return None, tuple(faults.found)
    book = Book(
        **{name: getattr(names, name) for name in _Names.model_fields},
        homes=tuple((home, page) for home, page in homes.items() if isinstance(page, str)),
        instruments=tuple(sorted(filter(None, instruments), key=lambda i: i.id)),
        tolerances=tuple(filter(None, tolerances)),
        minutes=minutes,
        kinds=tuple(filter(None, kinds)),
    )
    return book, tuple(faults.found)


def _minutes(table: object, faults: Faults) -> MoveMinutes | None:
    """Make the minutes of moves; a number that is none is told with one that would be right."""
    kinds = [name for name in MoveMinutes.model_fields if name != "extra"]
    if not isinstance(table, dict):
        right = "loosen = 0.4 below [minutes]"
        faults.add("wrong-value", ("minutes",), "a table is needed", right=right)
        return None
    for name, value in table.items():
        if name not in kinds:
            faults.add(
                "unknown-move",
                ("minutes", name),
                "no kind of move has that name: it is kept, and not used",
                why=f"the kinds are {', '.join(kinds)}",
                right="loosen = 0.4",
                grave=False,
            )
        elif isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 600:
            faults.add(
                "wrong-value",
                ("minutes", name),
                "minutes are a number from 0 to 600, without quotes",
                why=f"the file has {shown(value)}",
                right=f"{name} = 0.5",
            )
    if faults.grave:
        return None
    return build(MoveMinutes, table, ("minutes",), faults)


def _tables(tables: dict[str, object], name: str, faults: Faults) -> dict[str, object]:
    table = tables.get(name, {})
    if isinstance(table, dict):
        return table
    faults.add("wrong-value", (name,), "a table is needed", right=f"[{name}]")
    return {}
