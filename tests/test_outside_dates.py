"""A page's beginning as RFC 3339 writes it: the instants of its examples, and its odder forms."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from model.book.edits import ClosedEdit, edit_text
from model.book.read import parse_page
from model.book.write import write_page
from model.rig.page import Page
from tests.shapes import PAGE

# RFC 3339, section 5.8, the examples, with the instant each says in words there.
RFC_3339 = [
    ("1985-04-12T23:20:50.52Z", datetime(1985, 4, 12, 23, 20, 50, 520_000, UTC)),
    ("1996-12-19T16:39:57-08:00", datetime(1996, 12, 20, 0, 39, 57, 0, UTC)),
    ("1937-01-01T12:00:27.87+00:20", datetime(1937, 1, 1, 11, 40, 27, 870_000, UTC)),
]
# The same section has two leap seconds; TOML leaves them to the implementation, and Python's
# datetime has none: such a page is refused, not read as another second.
LEAP_SECONDS = ["1990-12-31T23:59:60Z", "1990-12-31T15:59:60-08:00"]


def page_begun(written: str) -> Page | None:
    """Read the sample page with another beginning."""
    return parse_page(PAGE.replace("2025-03-14T17:55:00+01:00", written)).page


@pytest.mark.parametrize(("written", "instant"), RFC_3339)
def test_a_page_s_beginning_is_the_instant_that_the_standard_says(
    written: str, instant: datetime
) -> None:
    page = page_begun(written)
    assert page is not None
    assert page.head.began == instant
    again = parse_page(write_page(page)).page
    assert again is not None
    assert again.head.began == instant
    assert again.head.began.utcoffset() == page.head.began.utcoffset()


def test_a_beginning_west_of_greenwich_is_its_count_of_seconds() -> None:
    """By hand: it is 00:39:57 of 20 December 1996 in UTC; 26 years since 1970, 6 leap days (1972
    to 1992) and 354 days of 1996."""
    seconds = (26 * 365 + 6 + 354) * 86_400 + 39 * 60 + 57
    assert seconds == 851_042_397
    page = page_begun("1996-12-19T16:39:57-08:00")
    assert page is not None
    assert page.head.began.timestamp() == seconds
    assert page.head.began.tzinfo == timezone(-timedelta(hours=8))


@pytest.mark.parametrize("written", LEAP_SECONDS)
def test_a_leap_second_is_refused_and_not_moved(written: str) -> None:
    read = parse_page(PAGE.replace("2025-03-14T17:55:00+01:00", written))
    assert read.page is None
    assert [problem.key for problem in read.problems] == ["began"]


def test_pages_order_by_their_instant_and_not_by_the_clock_on_the_wall() -> None:
    early, late = page_begun("1996-12-19T23:00:00+01:00"), page_begun("1996-12-19T16:39:57-08:00")
    assert early is not None
    assert late is not None
    assert early.head.began < late.head.began


def test_the_form_of_the_beginning_stays_as_it_was_written() -> None:
    """RFC 3339 allows a space for the T, and a small z; an edit of another line keeps them."""
    text = PAGE.replace("2025-03-14T17:55:00+01:00", "2025-03-14 16:55:00z")
    read = parse_page(text)
    assert read.page is not None
    assert read.page.head.began == datetime(2025, 3, 14, 16, 55, tzinfo=UTC)
    edited, _ = edit_text(text, read.index, ClosedEdit(True))
    assert "began = 2025-03-14 16:55:00z\n" in edited
