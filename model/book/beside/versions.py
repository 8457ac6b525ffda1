"""What lies beside a book's pages and may be the only copy of a reading: found, and held against.

Second versions of a page, files that a cut-off save left, changes that the disk refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Literal

from model.book.beside.merge import Merge, begun_base, merge
from model.book.beside.quick import marked_in, waiting_in
from model.book.heads import Listing
from model.book.journaled import edits_of
from model.book.page_file import PageFile, open_page, real_path
from model.book.replay import lines_of
from model.disk.journal import Journal, PageId
from model.disk.journal_lines import Change, JournalText, Line
from model.disk.leftovers import Leftover, collect, leftovers, settle
from model.errors import ClampbookError, Problem
from model.rig.page import Page

Sort = Literal["copy", "kept", "displaced", "waiting", "merged"]


@dataclass(frozen=True, slots=True)
class Version:
    """A version of a file: where it is, which file it is of, and how it differs from that.

    ``merge`` is None where there is no page to hold it against, and ``problem`` says why; ``here``
    is that page as it was read. ``base`` is the page that both were begun from. ``lines`` are the
    journal's, of a waiting one.
    """

    sort: Sort
    path: FilePath
    page: FilePath
    merge: Merge | None = None
    base: str = ""
    problem: Problem | None = None
    lines: tuple[Line, ...] = ()
    here: Page | None = None


def versions(listing: Listing, journal: Journal | None = None) -> tuple[Version, ...]:
    """Return every version beside the pages of a book, those to take readings from first.

    What a cut-off save left is brought together first; one that says nothing that its page does not
    say is put aside.
    """
    collect(listing.folder)
    found = [_marked(path) for path in marked_in(listing)]
    found += [_copy(listing, FilePath(head.path), name) for head, name in listing.copies]
    for left in leftovers(listing.folder):
        version = _leftover(listing, left)
        if version.merge is None or not version.merge.is_same:
            found.append(version)
            continue
        with suppress(OSError):  # a folder that takes nothing keeps it where it is
            settle(left.path)
    if journal is not None:
        for page, held in waiting_in(listing.folder, journal):
            found += _waiting(page, held, journal)
    return tuple(found)


def _marked(path: FilePath) -> Version:
    problem = Problem(
        code="two-versions",
        what="two versions of a line stand in it, between marks that a merge left",
        right="take it: one becomes the page, the other is kept beside it, and held against it",
        path=str(path),
    )
    return Version("merged", path, path, problem=problem)


def _copy(listing: Listing, path: FilePath, name: str) -> Version:
    page = listing.folder / f"{name}.toml"
    return _held_against("copy", path, page, listing)


def _leftover(listing: Listing, left: Leftover) -> Version:
    page = listing.folder / left.meant
    sort: Sort = "kept" if left.finished else "displaced"
    if not left.meant.endswith(".toml") or listing.named(page.stem) is None:
        return Version(sort, left.path, page, problem=_no_page(left, page))
    return _held_against(sort, left.path, page, listing)


def _no_page(left: Leftover, page: FilePath) -> Problem:
    if not page.exists():
        what, right = "is not there any more", "take it: it becomes that page again"
    else:
        what, right = "is no page", f"look at both, and put what is missing into {left.meant}"
    return Problem(code="no-page", what=f"{left.meant} {what}", right=right, path=str(left.path))


def _held_against(sort: Sort, path: FilePath, page: FilePath, listing: Listing) -> Version:
    try:
        here, there = open_page(page).page, open_page(path).page
    except ClampbookError as error:
        return Version(sort, path, page, problem=error.problems[0])
    name = here.head.begun_from
    base = _base(listing, name) if name and name == there.head.begun_from else None
    return Version(sort, path, page, merge(here, there, base), name if base else "", here=here)


def _base(listing: Listing, name: str) -> Page | None:
    head = listing.named(name)
    if head is None:
        return None
    try:
        return begun_base(open_page(head.path).page, name)
    except ClampbookError:
        return None


def _waiting(page: FilePath, held: JournalText, journal: Journal) -> Iterator[Version]:
    """Yield what waits for a page, held against it; and what is of another one of that name."""
    path = journal.path_of(PageId(real_path(page), ""))
    try:
        file = open_page(page)
    except ClampbookError as error:
        yield Version("waiting", path, page, problem=error.problems[0], lines=held.waiting)
        return
    own = tuple(line for line in lines_of(file, journal) if line.fate == "waiting")
    if own:
        yield _own(path, file, own)
    others = tuple(line for line in held.waiting if line.of != file.id.of)
    if others and FilePath(others[0].page).parent.exists():
        what = f"it is of another page that was called {page.stem} before, begun {others[0].of}"
        right = "look at the journal, and record it where it belongs"
        problem = Problem(code="other-page", what=what, right=right, path=str(path))
        yield Version("waiting", path, page, problem=problem, lines=others)


def _own(path: FilePath, file: PageFile, lines: tuple[Line, ...]) -> Version:
    changes = [change for line in lines for change in line.changes]
    there, base = _after(file.page, changes), _before(file.page, changes)
    if there is None or base is None:
        problem = Problem(
            code="other-parts",
            what="it is of a part that the page does not have now",
            right="look at the journal, and record it where it belongs",
            path=str(path),
        )
        return Version("waiting", path, file.path, problem=problem, lines=lines)
    merged = merge(file.page, there, base)
    return Version("waiting", path, file.path, merged, lines=lines, here=file.page)


def _after(page: Page, changes: list[Change]) -> Page | None:
    return _with(page, [(change.path, change.after) for change in changes])


def _before(page: Page, changes: list[Change]) -> Page | None:
    return _with(page, [(change.path, change.before) for change in reversed(changes)])


def _with(page: Page, entries: list[tuple[tuple[str, ...], str]]) -> Page | None:
    edits = edits_of(page, entries)
    for edit in edits or ():
        page = edit.on_page(page)
    return page if edits is not None else None
