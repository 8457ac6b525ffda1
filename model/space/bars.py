"""How a bar hangs: in one clamp, between two, or from one to the floor."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from model.rig.kind import Kind
from model.rig.part import Bar
from model.space.frames import Array
from model.space.memo import Unplaced
from model.space.one_grip import on_one_grip
from model.space.rails import Bow, Rail, bow_of
from model.space.two_grips import on_two_grips

if TYPE_CHECKING:
    from model.space.places import Places


@dataclass(frozen=True, slots=True)
class Hung:
    """A bar as it hangs: its rail, and how much its two grips are apart more than its places say.

    ``closure`` is in mm, None for one grip or where a place is not known.
    """

    rail: Rail
    closure: Array | None = None


def hang_bar(places: Places, bar: Bar, kind: Kind) -> Hung:
    """Return the bar as its clamps hold it; raises :class:`Unplaced`."""
    bow = own_curve(bar)
    length = bow.length if bow else bar.length
    if len(bar.on) == 2:
        return Hung(*on_two_grips(places, bar, kind, bow, length))
    return Hung(on_one_grip(places, bar, kind, bow, length))


def own_curve(bar: Bar) -> Bow | None:
    """Return a curved bar's radius and length, None for a straight one; raises Unplaced."""
    if bar.curve is None:
        return None
    bow = bow_of(bar, bar.curve)
    if isinstance(bow, Bow):
        return bow
    raise Unplaced(bow)
