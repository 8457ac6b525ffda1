"""What can be wrong with a bar between its clamps: each with the part and the numbers."""

from __future__ import annotations

from collections.abc import Sequence

from model.errors import Problem
from model.rig.part import Bar
from model.rig.record_flags import flag_of
from model.space.frames import Array, settled
from model.space.memo import Unplaced

SLACK = 10.0
"""How much too short a whole bar may come out, mm: readings are not exact (common practice, no
source)."""


def cannot_reach(bar: Bar, apart: float, whole: float, length: float | None) -> None:
    """Raise :class:`Unplaced` where a bar's clamps are farther apart than the whole bar."""
    if apart > whole + SLACK:
        raise Unplaced(
            flag_of(
                "cannot-reach",
                f"part.{bar.id}",
                f"{bar.name} cannot reach: its clamps are {apart:.0f} mm apart, and from end to "
                f"end it is {whole:.0f} mm" + ("" if whole == length else " straight"),
                "a post's place, a clamp's height or the bar's length is not right",
                f"clamps at most {whole:.0f} mm apart, or a bar of {apart:.0f} mm and more",
            )
        )


def cannot_pass(bar: Bar, apart: float) -> Problem:
    """Return the fault of a bar that finds no line past its two clamps."""
    return flag_of(
        "cannot-pass",
        f"part.{bar.id}.side",
        f"{bar.name} cannot pass its two clamps, {apart:.0f} mm apart, on those sides",
        "no straight line keeps both standoffs",
        'side = ["right", "right"], or clamps farther apart',
    )


def at_one_place(bar: Bar) -> Problem:
    """Return the fault of a bar whose two clamps are at one place."""
    return flag_of(
        "one-place",
        f"part.{bar.id}.on",
        f"{bar.name}: its two clamps, {' and '.join(bar.on)}, are at one place",
        "there is no line from the one to the other",
        "two clamps apart, or one clamp alone",
    )


def check_grips(bar: Bar, on_bar: Sequence[Array], length: float | None) -> None:
    """Raise :class:`Unplaced` where a grip is beyond an end, or the two are the wrong way round."""
    values = [float(place[0]) for place in on_bar if settled(place)]
    for value in values:
        if value < -1e-6 or (length is not None and value > length + 1e-6):
            raise Unplaced(beyond_end(bar.name, f"part.{bar.id}", "grip", value, length))
    if len(values) == 2 and values[0] >= values[1]:
        raise Unplaced(
            flag_of(
                "grips-reversed",
                f"part.{bar.id}.on",
                f"{bar.name}: its first clamp grips at {values[0]:.1f} mm and its second at "
                f"{values[1]:.1f} mm from end A",
                "end A lies toward the first clamp",
                "the two clamps, or the two places, the other way round",
            )
        )


def beyond_end(
    name: str, key: str, what: str, place: float, length: float | None, low: float = 0.0
) -> Problem:
    """Return the fault of a place that is not on its rail, mm from end A."""
    high = "" if length is None else f" to {length:.1f}"
    return flag_of(
        "beyond-end",
        key,
        f"{name}: its {what} is at {place:.1f} mm of a rail that goes from {low:.1f}{high} mm",
        "a clamp cannot hold beyond a tube's end",
        "the place read again, or the tube's length",
    )


def needs_length(bar: Bar, why: str) -> Problem:
    """Return the fault of a bar whose length is needed and not known."""
    return flag_of(
        "no-length",
        f"part.{bar.id}.length",
        f"{bar.name}: {why}, and its length is not known",
        right="length = 762.0",
    )


def no_slope(bar: Bar, name: str) -> Problem:
    """Return the fault of a slope or a bow that nothing fixes."""
    return flag_of(
        "no-such-turn",
        f"record.{bar.id}.{name}",
        f"{bar.name}: its {name} cannot be had from the zero line, or follows nothing",
        "a level or a protractor tells it",
        f"{name} read with a level",
    )
