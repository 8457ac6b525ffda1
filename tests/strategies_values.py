"""Random texts, numbers and unknown keys, as a page may hold them; the odd ones on purpose.

Strategies are made once and kept: making one costs more than drawing from it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, datetime, timedelta, timezone
from functools import cache
from typing import TypeVar

from hypothesis import strategies as st

from model.book.layout import value_text
from model.frozen import Extra

T = TypeVar("T")

PLAIN = ("", "AK", "JM", "Left post", "third notch", "2025-03-13-soundcheck", "wing bolt", "red")
ODD = (
    'the "long" key',
    "it's the drummer's",
    "# no comment",
    "a # b = [c] { d }",
    "back\\slash \\n \\u0041",
    "two\nlines",
    "CR\r\nLF",
    "tab\there",
    '"""',
    "'''",
    'ends with a quote"',
    "ends with a backslash\\",
    "[part.ride]",
    "post-l.x = { read = 1.0 }",
    "# added on this page by AK",
    "naïve café Ωμέγα 太鼓 🥁",
    "e\u0301 combined",
    "\u202eright to left\u202c",
    "\u2028[line separator]\u2029",
    "next\u0085[line]",
    "\x0b[\x0c\x1c\x1d\x1e",
    "\x00\x07\x1b[31mred\x7f",
    "\ufeffmark",
    " spaces round ",
    "=",
    "true",
    "1e5",
)
ODD_KEYS = ("felt colour", "a.b", "", "ключ", 'quo"te', "#", "état", "new\nline", "back\\slash")


@cache
def upto(largest: int) -> st.SearchStrategy[int]:
    """Whole numbers from nought."""
    return st.integers(0, largest)


def pick(draw: st.DrawFn, choices: Sequence[T]) -> T:
    """Draw one of the choices; the first is the simplest."""
    return choices[draw(upto(len(choices) - 1))]


def picks(draw: st.DrawFn, choices: Sequence[T], most: int) -> list[T]:
    """Draw some of the choices, each once, in any order."""
    left = list(choices)
    return [left.pop(draw(upto(len(left) - 1))) for _ in range(draw(upto(min(most, len(left)))))]


def maybe(draw: st.DrawFn, strategy: st.SearchStrategy[T]) -> T | None:
    """Draw a value one time in three."""
    return draw(strategy) if draw(upto(2)) == 2 else None


@cache
def texts() -> st.SearchStrategy[str]:
    """Texts: plain ones, odd ones, and any at all."""
    return st.one_of(st.sampled_from(PLAIN), st.sampled_from(ODD), st.text(max_size=12))


@cache
def numbers(largest: int = 1_000) -> st.SearchStrategy[float]:
    """Floats of at most six decimals; never -0.0, which no entry makes."""
    fine = st.integers(-largest * 10**6, largest * 10**6).map(lambda n: n / 10**6)
    return st.one_of(st.integers(-largest, largest).map(float), fine)


@cache
def sizes(largest: int = 1_000) -> st.SearchStrategy[float]:
    """Floats over nothing."""
    return st.integers(1, largest * 10**6).map(lambda n: n / 10**6)


@cache
def spreads() -> st.SearchStrategy[float]:
    """Standard uncertainties: none, or more."""
    return st.integers(0, 20 * 10**6).map(lambda n: n / 10**6)


@cache
def vectors() -> st.SearchStrategy[tuple[float, float, float]]:
    """Three numbers, often none of them anything."""
    return st.one_of(st.just((0.0, 0.0, 0.0)), st.tuples(numbers(), numbers(), numbers()))


@cache
def pairs() -> st.SearchStrategy[tuple[float, float]]:
    """Two numbers, low to high."""
    return st.tuples(numbers(), numbers()).map(lambda p: (min(p), max(p)))


@cache
def moments() -> st.SearchStrategy[datetime]:
    """Moments with their offset from UTC, in whole minutes."""
    offsets = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))
    return st.datetimes(datetime(1900, 1, 1), datetime(9998, 12, 31), timezones=offsets)


@cache
def scalars() -> st.SearchStrategy[object]:
    """TOML values that are neither lists nor tables."""
    return st.one_of(
        st.booleans(),
        st.integers(-(2**63), 2**63 - 1),
        numbers(),
        st.sampled_from([1e300, -1e-300, math.inf, -math.inf, math.nan, -0.0]),
        texts(),
        moments(),
        st.datetimes(datetime(1900, 1, 1)),
        st.dates(date(1900, 1, 1)),
        st.times(),
    )


@cache
def toml_values() -> st.SearchStrategy[object]:
    """TOML values, nested twice at most: a page's keys go eight deep."""
    flat = scalars()
    lists = st.lists(flat, max_size=2)
    tables = st.dictionaries(st.sampled_from(("one", "two", *ODD_KEYS)), flat, max_size=2)
    return st.one_of(flat, flat, lists, tables, st.lists(tables, max_size=2))


def extras(draw: st.DrawFn, *, flat: bool = False, also: Sequence[str] = ()) -> Extra:
    """Draw keys that Clampbook does not know, mostly none; ``also`` are words known elsewhere."""
    if draw(upto(7)) < 7:
        return ()
    keys = picks(draw, ("felt_colour", "zz-new", *also, *ODD_KEYS), 2)
    values = scalars() if flat else toml_values()
    return tuple((key, value_text(draw(values))) for key in keys)
