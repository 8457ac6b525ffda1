"""Whether anything lies beside a book's pages that someone has to look at: quick, nothing read."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path as FilePath

from model.book.beside.marks import two_sides
from model.book.heads import Listing, page_paths
from model.disk.guard import read_text
from model.disk.journal import Journal
from model.disk.journal_lines import JournalText
from model.disk.leftovers import collect, leftovers
from model.errors import UnreadableFile


def beside_count(listing: Listing, journal: Journal) -> int:
    """Return how many second versions, leftovers and pages with waiting changes there may be.

    What a cut-off save left is brought together first.
    """
    collect(listing.folder)
    waiting, marked = waiting_in(listing.folder, journal), marked_in(listing)
    left = leftovers(listing.folder)
    return sum(1 for found in (listing.copies, left, waiting, marked) for _ in found)


def marked_in(listing: Listing) -> Iterator[FilePath]:
    """Yield the files of a book in which a merge left two versions between its marks."""
    for path in page_paths(listing.folder):
        with suppress(UnreadableFile):
            if two_sides(read_text(path).text) is not None:
                yield path


def waiting_in(folder: FilePath, journal: Journal) -> Iterator[tuple[FilePath, JournalText]]:
    """Yield each page of a book that the journal has changes for which are not in it.

    Also one that was in a folder which is not there any more: the book may be plugged in elsewhere.
    """
    for page, held in journal.of_folder(folder):
        if held.waiting:
            yield page, held
    for page, held in journal.homeless():
        if (folder / page.name).is_file():
            yield folder / page.name, held
