"""Where a part stands on the floor, from two tapes: two circles about two marks."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from model.rig.declared import AnyPart
from model.rig.floor_point import crossing, mark_points
from model.rig.record_flags import flag_of
from model.space.frames import Array, settled, stacked
from model.space.memo import Unplaced

if TYPE_CHECKING:
    from model.space.places import Places


def standing_point(places: Places, part: AnyPart) -> Array:
    """Return the point (B, 3) on the rug where the two tapes of a part meet, mm.

    They meet in two points; ``marks_side`` is the side of the line from the first mark to the
    second.
    """
    assert part.marks is not None
    points = mark_points(places.page)
    for mark in part.marks:
        if mark not in points:
            raise Unplaced(
                flag_of(
                    "no-such-mark",
                    f"part.{part.id}.marks",
                    f"{part.name} is taped from {mark}, and the page has no such mark",
                    right="[mark.ahead] with x and y, or zero",
                )
            )
    first, second = (points[mark] for mark in part.marks)
    a, b = np.broadcast_arrays(
        *(places.values.number(f"{part.id}.{name}") for name in ("from_1", "from_2"))
    )
    meeting = (crossing(first, second, tapes, part.marks_side) for tapes in zip(a, b, strict=True))
    met = np.array([point or (np.nan, np.nan) for point in meeting])
    if settled(a, b) and not settled(met):
        raise Unplaced(
            flag_of(
                "tapes-apart",
                f"record.{part.id}.from_1",
                f"{part.name}: tapes of {a[0]:.0f} mm and {b[0]:.0f} mm from marks "
                f"{math.dist(first, second):.0f} mm apart do not meet",
                "no point of the rug is so far from both",
                "both tapes read again, each from its own mark",
            )
        )
    return stacked(met[:, 0], met[:, 1], np.zeros(len(met)))
