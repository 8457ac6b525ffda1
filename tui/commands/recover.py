"""``recover``: what lies beside a book's pages and may be the only copy of a reading."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from model.errors import CannotDo, Problem
from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_unit,
    reader_config,
    say_json,
    say_lines,
    unit_of,
)
from tui.places import page_journal

if TYPE_CHECKING:
    from model.book.beside.answer import Took, VersionsFound
    from model.book.beside.versions import Version
    from model.book.find import Meant
    from model.book.heads import Listing
    from model.disk.journal import Journal
    from model.frozen import Frozen
    from model.readings.quantity import LengthUnit

HELP = "readings that lie beside the pages: second versions, cut-off saves"
DESCRIPTION = """\
Look for what may be the only copy of a reading: second versions of a page that a file service put
beside it, files that a cut-off save left, changes that the disk refused and the journal kept. Each
is held against its page, setting by setting; nothing is changed.

    clampbook recover tour                   list them, numbered
    clampbook recover tour --take 1          record what only the first has
    clampbook recover tour --take 1 --also snare-basket.height
                                             and its reading where both say something
    clampbook recover tour --settle 1        it was looked at: put it aside

A version is never deleted: what is settled lies in .recovered/settled in the book.
"""


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.description = DESCRIPTION
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.add_argument("book", metavar="BOOK", nargs="?", default=".", help="a book, or its page")
    which = parser.add_mutually_exclusive_group()
    which.add_argument("--take", type=int, metavar="N", help="record what only version N has")
    which.add_argument("--settle", type=int, metavar="N", help="put version N aside")
    parser.add_argument(
        "--also",
        action="append",
        default=[],
        metavar="SETTING",
        help="with --take: this one too, where both say something; may be given again",
    )
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.book.beside.answer import VersionsFound

    return VersionsFound


def run(asked: argparse.Namespace, clock: Clock) -> int:
    """List, take or settle; exit status 1 where something is left to look at."""
    from model.book.beside.recover import put_aside
    from model.book.beside.versions import versions
    from model.book.find import find_meant
    from tui.commands.recover_words import found_words

    unit = unit_of(asked, reader_config())
    meant = find_meant(asked.book, Path.cwd())
    if asked.also and asked.take is None:
        raise _cannot("also-alone", "--also goes with --take", "--take 1 --also PART.SETTING")
    journal = page_journal(clock)
    listing = _listed(meant)
    found = versions(listing, journal)
    number = asked.take if asked.take is not None else asked.settle
    chosen = None if number is None else _numbered(found, number)
    lines: list[str] = []
    took = None
    if asked.take is not None and chosen is not None:
        took, lines = _take(chosen, asked.also, journal, unit)
    elif chosen is not None:
        put_aside(chosen, journal)
        lines = [f"put aside: {chosen.path.name}; it is kept"]
    if chosen is not None:
        listing = _listed(meant)
        found = versions(listing, journal)
    answer = _answer(listing, found, unit)
    answer = answer.model_copy(update={"took": took, **_beyond(listing, journal)})
    if asked.json:
        say_json(answer)
    else:
        say_lines([*lines, *found_words(answer, asked.book)])
    return SOMETHING if answer.versions else NOTHING


def _listed(meant: Meant) -> Listing:
    """List the book; a page that is in none is a list of itself."""
    from model.book.heads import BookHead, Listing, list_book, read_head

    if meant.folder is not None:
        return list_book(meant.folder)
    assert meant.page is not None
    head = read_head(meant.page)
    return Listing(meant.page.parent, BookHead(head.name, {}), (head,), ())


def _beyond(listing: Listing, journal: Journal) -> dict[str, tuple[str, ...]]:
    """Tell the pages that are not there and have changes waiting, and the damaged journals."""
    damaged = (str(page) for page, held in journal.of_folder(listing.folder) if held.damaged)
    names = {page.path.name for page in listing.pages}
    elsewhere = (str(page) for page, _ in journal.homeless() if page.name not in names)
    return {"elsewhere": tuple(elsewhere), "damaged": tuple(damaged)}


def _take(
    chosen: Version, also: list[str], journal: Journal, unit: LengthUnit
) -> tuple[Took | None, list[str]]:
    from model.book.beside.answer import took_told
    from model.book.beside.marked import part
    from model.book.beside.recover import give_back, take
    from tui.commands.recover_words import took_words

    if chosen.sort == "merged":
        return None, [f"made two of {chosen.page.name}: the other is {part(chosen.page)}"]
    if chosen.merge is None and chosen.sort != "waiting" and not chosen.page.exists():
        return None, [f"put back: {give_back(chosen).path}"]
    took = took_told(take(chosen, also, journal), unit)
    return took, list(took_words(took))


def _numbered(found: tuple[Version, ...], number: int) -> Version:
    if 1 <= number <= len(found):
        return found[number - 1]
    what = f"there is no version {number}"
    right = f"1 to {len(found)}" if found else "there is nothing to recover"
    raise _cannot("no-version", what, right)


def _answer(listing: Listing, found: tuple[Version, ...], unit: LengthUnit) -> VersionsFound:
    from model.book.beside.answer import VersionsFound, version_told

    told = (version_told(number, version, unit) for number, version in enumerate(found, 1))
    return VersionsFound(book=listing.book.title, versions=tuple(told))


def _cannot(code: str, what: str, right: str) -> CannotDo:
    return CannotDo("cannot recover", (Problem(code=code, what=what, right=right),))
