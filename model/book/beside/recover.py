"""Taking from another version of a page what the page lacks; the version itself is never lost."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from model.book.beside.merge import Entry, Merge, taking
from model.book.beside.versions import Version
from model.book.page_file import PageFile, open_page, real_path
from model.book.recording import record
from model.disk.journal import Journal, PageId
from model.disk.leftovers import settle
from model.disk.save import save
from model.errors import CannotDo, Problem


@dataclass(frozen=True, slots=True)
class Recovered:
    """The page with what was taken, what is still otherwise, and whether the version is settled."""

    file: PageFile
    taken: tuple[Entry, ...]
    left: tuple[Entry, ...]
    settled: bool


def take(version: Version, also: Collection[str], journal: Journal | None) -> Recovered:
    """Record what only the version has, and those of ``also`` where both say something.

    Raises :class:`CannotDo` where ``also`` names something else; and as :func:`take_entries` does.
    """
    merge = _merge_of(version)
    asked = {entry.key for entry in merge.asked}
    if unknown := sorted(set(also) - asked):
        problem = Problem(
            code="no-conflict",
            what=f"{unknown[0]} is not among what both say differently",
            right=" or ".join(sorted(asked)[:4]) or "leave it out: there is none",
            path=str(version.path),
        )
        raise CannotDo("nothing was taken", (problem,))
    chosen = tuple(entry for entry in merge.asked if entry.key in also)
    return take_entries(version, (*merge.only_there, *chosen), journal)


def take_entries(
    version: Version, entries: tuple[Entry, ...], journal: Journal | None
) -> Recovered:
    """Record some of what a version says otherwise than its page.

    A version with nothing left to look at is put aside; else it stays, to be asked about again.
    Raises :class:`CannotDo` where there is nothing to hold it against or the page is closed for the
    show; and as recording does.
    """
    merge = _merge_of(version)
    left = tuple(entry for entry in (*merge.only_there, *merge.asked) if entry not in entries)
    file = open_page(version.page)
    _check_as_shown(file, version, entries)
    for edit in taking(entries):
        file = record(file, edit, journal, f"taken from {version.path.name}")
    settled = not left and not merge.other and file.held is None
    if settled:
        put_aside(version, journal)
    return Recovered(file, entries, left, settled)


def _check_as_shown(file: PageFile, version: Version, entries: tuple[Entry, ...]) -> None:
    """Refuse what the page says otherwise by now than when it was held against the version."""
    for entry in entries:
        if entry.here.undone_on(file.page) != entry.here:
            problem = Problem(
                code="changed-since",
                what=f"{entry.what} was changed on the page since this was shown",
                right="look at it again, then take it",
                path=str(version.path),
                key=entry.key,
            )
            raise CannotDo("nothing was taken", (problem,))


def _merge_of(version: Version) -> Merge:
    if version.merge is None:
        assert version.problem is not None
        raise CannotDo("nothing can be taken from it", (version.problem,))
    return version.merge


def give_back(version: Version) -> PageFile:
    """Put a whole version in the place of its page, which is not there any more.

    Raises :class:`CannotDo` where there is one, :class:`UnreadableFile` where the version is no
    page, and as saving does.
    """
    if version.sort == "waiting":
        raise CannotDo("nothing was put back", (version.problem,) if version.problem else ())
    if version.page.exists():
        problem = Problem(
            code="is-there",
            what=f"{version.page.name} is there",
            right="take from it what the page lacks",
            path=str(version.path),
        )
        raise CannotDo("nothing was put back", (problem,))
    file = open_page(version.path)
    save(version.page, file.text, None)
    settle(version.path)
    return open_page(version.page)


def put_aside(version: Version, journal: Journal | None) -> None:
    """Say that a version was looked at; it is kept.

    Raises :class:`CannotDo` for the page itself, :class:`OSError` where the folder takes nothing.
    """
    if version.path == version.page:
        problem = Problem(
            code="is-page",
            what=f"{version.page.name} is the page itself",
            right="take it: one version becomes the page, the other is kept beside it",
            path=str(version.path),
        )
        raise CannotDo("nothing was put aside", (problem,))
    if version.sort == "waiting":
        assert journal is not None
        page = PageId(real_path(version.page), "")
        journal.close(page, (line.id for line in version.lines), "aside")
    else:
        settle(version.path)
