"""Where a part stands: two tapes from two marks meet where x and y say."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.book.read import parse_page
from model.rig.floor_point import floor_point
from model.rig.page import Page
from model.rig.setting import Setting

DATA = Path(__file__).parent / "data" / "page_two_post.toml"


def taped(side: str, mark: tuple[float, float], a: float, b: float) -> Page:
    text = DATA.read_text().replace(
        "[part.throne]", f"[mark.ahead]\nx = {mark[0]}\ny = {mark[1]}\n\n[part.throne]"
    )
    text = text.replace(
        'role = "throne"', f'role = "throne"\nmarks = ["zero", "ahead"]\nmarks_side = "{side}"'
    )
    page = parse_page(text).page
    assert page is not None
    for key, value in (("throne.from_1", a), ("throne.from_2", b)):
        page = page.with_setting(key, Setting(state="read", value=value))
    return page


def test_a_three_four_five_triangle_on_either_side() -> None:
    # Marks 500 apart along the zero line, tapes of 300 and 400: the right angle is at the part.
    for side, x in (("right", 240.0), ("left", -240.0)):
        page = taped(side, (0.0, 500.0), 300.0, 400.0)
        assert floor_point(page, page.by_id["throne"]) == pytest.approx((x, 180.0))


coordinates = st.floats(-2000, 2000).map(lambda v: round(v, 1))


@given(coordinates, coordinates, coordinates, coordinates)
def test_tapes_of_a_point_lead_back_to_it(x: float, y: float, mx: float, my: float) -> None:
    if math.hypot(mx, my) < 100:
        return
    right = x * my - y * mx  # over the line from the zero mark to the other: its right is positive
    if abs(right) < 1e5:
        return
    page = taped(
        "right" if right > 0 else "left", (mx, my), math.hypot(x, y), math.hypot(x - mx, y - my)
    )
    assert floor_point(page, page.by_id["throne"]) == pytest.approx((x, y), abs=0.05)


def test_what_is_not_known_is_nowhere() -> None:
    page = taped("right", (0.0, 500.0), 100.0, 100.0)  # tapes that do not reach each other
    assert floor_point(page, page.by_id["throne"]) is None
    plain = parse_page(DATA.read_text()).page
    assert plain is not None
    open_x = plain.with_setting("throne.x", Setting(state="open"))
    assert floor_point(open_x, open_x.by_id["throne"]) is None
    assert floor_point(plain, plain.by_id["throne"]) == (0.0, 0.0)
