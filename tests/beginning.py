"""Beginning a page in a test: its text must always read as exactly its value."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from pathlib import Path

from model.book.begin import Begin, begin_page, begun_value
from model.book.page_file import PageFile
from model.book.read import parse_page
from model.readings.instruments import GENERIC_INSTRUMENTS, Instrument
from model.rig.kind import Kind
from model.rig.page import Page

BEGAN = datetime(2025, 3, 15, 18, 5, tzinfo=timezone(timedelta(hours=1)))
START = Begin(date(2025, 3, 15), BEGAN, "soundcheck", "Harbour Hall", ("AK", "ZZ"))


def source(text: str, name: str = "2025-03-14-soundcheck") -> PageFile:
    """Return a page as if it had been opened."""
    read = parse_page(text)
    assert read.page is not None, "\n".join(problem.text() for problem in read.problems)
    return PageFile(Path(f"{name}.toml"), text, "", read.page, read.index, read.problems)


def begun(
    file: PageFile,
    start: Begin = START,
    instruments: tuple[Instrument, ...] = GENERIC_INSTRUMENTS,
    book_kinds: tuple[Kind, ...] = (),
) -> tuple[str, Page]:
    """Begin a page; its text must read as exactly the value."""
    text = begin_page(file, start, instruments, book_kinds)
    read = parse_page(text)
    assert read.page is not None, "\n".join(problem.text() for problem in read.problems)
    assert read.page == begun_value(file, start, instruments, book_kinds)
    assert not [problem for problem in read.problems if problem.code == "no-line"]
    return text, read.page
