"""How a page begins: all is carried from the page where it was read, nothing else taken over."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.book.begin import Begin
from model.book.edits import SettingEdit, edit_text
from model.book.tokens import index_text
from model.book.write import write_page
from model.readings.instruments import GENERIC_INSTRUMENTS
from model.rig.kind import Kind
from model.rig.page import Page, Remarks
from model.rig.setting import Setting
from tests.beginning import BEGAN, begun, source
from tests.shapes import PAGE, SHAPES, STORY
from tests.sizes import examples
from tests.strategies import CREW, pages
from tests.strategies_parts import kinds
from tests.strategies_values import moments, picks, texts


@st.composite
def begins(draw: st.DrawFn) -> tuple[Page, Begin, tuple[Kind, ...]]:
    """A page, what is begun with, and the book's kinds."""
    crew = tuple(picks(draw, CREW, 2))
    start = Begin(draw(st.dates()), draw(moments()), draw(texts()), draw(texts()), crew)
    return draw(pages(most_parts=5)), start, kinds(draw)


@settings(max_examples=examples(short=100, long=3_000))
@given(begins())
def test_any_page_begins_as_its_value_says(case: tuple[Page, Begin, tuple[Kind, ...]]) -> None:
    page, start, book_kinds = case
    text, after = begun(source(write_page(page)), start, GENERIC_INSTRUMENTS, book_kinds)
    assert after.parts == page.parts
    assert (after.marks, after.spots) == (page.marks, page.spots)
    assert not after.head.closed
    assert all(remarks == Remarks() for _, remarks in after.remarks)
    assert {note for _, note in after.crew} <= {""}
    assert {kind.id for kind in book_kinds} <= set(after.by_kind)
    assert all(after.by_kind[kind.id] == kind for kind in book_kinds)
    assert text == write_page(after)  # from the layout comes the layout
    for key, setting in after.record:
        before = page.setting(key)
        assert setting.state in ("carried", "open", "follows")
        assert setting.note is None or setting.state == "open"
        if setting.state == "carried":
            assert setting.value == before.value
            was_read = before.state == "read"
            assert setting.page == ("2025-03-14-soundcheck" if was_read else before.page)


@pytest.mark.parametrize("shape", SHAPES)
def test_a_page_of_any_shape_by_hand_begins_as_the_same_page(shape: str) -> None:
    file = source(SHAPES[shape](PAGE))
    text, page = begun(file)
    assert shape == "a value over lines" or page.record == begun(source(PAGE))[1].record
    assert "\r" not in text
    assert (STORY in text) == ("[story]" in file.text)


def test_tables_below_a_part_and_a_head_over_lines_travel() -> None:
    text = PAGE.replace(
        "weight = { kg = 2.9 }\n", "\n# weighed at home\n[part.tom-1.weight]\nkg = 2.9\n"
    )
    text = text.replace(
        'venue = "Old Tram Shed"', 'venue = """Old\nTram Shed"""\ntags = [\n"a",\n]'
    )
    text = text.replace(
        "[kind.ball-arm]", "[[extra]]\na = 1\n\n[[extra]]\na = 2\n\n[kind.ball-arm]"
    )
    after, page = begun(source(text))
    assert "\n# weighed at home\n[part.tom-1.weight]\nkg = 2.9\n" in after
    assert page.head.venue == "Harbour Hall"
    assert page.head.extra == (("tags", '["a"]'), ("extra", "[{ a = 1 }, { a = 2 }]"))


def test_each_state_begins_as_what_is_known_of_it() -> None:
    _, page = begun(source(PAGE))
    read = page.setting("clamp-l.height")
    assert (read.state, read.value, read.page) == ("carried", 812.8, "2025-03-14-soundcheck")
    assert (read.using, read.by) == ("tape", "AK")
    assert page.setting("bar.grip_b").u == 4.0
    assert page.setting("bar.grip_b").note is None
    assert page.setting("ride-boom.reach").limit == (0.0, 400.0)
    seen = page.setting("ride-boom.place")
    assert (seen.state, seen.value, seen.page) == ("carried", 310.0, "2025-03-13-soundcheck")
    assert page.setting("post-l.turn").page == "2025-03-12-soundcheck"
    assert page.setting("tom-arm.tilt") == Setting(state="open")
    assert page.setting("clamp-l.spin") == Setting(state="follows")
    assert page.setting("kick.dial.beater_angle").value == "third notch"


def test_a_check_of_a_following_setting_stays_with_its_night() -> None:
    text = PAGE.replace(
        "clamp-l.spin = { follows = true }", "clamp-l.spin = { follows = true, read = 3.5 }"
    )
    assert source(text).page.setting("clamp-l.spin").value == 3.5
    assert begun(source(text))[1].setting("clamp-l.spin") == Setting(state="follows")


def test_through_a_chain_of_nights_the_page_of_the_reading_stays() -> None:
    text = PAGE
    names = [f"2025-03-{day}-soundcheck" for day in range(14, 24)]
    read_on = "2025-03-17-soundcheck"
    for name in names:
        if name == read_on:
            edit = SettingEdit("double.place", Setting(state="read", value=700.5, using="tape"))
            text, _ = edit_text(text, index_text(text), edit)
        day = date.fromisoformat(name[:10]) + timedelta(days=1)
        start = Begin(day, BEGAN + timedelta(days=day.day), "soundcheck", "Hall")
        text, page = begun(source(text, name), start)
        assert page.head.begun_from == name
    assert (page.setting("double.place").value, page.setting("double.place").page) == (
        700.5,
        read_on,
    )
    assert page.setting("clamp-l.height").page == "2025-03-14-soundcheck"
    assert page.setting("post-l.turn").page == "2025-03-12-soundcheck"
    assert page.setting("kick.x").page == "2025-03-13-soundcheck"


def test_comments_and_unknown_keys_of_parts_and_kinds_travel() -> None:
    text, page = begun(source(PAGE))
    assert 'felt_colour = "red"  # a key Clampbook does not know: kept\n' in text
    assert "tube = 36.9  # measured: the old tube\n" in text
    assert 'on = ["clamp-l", "clamp-r"]  # end A lies toward the first\n' in text
    assert "body = 40.0  # depth along the tube: top edge to bottom edge\n" in text
    assert 'chain = ["slide", "spin", "tilt"]  # root to tip\n' in text
    assert page.by_id["splash"].extra == (("felt_colour", '"red"'),)


def test_comments_notes_and_photos_of_the_record_stay_behind() -> None:
    text, page = begun(source(PAGE))
    for gone in (
        "the case lid",
        "Wing bolt stiff",
        "clamp-l-1.jpg",
        "end cap",
        "Rug moved",
        "unloaded",
    ):
        assert gone in PAGE
        assert gone not in text
    assert dict(page.crew) == {"AK": "", "JM": "", "ZZ": ""}


def test_the_head_says_tonight_and_keeps_its_own_comments_and_keys() -> None:
    text = PAGE.replace(
        'rig = "Two-post side rack"\n', 'rig = "Side rack"  # the small one\n# odd\n'
    )
    text = text.replace(
        "closed = false\n", 'closed = true  # after the show\nreason = "lower"\nhire = "H 12"\n'
    )
    assert source(text).page.head.reason == "lower"
    after, page = begun(source(text))
    assert page.head.model_dump(exclude={"extra"}) == {
        "format": 1,
        "rig": "Side rack",
        "date": date(2025, 3, 15),
        "began": BEGAN,
        "moment": "soundcheck",
        "venue": "Harbour Hall",
        "begun_from": "2025-03-14-soundcheck",
        "closed": False,
        "reason": "",
    }
    assert "lower" not in after
    assert page.head.extra == (("hire", '"H 12"'),)
    assert 'rig = "Side rack"  # the small one\n# odd\n' in after
    assert "after the show" not in after


def test_parts_added_above_the_crew_lines_are_tidied() -> None:
    mine = '[part.shaft]\ntype = "mount"\nname = "Shaft"\non = "double"\n'
    text = PAGE.replace("# added on this page by AK", f"{mine}\n# added on this page by AK", 1)
    after, page = begun(source(text))
    assert page.by_id["shaft"].name == "Shaft"
    for name in ("AK", "JM", "ZZ"):
        assert after.count(f"# added on this page by {name}\n") == 2
    rig = after[after.index("# ---- the rig") : after.index("# ---- the record")]
    assert rig.index("[part.shaft]") < rig.index("# added on this page by AK")
    assert after.count("\n\n\n") == 0
