"""How a crew walk their rack: what they read, what they only look at, what they leave."""

from __future__ import annotations

from collections.abc import Callable, Collection
from random import Random

Choose = Callable[[str, Random], str]
"""What is done about a setting on a walk: ``read``, ``seen`` or ``leave``."""

# Shares read and seen on a full walk, by the setting's name; what is left stays carried.
FULL: dict[str, tuple[float, float]] = {
    "x": (0.9, 0.1),
    "y": (0.9, 0.1),
    "from_1": (0.9, 0.0),
    "from_2": (0.9, 0.0),
    "turn": (0.25, 0.55),
    "height": (0.8, 0.15),
    "grip_a": (0.4, 0.5),
    "grip_b": (0.4, 0.5),
    "place": (0.55, 0.4),
    "spin": (0.4, 0.5),
    "jaw": (0.1, 0.8),
    "rod_spin": (0.1, 0.3),
    "rug": (0.15, 0.0),
    "slope_ahead": (1.0, 0.0),
    "slope_right": (1.0, 0.0),
    "slope": (0.15, 0.0),
    "gap": (0.95, 0.0),
    "leg_1": (0.3, 0.6),
    "leg_2": (0.3, 0.6),
    "leg_3": (0.3, 0.6),
}
DIAL = (0.5, 0.4)
USUAL = (0.65, 0.3)


def full_walk(never: Collection[str], always: Collection[str] = ()) -> Choose:
    """Go round the whole rack: read much, look at the marks of the rest."""

    def choose(key: str, rng: Random) -> str:
        at = rng.random()
        if key in never:
            return "leave"
        if key in always:
            return "read"
        name = key.rsplit(".", 1)[1]
        read, seen = DIAL if ".dial." in key else FULL.get(name, USUAL)
        return "read" if at < read else "seen" if at < read + seen else "leave"

    return choose


def short_walk(keys: Collection[str], also_seen: float) -> Choose:
    """Read the short walk's settings, look at a share of the other marks, leave the rest."""

    def choose(key: str, rng: Random) -> str:
        at = rng.random()
        return "read" if key in keys else "seen" if at < also_seen else "leave"

    return choose


def all_but(never: Collection[str], left: float = 0.0, always: Collection[str] = ()) -> Choose:
    """Read everything but what is never read, and a small share that was forgotten."""

    def choose(key: str, rng: Random) -> str:
        forgotten = rng.random() < left and key not in always
        return "leave" if key in never or forgotten else "read"

    return choose
