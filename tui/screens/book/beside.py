"""What lies beside the pages, to choose from: take from it, look at it, put it aside."""

from __future__ import annotations

from pathlib import Path as FilePath

from model.book.beside.answer import VersionTold, took_told, version_told
from model.book.beside.marked import part
from model.book.beside.recover import give_back, put_aside, take, take_entries
from model.book.beside.versions import Version, versions
from model.book.heads import list_book
from model.disk.journal import Journal
from model.readings.quantity import LengthUnit
from tui.commands.recover_words import version_counts, version_lines, version_title
from tui.screens.pick import Choice


def found_beside(
    folder: FilePath, journal: Journal, unit: LengthUnit
) -> list[tuple[Version, VersionTold]]:
    """Return the versions beside a book's pages, each with how it is told.

    Raises :class:`ClampbookError` where the folder is no book any more.
    """
    found = versions(list_book(folder), journal)
    return [(one, version_told(number, one, unit)) for number, one in enumerate(found, 1)]


def version_choices(found: list[tuple[Version, VersionTold]]) -> list[Choice]:
    """Return the versions as rows."""
    return [
        Choice(str(index), f"{version_title(told)}: {version_counts(told)}")
        for index, (_, told) in enumerate(found)
    ]


def ways(version: Version, told: VersionTold) -> list[Choice]:
    """Return what can be done with one: what only it has, each that both say, all of it, aside."""
    choices = []
    if version.sort == "merged":
        return [Choice("part", "make two of it: one the page, the other beside, to choose from")]
    if told.only_there:
        choices.append(Choice("take", f"take the {len(told.only_there)} that only it has"))
    choices += [
        Choice(f"also {entry.key}", f"take {entry.what}: there {entry.there}; here {entry.here}")
        for entry in (*told.both, *told.opened)
    ]
    if version.merge is None and version.sort != "waiting" and not version.page.exists():
        choices.append(Choice("back", f"make it {told.page} again, which is not there any more"))
    choices.append(Choice("look", "look at all of it"))
    choices.append(Choice("aside", "put it aside, as it is: it is kept"))
    return choices


def whole(told: VersionTold) -> list[str]:
    """Return all of a version's differences, a line each."""
    return [version_title(told), *version_lines(told)]


def do(version: Version, way: str, journal: Journal, unit: LengthUnit) -> str:
    """Do what was chosen; say it. Raises :class:`ClampbookError`, or :class:`OSError`."""
    if way == "aside":
        put_aside(version, journal)
        return f"put aside: {version.path.name}; it is kept"
    if way == "part":
        part(version.page)
        return f"made two of {version.page.name}: v tells what differs"
    if way == "back":
        return f"put back: {give_back(version).name}"
    if way == "take":
        told = took_told(take(version, (), journal), unit)
    else:
        asked = version.merge.asked if version.merge else ()
        chosen = tuple(entry for entry in asked if way == f"also {entry.key}")
        told = took_told(take_entries(version, chosen, journal), unit)
    what = "1 thing" if len(told.taken) == 1 else f"{len(told.taken)} things"
    rest = f"; {len(told.left)} left to look at: v" if told.left else ""
    where = "kept, the book takes nothing now" if told.kept else f"recorded on {told.page}"
    return f"{what} {where}{rest}"
