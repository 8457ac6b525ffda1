"""What a part's place rests on, and which pieces rest on a part."""

from __future__ import annotations

from collections.abc import Iterator

from model.rig.page import Page
from model.rig.part import Piece


def rests_on(page: Page, part_id: str) -> tuple[str, ...]:
    """Return a part and every part that its place rests on, up to the floor, in the page's order.

    A bar rests on both its clamps; a part whose place is counted from another clamp rests on that
    one too. Parts that are not there, and parts that hang on each other, end the way.
    """
    found: set[str] = set()
    waiting = [part_id]
    while waiting:
        here = waiting.pop()
        if here in page.by_id and here not in found:
            found.add(here)
            waiting.extend(_holds(page, here))
    return tuple(id_ for id_ in page.by_id if id_ in found)


def _holds(page: Page, part_id: str) -> Iterator[str]:
    part = page.by_id[part_id]
    yield from part.on
    if part.measured_from is not None:
        yield part.measured_from


def pieces_resting(page: Page) -> dict[str, tuple[str, ...]]:
    """Return for each part the pieces whose place rests on it, itself among them if it is one."""
    resting: dict[str, list[str]] = {part_id: [] for part_id in page.by_id}
    for part in page.parts:
        if isinstance(part, Piece):
            for held in rests_on(page, part.id):
                resting[held].append(part.id)
    return {part_id: tuple(pieces) for part_id, pieces in resting.items()}
