"""``compare``: what differs between two pages, settings and structure."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands.shared import (
    NOTHING,
    SOMETHING,
    Clock,
    add_json,
    add_unit,
    reader_config,
    say,
    say_error,
    say_json,
    unit_of,
)

if TYPE_CHECKING:
    from model.compare.answer import Compared
    from model.frozen import Frozen
    from model.readings.quantity import LengthUnit
    from model.rig.page import Page

HELP = "say what differs between two pages: structure and settings"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Declare what the command asks for."""
    parser.add_argument("before", metavar="A", nargs="?", help="a page, or a book (its last page)")
    parser.add_argument(
        "after",
        metavar="B",
        nargs="?",
        help="a page: its file, BOOK/NAME, BOOK/DATE (the night's last page) or BOOK/HOME",
    )
    parser.add_argument("--all", action="store_true", help="every setting, with its verdict")
    add_unit(parser)
    add_json(parser)


def answer_type() -> type[Frozen]:
    """Return the type of the answer."""
    from model.compare.answer import Compared

    return Compared


def run(asked: argparse.Namespace, _clock: Clock) -> int:
    """Compare the pages; exit status 1 where something differs beyond the readings' uncertainty."""
    from model.book.book import read_book
    from model.book.find import find_meant, find_page
    from model.book.page_file import open_page
    from model.compare.answer import compare_pages
    from model.errors import CannotDo, Problem, UnreadableFile

    if asked.before is None or asked.after is None:
        problem = Problem(
            code="two-pages",
            what="two pages are compared",
            right="clampbook compare tour/2026-03-20 tour/2026-03-21",
        )
        raise CannotDo("cannot compare", (problem,))
    unit = unit_of(asked, reader_config())
    files = [open_page(find_page(name, Path.cwd())) for name in (asked.before, asked.after)]
    folder = find_meant(str(files[1].path), Path.cwd()).folder
    walk: tuple[str, ...] = ()
    if folder is not None:
        try:
            walk = read_book(folder).book.walk
        except UnreadableFile as error:  # it only orders the rows: two good pages are compared
            say_error(error.text())
    names = (files[0].name, files[1].name)
    answer = compare_pages(files[0].page, files[1].page, names, walk)
    if asked.json:
        say_json(answer)
    else:
        say("\n".join(compared_lines(answer, files[0].page, files[1].page, unit, asked.all)))
    return SOMETHING if answer.something else NOTHING


def compared_lines(
    answer: Compared, before: Page, after: Page, unit: LengthUnit, show_all: bool = False
) -> Iterator[str]:
    """Yield the answer as plain lines, parts in walking order."""
    for which, page in (("from", answer.before), ("to  ", answer.after)):
        yield f"{which} {page.page}  {page.date} {page.moment}, {page.venue or '-'}"
    if not answer.same_rig:
        yield f"the rigs differ in name: {answer.before.rig} and {answer.after.rig}"
    if answer.structure:
        yield ""
        yield "structure"
    for change in answer.structure:
        detail = f"{change.before or '-'} -> {change.after or '-'}"
        words = f"{change.field}: {detail}" if change.field else detail.strip("-> ")
        yield f"  {change.change:<14} {change.name} ({change.id})  {words}"
    yield from _settings(answer, (before, after), unit, show_all)
    yield ""
    yield ", ".join(f"{number} {verdict}" for verdict, number in answer.counts.items() if number)


def _settings(
    answer: Compared, pages: tuple[Page, Page], unit: LengthUnit, show_all: bool
) -> Iterator[str]:
    from model.readings.entry import show_change, show_value

    owner = ""
    for found in answer.settings:
        if not show_all and found.verdict not in ("moved", "unsure"):
            continue
        if found.part != owner:
            owner = found.part
            yield ""
            yield f"{found.part_name} ({found.part})"
        asked = pages[1].declared[found.setting].asked(unit)
        values = [
            "-"
            if held.value is None
            else show_value(held.value, page.declared[found.setting].asked(unit))
            for held, page in zip((found.before, found.after), pages, strict=True)
        ]
        sides = [
            f"{held.state} {value}" + (f" of {held.page}" if held.state == "carried" else "")
            for held, value in zip((found.before, found.after), values, strict=True)
        ]
        moved = ""
        if found.difference is not None:
            moved = f"  {show_change(found.difference, asked)}"
        sure = f" (±{show_value(2 * found.u, asked)})" if found.u else ""
        why = f"  {found.why}" if found.why else ""
        both = f"{sides[0]:<22} -> {sides[1]:<22}"
        yield f"  {found.name:<16} {both}{moved}{sure}  {found.verdict}{why}"
