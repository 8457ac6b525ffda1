"""Faults that were found once in places and their sureness, each kept out by its own small rig."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path

import pytest

from model.book.page_file import open_page
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.answer import page_positions
from model.space.positions import Positions
from model.space.scene import scene_of

SAMPLES = Path(__file__).parent.parent / "sample_rigs"


def sample(name: str) -> Page:
    return open_page(SAMPLES / f"{name}.toml").page


def with_value(page: Page, key: str, /, **changes: object) -> Page:
    return page.with_setting(key, page.setting(key).model_copy(update=changes))


def test_a_telescoping_post_with_an_open_height_is_drawn_without_its_inner_tube() -> None:
    page = sample("pit-percussion/2026-04-21-soundcheck")
    key = next(
        k
        for k, d in page.declared.items()
        if d.name == "height"
        and ".height" in k
        and (part := page.by_id[d.owner]).type == "post"
        and part.kind == "telescoping-post"
    )
    scene = scene_of(Positions(page.with_setting(key, Setting(state="open"))), "")
    inner = f"{key.split('.')[0]}.inner"
    assert inner not in {tube.id for tube in scene.tubes}
    assert inner in {tube.id for tube in scene_of(Positions(page), "").tubes}


def test_what_has_no_derivative_still_counts() -> None:
    """Two tapes that just reach each other: the place is known, how sure is not; both are told."""
    page = sample("harbour-dance/2026-03-21-soundcheck")
    tom = next(part for part in page.parts if part.id == "floor-tom")
    assert tom.marks is not None
    (x0, y0), (x1, y1) = (
        (0.0, 0.0) if mark == "zero" else next((m.x, m.y) for m in page.marks if m.id == mark)
        for mark in tom.marks
    )
    between = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    for name, tape in (("from_1", 400.0), ("from_2", between - 400.0)):
        page = with_value(page, f"floor-tom.{name}", value=tape, state="carried", page="before")
    piece = page_positions(page, "").pieces["floor-tom"]
    assert piece.state == "carried"
    assert piece.u95 is None
    assert set(piece.unsure) == {"floor-tom.from_1", "floor-tom.from_2"}


def test_pages_that_are_done_with_are_let_go() -> None:
    """A fault that is kept from page to page must not keep the pages."""
    page = sample("fly-rack/2026-05-10-soundcheck")
    positions = Positions(page)
    assert positions.faults()
    first = weakref.ref(positions)
    key = next(k for k in page.settings if k.endswith(".height"))
    for step in range(3):
        page = with_value(page, key, value=500.0 + step)
        positions = Positions(page, positions)
        assert positions.faults()
    gc.collect()
    assert first() is None


def test_two_turns_as_small_are_a_fault_and_not_a_guess() -> None:
    """A hand that points straight up reads the same turned either way."""
    page = sample("harbour-dance/2026-03-21-soundcheck")
    arm = "tom-1-arm"
    page = with_value(page, f"{arm}.arm_spin", value=0.0)
    page = with_value(page, f"{arm}.spin", value=0.0, read_from="joint")
    flat = ("clamp-fl-front.height", "clamp-fc-left.height")
    for key in flat:
        page = with_value(page, key, value=600.0)
    page = with_value(page, "bar-front-left.bow", value=0.0, read_from="joint")
    page = with_value(page, f"{arm}.tilt", value=40.0)
    answer = page_positions(page, "")
    assert answer.pieces["tom-1"].state == "unknown"
    assert any(fault.key == f"record.{arm}.tilt" for fault in answer.faults)


@pytest.mark.parametrize("slope", [80.0, -89.0])
def test_a_floor_that_no_riser_has_is_named(slope: float) -> None:
    page = sample("harbour-dance/2026-03-21-soundcheck")
    for key in ("floor.slope_ahead", "floor.slope_right"):
        page = with_value(page, key, value=slope)
    answer = page_positions(page, "")
    assert [fault.key for fault in answer.faults] == ["record.floor.slope_ahead"]
    assert answer.pieces["throne"].state == "read"
    assert answer.pieces["tom-1"].state == "unknown"


def test_carried_and_seen_are_named_however_little_they_count() -> None:
    page = sample("harbour-dance/2026-03-21-soundcheck")
    for piece in page_positions(page, "").pieces.values():
        if piece.state in ("carried", "seen"):
            assert getattr(piece, piece.state), piece.name
