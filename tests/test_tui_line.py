"""Cells on a line: exact widths for any text, and nothing from a file that acts on a terminal."""

from __future__ import annotations

import unicodedata
from typing import Literal

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from model.clean import clean, clean_lines
from tui.looks.choice import LOOKS
from tui.widgets.line import Cell, fitted, line_text, strip_of
from tui.widgets.typed import Typed

HOSTILE = ["\x1b[31mred", "\x1b]0;title\x07", "\x9b2J", "a\u202eb", "\x00", "x\u2028y", "\ud800"]
UNFIT: tuple[Literal["Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"], ...] = (
    "Cc",
    "Cf",
    "Cs",
    "Co",
    "Cn",
    "Zl",
    "Zp",
)


@given(st.text(max_size=40), st.integers(0, 30), st.booleans())
def test_a_cell_is_exactly_as_wide_as_it_was_given(text: str, width: int, right: bool) -> None:
    assert cell_len(fitted(text, width, right)) == width


@given(
    st.lists(
        st.builds(
            Cell,
            st.text(max_size=30),
            st.just("text"),
            st.one_of(st.none(), st.integers(0, 20)),
            st.booleans(),
        ),
        max_size=5,
    ),
    st.integers(0, 120),
)
def test_a_line_is_exactly_as_wide_as_the_screen(cells: list[Cell], width: int) -> None:
    assert cell_len(line_text(cells, width)) == width


@given(st.one_of(st.text(), st.sampled_from(HOSTILE)))
def test_nothing_that_acts_passes_the_sanitiser(text: str) -> None:
    cleaned = clean(text)
    assert not {unicodedata.category(char) for char in cleaned} & set(UNFIT)
    assert clean(cleaned) == cleaned


@given(st.text(st.characters(exclude_categories=UNFIT)))
def test_printable_text_is_left_as_it_is(text: str) -> None:
    assert clean(text) == text


def test_lines_keep_their_breaks_and_nothing_else() -> None:
    assert clean_lines("a\nb\x1b") == "a\nb␛"


@given(st.sampled_from(HOSTILE), st.sampled_from(sorted(LOOKS)))
def test_hostile_text_reaches_no_strip(text: str, look: str) -> None:
    strip = strip_of([Cell(f"name {text}")], 30, LOOKS[look])
    assert not {unicodedata.category(c) for s in strip for c in s.text} & set(UNFIT)


def test_what_does_not_fit_says_so() -> None:
    assert fitted("Left bar clamp", 8) == "Left ba…"
    assert fitted("ab", 4, right=True) == "  ab"
    assert cell_len(fitted("日本語の名前", 6)) == 6


@given(
    st.text(st.characters(exclude_categories=UNFIT), max_size=10),
    st.lists(
        st.sampled_from(["left", "right", "home", "end", "backspace", "delete", "x", "½"]),
        max_size=20,
    ),
)
def test_the_caret_stays_in_the_line(text: str, keys: list[str]) -> None:
    typed = Typed.of(text)
    for key in keys:
        answer = typed.press(key, key if len(key) == 1 else None)
        if isinstance(answer, Typed):
            typed = answer
        assert 0 <= typed.caret <= len(typed.text)


def test_typing_in_the_middle() -> None:
    typed = Typed.of("3/16")
    for key in ("home", "2", "right"):
        answer = typed.press(key, key if len(key) == 1 else None)
        assert isinstance(answer, Typed)
        typed = answer
    assert typed.shown() == "23▏/16"
