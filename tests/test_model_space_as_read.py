"""A page in its joints' own values, and back as its instruments show it: nothing moves."""

from __future__ import annotations

import random

import pytest

from model.rig.page import Page
from model.space.as_read import joint_settings, plain_page, read_page
from tests.program_places import by_program
from tests.random_rigs import random_rig
from tests.sizes import examples
from tests.told_apart import differences

RIGS = examples(400, 5000)
PARTS = 8
"""The rigs are drawn in so many parts, so that a failure names its own seeds."""


@pytest.mark.parametrize("part", range(PARTS))
def test_in_its_joints_own_values_nothing_moves(part: int) -> None:
    wrong = []
    for seed in range(part, RIGS, PARTS):
        page = random_rig(random.Random(seed))
        before, plain = by_program(page), plain_page(page)
        wrong += [f"rig {seed}: {what}" for what in differences(before, by_program(plain))]
        wrong += [f"rig {seed}: {what}" for what in _not_as_read(page, read_page(plain, page))]
    assert not wrong, "\n".join(wrong[:40])


def _not_as_read(page: Page, again: Page) -> list[str]:
    """Return the settings that are not read again as they were."""
    apart = []
    for key in joint_settings(page):
        one, two = page.setting(key), again.setting(key)
        if isinstance(one.value, float) and isinstance(two.value, float):
            gap = (one.value - two.value + 180.0) % 360.0 - 180.0
            if page.declared[key].quantity == "length":
                gap = one.value - two.value
            if abs(gap) > 1e-6:
                apart.append(f"{key}: {one} and {two}")
        elif one != two:
            apart.append(f"{key}: {one} and {two}")
    return apart
