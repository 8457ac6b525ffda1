"""The second computation of places against the contact that its bars are said to have.

Elementary geometry of lines in space; the bars are those of random rigs.
"""

from __future__ import annotations

import random

import pytest

from model.rig.page import Page
from model.rig.part import Bar
from tests.random_faults import FAULTS
from tests.random_rigs import random_rig
from tests.second_page import second
from tests.second_places import SecondPlaces
from tests.second_turns import Array, cross, unit

RIGS = 60


def held_beside(page: Page, bar: Bar) -> list[tuple[str, float]]:
    """Return the clamps that hold a bar beside, each with its standoff; none of any other sort."""
    found = []
    for on in bar.on:
        kind = page.by_kind[page.by_id[on].kind or ""]
        outlet = next(o for o in kind.outlets if o.holds)
        if outlet.holds != "beside" or not kind.on_rail or len(kind.joints) != 2:
            return []
        found.append((on, outlet.standoff or 0.0))
    return found


def test_bars_touch_the_clamps_that_hold_them() -> None:
    touched = 0
    for seed in range(RIGS):
        page = random_rig(random.Random(seed))
        places, found = SecondPlaces(page), second(page)
        for id_, (end_a, end_b, _) in found.bars.items():
            bar = page.by_id[id_]
            assert isinstance(bar, Bar)
            if bar.curve is not None or len(bar.on) != 2 or end_b is None:
                continue
            line = unit(end_b - end_a)
            sides = bar.side or ("right", "right")
            for (clamp, standoff), side in zip(held_beside(page, bar), sides, strict=False):
                on_rail = places.clamped(page.by_id[clamp])
                off, grip = across(end_a, line, on_rail.centre, on_rail.tangent)
                way = 1.0 if side == "right" else -1.0
                assert off * way == pytest.approx(standoff, abs=1e-9)
                # The bar passes the clamp at the clamp's own height along the tube.
                assert grip == pytest.approx(0.0, abs=1e-9)
                touched += 1
    assert touched > 10


def across(point: Array, line: Array, centre: Array, rail: Array) -> tuple[float, float]:
    """Return the bar's signed distance to the right of a rail, and where along the rail it is.

    Right is line × rail; the place on the rail that is nearest to the line is told from its
    clamp's centre, in mm.
    """
    right = unit(cross(line, rail))
    off = float((point - centre) @ right)
    aside = unit(cross(right, line))
    return off, float((point - centre) @ aside) / float(rail @ aside)


def test_a_fault_makes_something_unknown() -> None:
    lost = dict.fromkeys(FAULTS, 0)
    for seed in range(RIGS // 3):
        page = random_rig(random.Random(seed))
        before = second(page)
        for fault in FAULTS:
            spoiled = fault(random.Random(seed), page)
            if spoiled is not None:
                after = second(spoiled)
                gone = [
                    getattr(before, what).keys() - getattr(after, what).keys()
                    for what in ("surfaces", "clamps", "bars", "posts")
                ]
                lost[fault] += any(gone)
    assert all(count >= 1 for count in lost.values()), lost
