"""From where to where a setting is measured, in words that need no book."""

from __future__ import annotations

from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Piece, Post
from model.rig.tree import rig_tree

CYMBAL = "the cymbal"
"""What a generic boom calls what is on it: a bell or a pad may be."""


def measured_words(like: Page, key: str) -> str:
    """Say from where to where, by name: what hangs there, which mark, and what end A is."""
    words = like.declared[key].measured
    part = like.by_id[like.declared[key].owner]
    for mark in like.marks:
        if mark.name:
            words = words.replace(f"the mark {mark.id}", f"the mark {mark.id} ({mark.name})")
    if part.measured_from in like.by_id:
        start = like.by_id[part.measured_from].name
        words = words.replace(f"{part.measured_from} to ", f"{start} to ", 1)
    if CYMBAL in words and (piece := _only_piece(like, part.id)):
        words = words.replace(CYMBAL, piece)
    tube = part if isinstance(part, Bar) else like.by_id.get(part.on[0])
    if isinstance(tube, Post) and tube.on[0] == FLOOR:
        return words.replace("end A", "rug")
    if not isinstance(tube, Bar) or "end A" not in words:
        return words
    clamp = like.by_id.get(tube.on[0])
    stands = like.by_id.get(clamp.on[0]) if clamp else None
    near = stands or clamp
    return words.replace("end A", f"end A at {near.name}," if near else "end A")


def _only_piece(page: Page, part_id: str) -> str:
    """Return the name of the one piece that hangs on a part; nothing where there are more."""
    below = (page.by_id[id_] for id_ in rig_tree(page).below(part_id))
    names = [part.name for part in below if isinstance(part, Piece)]
    return names[0] if len(names) == 1 else ""
