"""Lengths and dates against what others publish."""

from __future__ import annotations

from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from model.book.read import parse_page
from model.book.write import write_page
from model.readings.lengths import MM_PER_INCH, parse_length, show_length

PAGE = Path(__file__).parent / "data" / "page_two_post.toml"


def test_the_inch_is_exact() -> None:
    # Source: NIST Special Publication 811 (2008), appendix B.8: 1 inch = 2.54 E+00 cm, exactly;
    # 1 foot = 3.048 E-01 m, exactly.
    assert Fraction(254, 10) == MM_PER_INCH
    assert parse_length('1"', "mm") == 25.4
    assert parse_length("1ft", "mm") == 304.8
    assert parse_length('1/64"', "mm") == 0.396875  # 25.4 / 64, exact in six decimals


# Common practice, no source: sizes in which the trade sells and names its tubes.
TRADE = [
    ("40", 1016.0, "a crossbar"),
    ("14", 355.6, "a mounting post"),
    ("12", 304.8, "a brace bar"),
    ("7/8", 22.225, "an extension shaft"),
    ("1 1/2", 38.1, "a rack tube"),
]


@pytest.mark.parametrize(("inches", "mm", "what"), TRADE)
def test_sizes_of_the_trade(inches: str, mm: float, what: str) -> None:
    assert parse_length(inches, "in") == mm, what
    assert show_length(mm, "in") == f'{inches}"', what


# Source: RFC 3339, section 5.8, examples of internet date and time; the second's count of seconds
# since 1970 is GNU date's (date -u -d 1996-12-19T16:39:57-08:00 +%s).
RFC_3339 = [
    ("1985-04-12T23:20:50.52Z", 482196050.52),
    ("1996-12-19T16:39:57-08:00", 851042397.0),
    ("1937-01-01T12:00:27.87+00:20", -1041337172.13),
]


@pytest.mark.parametrize(("written", "epoch"), RFC_3339)
def test_a_page_began_when_rfc_3339_says(written: str, epoch: float) -> None:
    text = PAGE.read_text().replace("2025-03-14T17:55:00+01:00", written)
    page = parse_page(text).page
    assert page is not None
    assert page.head.began.timestamp() == pytest.approx(epoch, abs=1e-6)
    again = parse_page(write_page(page)).page
    assert again is not None
    assert again.head.began == page.head.began
    assert again.head.began.utcoffset() == page.head.began.utcoffset()


def test_a_page_that_began_somewhere_unknown_is_refused() -> None:
    # RFC 3339, section 4.4: local time without an offset is no instant.
    text = PAGE.read_text().replace("2025-03-14T17:55:00+01:00", "2025-03-14T17:55:00")
    read = parse_page(text)
    assert read.page is None
    assert any("offset" in problem.text() for problem in read.problems)


def test_the_show_is_dated_by_its_evening_past_midnight_too() -> None:
    page = parse_page(
        PAGE.read_text().replace("2025-03-14T17:55:00+01:00", "2025-03-15T01:20:00+01:00")
    ).page
    assert page is not None
    assert page.head.began.date() - page.head.date == timedelta(days=1)
    assert isinstance(page.head.began, datetime)
