"""Moving a cursor through rows: the same keys on every screen."""

from __future__ import annotations


def moved(action: str | None, cursor: int, count: int, height: int) -> int | None:
    """Return where the cursor is after an action, within ``count`` rows; None for other actions.

    ``height`` rows are in view: a page moves by one less.
    """
    last = max(0, count - 1)
    targets = {
        "up": cursor - 1,
        "down": cursor + 1,
        "page_up": cursor - max(1, height - 1),
        "page_down": cursor + max(1, height - 1),
        "first": 0,
        "last": last,
    }
    if action not in targets:
        return None
    return min(max(targets[action], 0), last)
