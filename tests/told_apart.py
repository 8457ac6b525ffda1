"""Two computations of the same page's places, held against each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TypeVar

from model.readings.angles import turn_between
from tests.second_page import Second
from tests.second_turns import Array

WITHIN_MM = 1e-6
WITHIN = 1e-9
"""How far the components of a normal may be apart."""
WITHIN_DEG = 1e-5
"""A direction is told from a lean of 1 degree on, where a normal's error is 60 times its own."""

T = TypeVar("T")
Point = Sequence[float] | Array | None


PLACES = ("surfaces", "clamps", "bars", "posts", "leans")


def differences(mine: Second, other: Second) -> Iterator[str]:
    """Yield what is known to only one of the two, and what lies too far apart."""
    for what in PLACES:
        a, b = getattr(mine, what), getattr(other, what)
        yield from (
            f"{what} {id_}: only the second knows it" for id_ in sorted(a.keys() - b.keys())
        )
        yield from (
            f"{what} {id_}: only the program knows it" for id_ in sorted(b.keys() - a.keys())
        )
    for id_, a, b in _both(mine.surfaces, other.surfaces):
        yield from _apart(f"surface {id_} centre", a[0], b[0], WITHIN_MM)
        yield from _apart(f"surface {id_} normal", a[1], b[1], WITHIN)
    for id_, a, b in _both(mine.clamps, other.clamps):
        yield from _apart(f"clamp {id_}", a, b, WITHIN_MM)
    for id_, a, b in _both(mine.bars, other.bars):
        yield from _apart(f"bar {id_} end A", a[0], b[0], WITHIN_MM)
        yield from _apart(f"bar {id_} end B", a[1], b[1], WITHIN_MM)
        yield from _apart(f"bar {id_} closure", _one(a[2]), _one(b[2]), WITHIN_MM)
    for id_, a, b in _both(mine.posts, other.posts):
        yield from _apart(f"post {id_} end A", a[0], b[0], WITHIN_MM)
        yield from _apart(f"post {id_} end B", a[1], b[1], WITHIN_MM)
    for id_, a, b in _both(mine.edges, other.edges):
        yield from _apart(f"edges {id_}", a, b, WITHIN_MM)
    for id_, m, o in _both(mine.leans, other.leans):
        ahead = turn_between(m.ahead, o.ahead)  # 180 and -180 are the same tilt
        yield from _apart(
            f"lean {id_}", (m.lean, ahead, m.right), (o.lean, 0.0, o.right), WITHIN_DEG
        )
        if m.toward is None or o.toward is None:
            yield from _apart(f"toward {id_}", _one(m.toward), _one(o.toward), WITHIN_DEG)
        else:
            turned = turn_between(m.toward, o.toward)
            yield from _apart(f"toward {id_}", (turned,), (0.0,), WITHIN_DEG)


def _both(a: Mapping[str, T], b: Mapping[str, T]) -> Iterator[tuple[str, T, T]]:
    yield from ((id_, a[id_], b[id_]) for id_ in a if id_ in b)


def _one(number: float | None) -> tuple[float] | None:
    return None if number is None else (number,)


def _apart(what: str, a: Point, b: Point, within: float) -> Iterator[str]:
    if a is None or b is None:
        if (a is None) != (b is None):
            yield f"{what}: {a} by the second, {b} by the program"
    elif not max(abs(p - q) for p, q in zip(a, b, strict=True)) <= within:
        yield f"{what}: {list(a)} by the second, {list(b)} by the program"
