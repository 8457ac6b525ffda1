"""The sample rigs close: checked from the written conventions alone, with the standard library.

Nothing of Clampbook is imported here. What is used: x to the player's right, y ahead, z up; a bar
beside a post passes it at its standoff, left or right seen from A to B; a place is millimetres
along the bar's axis from end A; a curved bar is a circular arc with R = c²/8s + s/2.
"""

from __future__ import annotations

import math
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from tests.samples.plain import PAGES, page_at, pages_of, value_of

TAPE = 1.7
"""u of a tape, mm: ±3 mm as a bound of a rectangular distribution. From memory."""
LAID_AGAIN = {"read": 0.0, "seen": 1.0, "carried": 5.0}
"""How far a value may have moved since it was read, one standard deviation, mm. From memory."""


def _u(page: dict[str, Any], owner: str, name: str) -> float:
    setting = page["record"][owner][name]
    state = next(s for s in LAID_AGAIN if s in setting)
    return math.hypot(TAPE, LAID_AGAIN[state])


def _clamp(page: dict[str, Any], clamp: str, side: str) -> tuple[float, float, float, float] | None:
    """Return x, y, z of the clamp's centre, and how far the bar passes to the post's right."""
    part, kind = page["part"][clamp], page["kind"][page["part"][clamp]["kind"]]
    at = [value_of(page, part["on"], "x"), value_of(page, part["on"], "y")]
    height = value_of(page, clamp, "height")
    if at[0] is None or at[1] is None or height is None:
        return None
    if part.get("edge") == "top":  # the far edge: the centre is half a depth below it
        height -= kind["body"] / 2.0
    jaw = kind["ends"]["jaw"]
    aside = jaw["standoff"] if jaw["holds"] == "beside" else 0.0
    return at[0], at[1], height, aside if side == "right" else -aside


def _between_grips(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float]
) -> float:
    """Return how far the bar's two grip points are apart: its direction found by iterating."""
    along = math.atan2(b[0] - a[0], b[1] - a[1])
    for _ in range(60):
        right = (math.cos(along), -math.sin(along))
        dx = b[0] + b[3] * right[0] - a[0] - a[3] * right[0]
        dy = b[1] + b[3] * right[1] - a[1] - a[3] * right[1]
        along = math.atan2(dx, dy)
    return math.sqrt(dx * dx + dy * dy + (b[2] - a[2]) ** 2)


def _along_bar(part: dict[str, Any], first: float, second: float) -> float:
    """Return the straight distance of two places of a bar: the chord of a curved one's arc."""
    curve = part.get("curve")
    if curve is None:
        return second - first
    s, c = curve["sagitta"], curve.get("chord")
    if c is None and curve.get("along") == "chord":
        c = curve["length"]
    if c is None:  # an arc, or unknown, which differs by a few millimetres at most
        c = _chord_of_arc(curve["length"], s)
    radius: float = c * c / (8.0 * s) + s / 2.0
    return 2.0 * radius * math.sin((second - first) / (2.0 * radius))


def _chord_of_arc(arc: float, sagitta: float) -> float:
    low, high = 0.5 * arc, arc
    for _ in range(80):
        chord = (low + high) / 2.0
        radius = chord * chord / (8.0 * sagitta) + sagitta / 2.0
        if 2.0 * radius * math.asin(chord / (2.0 * radius)) < arc:
            low = chord
        else:
            high = chord
    return chord


def _closures(page: dict[str, Any]) -> list[tuple[str, float, float]]:
    """Return each two-grip bar whose loop is known: its id, its closure, and u of that, in mm."""
    found = []
    for bar, part in page["part"].items():
        if part["type"] != "bar" or not isinstance(part["on"], list):
            continue
        sides = part.get("side", ["right", "right"])
        ends = [_clamp(page, clamp, side) for clamp, side in zip(part["on"], sides, strict=True)]
        grips = [value_of(page, bar, name) for name in ("grip_a", "grip_b")]
        if ends[0] is None or ends[1] is None or grips[0] is None or grips[1] is None:
            continue
        apart = _between_grips(ends[0], ends[1])
        closure = _along_bar(part, grips[0], grips[1]) - apart
        found.append((bar, closure, _closure_u(page, bar, part["on"], ends[0], ends[1])))
    return found


def _closure_u(
    page: dict[str, Any],
    bar: str,
    clamps: list[str],
    a: tuple[float, float, float, float],
    b: tuple[float, float, float, float],
) -> float:
    """Return u of a closure, mm: each reading's, by how much it turns into length of the bar."""
    reach = math.dist(a[:3], b[:3])
    share = [abs(q - p) / reach for p, q in zip(a[:3], b[:3], strict=True)]
    total = _u(page, bar, "grip_a") ** 2 + _u(page, bar, "grip_b") ** 2
    for clamp in clamps:
        post = page["part"][clamp]["on"]
        total += (share[0] * _u(page, post, "x")) ** 2 + (share[1] * _u(page, post, "y")) ** 2
        total += (share[2] * _u(page, clamp, "height")) ** 2
    return math.sqrt(total)


@pytest.mark.parametrize("path", PAGES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_every_two_grip_bar_closes(path: Path) -> None:
    # Three standard uncertainties; on a page that was all read that is about 10 mm.
    for bar, closure, u in _closures(page_at(path)):
        assert abs(closure) < 3.0 * u, f"{bar} is {closure:.1f} mm off, u {u:.1f}"


def test_the_closures_have_no_bias_and_there_are_many() -> None:
    all_read = [
        closure
        for path in PAGES
        for _, closure, u in _closures(page_at(path))
        if u < 3.6  # nothing carried, hardly anything only seen
    ]
    assert len(all_read) > 30
    # Their mean is known to u/√n, and hardly any two pages share a reading.
    assert abs(sum(all_read) / len(all_read)) < 3.0 * 3.5 / math.sqrt(len(all_read))


def test_a_misread_inch_would_not_close() -> None:
    page = deepcopy(pages_of("harbour-dance")["2026-03-08-soundcheck"])
    misread = 25.4 + (value_of(page, "bar-wing-left", "grip_b") or 0.0)
    page["record"]["bar-wing-left"]["grip_b"] = {"read": misread}
    off = {bar for bar, closure, u in _closures(page) if abs(closure) >= 3.0 * u}
    assert off == {"bar-wing-left"}


@pytest.mark.parametrize("path", PAGES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_feet_clamps_and_seat_are_where_a_rack_has_them(path: Path) -> None:
    page = page_at(path)
    for owner, part in page["part"].items():
        settings = page["record"][owner]
        if part["type"] == "post" and value_of(page, owner, "x") is not None:
            assert abs(value_of(page, owner, "x") or 0.0) <= 1000.0
            assert -200.0 <= (value_of(page, owner, "y") or 0.0) <= 1300.0
        if part["type"] == "mount" and "height" in settings and part["on"].startswith("post"):
            height = value_of(page, owner, "height")
            length = page["part"][part["on"]]["length"]
            assert height is None or 300.0 <= height <= length, owner
        if part.get("kind") == "floor-seat":
            assert 450.0 <= (value_of(page, owner, "height") or 0.0) <= 650.0
            assert math.hypot(*(value_of(page, owner, name) or 0.0 for name in "xy")) < 80.0
        if part.get("role") == "kick":
            assert 400.0 <= (value_of(page, owner, "y") or 0.0) <= 900.0


def test_the_hats_are_on_the_players_left_and_the_floor_tom_on_the_right() -> None:
    for page in pages_of("harbour-dance").values():
        hung_on = page["part"]["hat-stand"]["on"]
        clamps = page["part"][hung_on]["on"]
        posts = [page["part"][clamp]["on"] for clamp in clamps]
        assert all((value_of(page, post, "x") or 0.0) < 0.0 for post in posts)
        assert page["part"]["floor-tom"]["marks_side"] == "right"


def _floor_tom(page: dict[str, Any]) -> tuple[float, float]:
    """Two tapes meet: from the zero mark and from the mark ahead of it, on the right."""
    one, other = value_of(page, "floor-tom", "from_1"), value_of(page, "floor-tom", "from_2")
    assert one is not None
    assert other is not None
    ahead = page["mark"]["ahead"]["y"]
    y = (one * one - other * other + ahead * ahead) / (2.0 * ahead)
    return math.sqrt(one * one - y * y), y


def test_the_two_tapes_of_the_floor_tom_meet_at_the_players_right_knee() -> None:
    for page in pages_of("harbour-dance").values():
        x, y = _floor_tom(page)
        assert 400.0 <= x <= 520.0
        assert 60.0 <= y <= 180.0


def test_the_brace_reaches_the_floor() -> None:
    for page in pages_of("harbour-dance").values():
        height = value_of(page, "clamp-wl-brace", "height")
        grip = value_of(page, "brace", "grip")
        assert height is not None
        assert grip is not None
        slope = math.degrees(math.asin((height - 20.0) / grip))
        assert 50.0 <= slope <= 62.0
        check = page["record"]["brace"]["slope"]
        assert check["follows"] is True
        if "read" in check:
            # The level's half degree, its rounding, and the riser's slope below the level.
            assert abs(check["read"] - slope) <= 3.0
