"""Counting: how many settings of a page are in each state, and how many parts of each sort."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # a list of pages counts without loading what a page is made of
    from model.rig.page import Page


def count_states(states: Iterable[str]) -> dict[str, int]:
    """Count states by name, every state present."""
    counted = Counter(states)
    return {
        state: counted.get(state, 0) for state in ("read", "seen", "carried", "open", "follows")
    }


def count_settings(page: Page) -> dict[str, int]:
    """Count the declared settings by state; one that the record lacks is open."""
    return count_states(page.setting(key).state for key in page.declared)
