"""Whether two pages are of one rig: else only what a piece is to the player can be compared."""

from __future__ import annotations

from model.rig.page import Page

LEAST_COMMON = 0.5
"""The share of the smaller page's parts that two pages of one rig have in common at least."""


def why_two_rigs(before: Page, after: Page) -> str:
    """Say why two pages are taken for two rigs, or nothing where they are of one."""
    if before.head.rig != after.head.rig:
        return f"the rigs differ in name: {before.head.rig} and {after.head.rig}"
    common = before.by_id.keys() & after.by_id.keys()
    fewer = min(len(before.parts), len(after.parts))
    if fewer and len(common) < LEAST_COMMON * fewer:
        return f"only {len(common)} of {fewer} parts are on both"
    return ""
