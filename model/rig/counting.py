"""Counting: how many settings of a page are in each state, and how many parts of each sort."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
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
    """Count the page's settings by state, declared ones that the record lacks as open."""
    keys = {*page.declared, *page.settings}
    return count_states(page.setting(key).state for key in keys)


def count_parts(page: Page) -> Mapping[str, int]:
    """Count the parts by sort and kind: ``mount: boom-on-clamp``."""
    return Counter(f"{part.type}: {part.kind or '-'}" for part in page.parts)
