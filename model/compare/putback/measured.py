"""From where to where a setting is measured, in words that need no book."""

from __future__ import annotations

from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Post


def measured_words(like: Page, key: str) -> str:
    """Say from where to where, and what end A is: a post's rug, a bar's first clamp."""
    words = like.declared[key].measured
    part = like.by_id[like.declared[key].owner]
    tube = part if isinstance(part, Bar) else like.by_id.get(part.on[0])
    if isinstance(tube, Post) and tube.on[0] == FLOOR:
        return words.replace("end A", "rug")
    if not isinstance(tube, Bar) or "end A" not in words:
        return words
    clamp = like.by_id.get(tube.on[0])
    stands = like.by_id.get(clamp.on[0]) if clamp else None
    near = stands or clamp
    return words.replace("end A", f"end A at {near.name}," if near else "end A")
