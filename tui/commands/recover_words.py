"""Versions beside a book's pages, in words: for the command and for the screen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from shlex import quote

from model.book.beside.answer import EntryTold, Took, VersionsFound, VersionTold

SORTS = {
    "copy": "a second version",
    "kept": "a whole version, kept beside it",
    "displaced": "displaced, or cut off in the middle",
    "waiting": "changes that the disk refused",
    "merged": "two versions in one file",
}


def version_title(version: VersionTold) -> str:
    """Say which version it is, and of which page."""
    return f"{version.page}: {SORTS[version.sort]}"


def version_counts(version: VersionTold) -> str:
    """Say on one line what is in it."""
    if version.problem:
        return version.problem
    words = [
        f"{len(entries)} {what}"
        for entries, what in (
            (version.only_there, "only there"),
            (version.both, "different"),
            (version.opened, "open there"),
        )
        if entries
    ]
    return "; ".join([*words, *version.other]) or "nothing that the page does not say"


def version_lines(version: VersionTold) -> Iterator[str]:
    """Say all of it, a line each."""
    yield f"   {version.path}"
    if version.problem:
        yield f"   {version.problem}; right: {version.right}"
        return
    if version.base:
        yield f"   both were begun from {version.base}"
    if version.only_there:
        yield "   only there:"
        yield from _entries(version.only_there)
    if version.both:
        yield "   on both, and different:"
        yield from _entries(version.both)
    if version.opened:
        yield "   open there, perhaps on purpose:"
        yield from _entries(version.opened)
    for words in version.other:
        yield f"   also different, and not taken: {words}"


def found_words(answer: VersionsFound, book: str) -> Iterator[str]:
    """Say every version, and how one goes on."""
    for path in answer.damaged:
        yield f"this journal has lines that were damaged and say nothing any more: {path}"
    for path in answer.elsewhere:
        yield f"changes wait for a page that is not there now: {path}"
    if not answer.versions:
        yield f"{answer.book}: nothing lies beside the pages"
        return
    for version in answer.versions:
        yield ""
        yield f"{version.number}  {version_title(version)}"
        yield from version_lines(version)
    first = quote(book)
    yield ""
    yield f"clampbook recover {first} --take N    records what only version N has"
    yield f"clampbook recover {first} --settle N  puts it aside; it is kept"


def took_words(took: Took) -> Iterator[str]:
    """Say what was recorded, and what is still otherwise."""
    for entry in took.taken:
        yield f"recorded: {entry.what}: {entry.there} (was {entry.here})"
    if not took.taken:
        yield "recorded: nothing; it has nothing that the page lacks"
    for entry in took.left:
        yield f"left as it is: {entry.what}: here {entry.here}, there {entry.there}"
    if took.left:
        yield f"to take one of these as well: --also {took.left[0].key}"
    if took.kept:
        yield f"not in the book yet, it takes nothing now; kept in {Path(took.kept).parent}"
    yield "the version is put aside; it is kept" if took.settled else "the version stays"


def _entries(entries: tuple[EntryTold, ...]) -> Iterator[str]:
    wide = max(len(entry.key) for entry in entries)
    for entry in entries:
        yield f"     {entry.key:<{wide}}  there {entry.there}; here {entry.here}"
