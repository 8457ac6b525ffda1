"""One change of a sample page: what is kept from before, and what an open length takes away."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from model.book.page_file import open_page
from model.rig.page import Page
from model.rig.part import Bar
from model.rig.setting import OPEN, Setting
from model.space.answer import page_positions
from model.space.positions import Positions
from tests.sizes import examples

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
CHANGED = ("harbour-dance/2026-03-06-soundcheck", "pit-percussion/2026-04-18-soundcheck")


@cache
def sample(name: str) -> tuple[Page, Positions]:
    page = open_page(SAMPLES / f"{name}.toml").page
    positions = Positions(page)
    page_positions(page, name, positions)  # all of it is worked out
    return page, positions


@st.composite
def changes(draw: st.DrawFn) -> tuple[str, str, Setting]:
    """Draw a sample page and a new line for one setting: another value, open, or following."""
    name = draw(st.sampled_from(CHANGED))
    page, _ = sample(name)
    measured = [d for d in page.declared.values() if d.quantity in ("length", "angle", "teeth")]
    declared = draw(st.sampled_from(measured))
    state = draw(st.sampled_from(("read", "read", "seen", "open", "follows")))
    if state in ("open", "follows"):
        return name, declared.key, Setting.model_validate({"state": state})
    low, high = declared.limit or (-30.0, 30.0)
    value = draw(st.integers(math.ceil(low), math.floor(high)))
    fields = {"state": state, "value": value if declared.quantity == "teeth" else float(value)}
    seen = {"page": "2026-03-01-soundcheck"} if state == "seen" else {}
    return name, declared.key, Setting.model_validate({**fields, **seen, "using": "tape"})


@settings(max_examples=examples(40, 600))
@given(changes())
def test_what_is_kept_from_before_is_what_would_be_worked_out(
    change: tuple[str, str, Setting],
) -> None:
    name, key, setting = change
    page, before = sample(name)
    after = page.with_setting(key, setting)
    kept = page_positions(after, name, Positions(after, before=before))
    assert kept == page_positions(after, name)


@settings(max_examples=examples(30, 300))
@given(st.data())
def test_any_open_length_that_moves_a_sample_piece_makes_it_unknown(data: st.DataObject) -> None:
    page, positions = sample(data.draw(st.sampled_from(CHANGED)))
    piece_id = data.draw(st.sampled_from(sorted(positions.pieces)))
    # A straight bar in two clamps lies where one of its two places says.
    straight = {
        f"{bar.id}.{grip}"
        for bar in page.parts
        if isinstance(bar, Bar) and bar.curve is None and len(bar.on) == 2
        for grip in ("grip_a", "grip_b")
    }
    lengths = [
        influence.source.key
        for influence in positions.sureness[piece_id].influences
        if influence.source.is_setting
        and page.declared[influence.source.key].quantity == "length"
        and page.declared[influence.source.key].assumed is None
        and influence.source.key not in straight
    ]
    assume(lengths)
    key = data.draw(st.sampled_from(lengths))
    opened = Positions(page.with_setting(key, OPEN))
    assert piece_id not in opened.pieces
    assert key in opened.open_settings(piece_id)
