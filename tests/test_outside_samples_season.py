"""What happens to the harbour band's rig over its nights: read with the standard library alone."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from tests.samples.plain import pages_of, value_of

FILL_IN = ("2026-03-21-soundcheck", "2026-03-21-after-fill-in")
SIXTEENTH = 25.4 / 16.0


def _slipping(page: dict[str, Any]) -> tuple[str, float]:
    where = next(i for i, part in page["part"].items() if part.get("serial") == "C-07")
    height = value_of(page, where, "height")
    assert height is not None
    return where, height


def test_the_slipping_clamp_only_goes_down_until_it_is_set_again() -> None:
    pages = list(pages_of("harbour-dance").values())
    slips = [
        _slipping(before)[1] - _slipping(after)[1]
        for before, after in pairwise(pages)
        if before["date"] == after["date"]
    ]
    # A show takes it down by a sixteenth at least: that is what the tape is read to.
    assert len(slips) == 14
    assert min(slips) >= SIXTEENTH - 1e-6
    assert 2.0 <= sum(slips) / len(slips) <= 4.0
    runs, run = [], [_slipping(pages[0])]
    for page in pages[1:]:
        where, height = _slipping(page)
        if where == run[-1][0] and height <= run[-1][1]:
            run.append((where, height))
        else:
            assert where != run[-1][0] or height - run[-1][1] >= 2.0 * SIXTEENTH  # set again
            runs.append(run)
            run = [(where, height)]
    assert len(runs) == 5


def test_its_place_slips_no_more_once_another_clamp_sits_there() -> None:
    later = [
        page for page in pages_of("harbour-dance").values() if _slipping(page)[0] == "clamp-wl-wing"
    ]
    heights = [value_of(page, "clamp-wr-wing", "height") or 0.0 for page in later]
    assert max(heights) - min(heights) <= 3.0 * SIXTEENTH
    assert len(later) > 8


def test_the_fill_in_moved_much_and_it_was_put_back() -> None:
    by_name = pages_of("harbour-dance")
    before, after = (by_name[name] for name in FILL_IN)
    back = by_name["2026-03-22-soundcheck"]
    home = by_name["2026-03-08-soundcheck"]
    assert len(_moved(before, after)) >= 40
    assert len(_moved(after, back)) >= 40
    assert len(_moved(home, back)) <= 12


def _moved(before: dict[str, Any], after: dict[str, Any]) -> set[str]:
    """Return settings that differ by more than 9 mm, 4 degrees, or at all in teeth and words."""
    moved = set()
    for owner, settings in before["record"].items():
        for name, setting in settings.items():
            if owner not in after["record"] or not isinstance(setting, dict) or name == "dial":
                continue
            one, other = value_of(before, owner, name), value_of(after, owner, name)
            if one is None or other is None:
                continue
            bound = {"tape": 9.0, "teeth": 0.5, "eye": 15.0}.get(setting["using"], 4.0)
            if abs(one - other) > bound:
                moved.add(f"{owner}.{name}")
    return moved
