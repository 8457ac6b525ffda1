"""book.toml: title, homes, tolerances by role, instruments, the short walk, own kinds."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath

from model.book.faults import Faults
from model.book.guard import read_text
from model.book.heads import BOOK_FILE
from model.book.into_values import build, instrument_value, kind_value
from model.book.toml import parse_toml
from model.errors import Problem, UnreadableFile
from model.frozen import Extra, Frozen, Spread, Words
from model.readings.instruments import Instrument
from model.rig.kind import Kind


class Tolerance(Frozen):
    """How far off the player lets a piece be, by its role: mm and degrees."""

    id: Words
    mm: Spread | None = None
    deg: Spread | None = None
    guess: bool = False
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


_SECTIONS = ("format", "homes", "instrument", "tolerance", "kind")


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
    homes = _tables(tables, "homes", faults)
    for home, page in homes.items():
        if not isinstance(page, str):
            faults.add(
                "wrong-value",
                ("homes", home),
                "a home names its page",
                right='main = "2025-03-14-soundcheck"',
            )
    if faults.grave or names is None:
        return None, tuple(faults.found)
    book = Book(
        **{name: getattr(names, name) for name in _Names.model_fields},
        homes=tuple((home, page) for home, page in homes.items() if isinstance(page, str)),
        instruments=tuple(sorted(filter(None, instruments), key=lambda i: i.id)),
        tolerances=tuple(filter(None, tolerances)),
        kinds=tuple(filter(None, kinds)),
    )
    return book, tuple(faults.found)


def _tables(tables: dict[str, object], name: str, faults: Faults) -> dict[str, object]:
    table = tables.get(name, {})
    if isinstance(table, dict):
        return table
    faults.add("wrong-value", (name,), "a table is needed", right=f"[{name}]")
    return {}
