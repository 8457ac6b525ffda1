"""Differences of the joints themselves: what a reading was taken from is taken out first.

A bar that rolled carries its booms' levels with it; the booms did not move. A curved bar carries
the clamps on it round as it bows: there a spin is held against where the tube bulges.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from model.compare.settings import (
    Verdict,
    combined_uncertainty,
    difference_of,
    verdict_of,
    why_unmeasured,
)
from model.compare.spread import spread_of_difference
from model.rig.declared import Declared
from model.rig.page import Page
from model.rig.part import Bar
from model.space.as_read import held_at, joint_settings
from model.space.frames import Array
from model.space.inputs import STEP, trials_for
from model.space.joint_values import held_value, is_converted, rides_on_a_curve
from model.space.memo import Unplaced
from model.space.places import Places, hangs_in_a_ring
from model.space.sureness import Influence, nudged_places


@dataclass(frozen=True, slots=True)
class JointDifference:
    """One joint on two pages: its own values in mm, degrees or teeth, and after less before.

    ``u`` is the combined standard uncertainty, None where nobody said how sure a reading is.
    ``converted`` says that a reading was of something else than the joint, and was worked out.
    """

    declared: Declared
    before: float | int | None
    after: float | int | None
    verdict: Verdict
    difference: float | int | None = None
    u: float | None = None
    why: str = ""
    converted: bool = False


def joint_differences(
    places: tuple[Places, Places], names: tuple[str, str], *, wanted: bool = False
) -> dict[str, JointDifference]:
    """Return the differences of every joint that both pages have, in the second's declared order.

    With ``wanted`` the first page is a home: what is carried there is wanted all the same. What was
    not measured on the second page's night is never compared as if it had been.
    """
    pages = places[0].page, places[1].page
    keys = [key for key in joint_settings(pages[1]) if key in pages[0].declared]
    worked_out = {key for key in keys if any(is_worked_out(at, key) for at in places)}
    spreads = _converted_spreads(places, names, worked_out)
    found: dict[str, JointDifference] = {}
    for key in keys:
        found[key] = _difference(places, key, spreads.get(key), wanted=wanted)
    return found


def is_worked_out(places: Places, key: str) -> bool:
    """Tell whether a joint was read from something that may move besides it: a level, a clamp."""
    part = places.page.by_id[places.page.declared[key].owner]
    kind = places.page.by_kind.get(part.kind or "")
    joint = kind.by_joint.get(key.partition(".")[2]) if kind else None
    if joint is None:
        return False
    if joint.slides == "rail":
        from_clamp = part.measured_from not in (None, "A", "B")
        return from_clamp and part.rail != "inner" and not isinstance(part, Bar)
    is_angle = joint.turns is not None and joint.tooth_deg is None
    return is_angle and (is_converted(places, key) or rides_on_a_curve(places, part, joint))


def _difference(
    places: tuple[Places, Places],
    key: str,
    spread: float | None,
    *,
    wanted: bool,
) -> JointDifference:
    pages = places[0].page, places[1].page
    declared = pages[1].declared[key]
    a, b = (held_at(at, key) for at in places)
    why = _not_comparable(pages, key, (a, b), wanted=wanted)
    if why or a is None or b is None:
        return JointDifference(declared, a, b, "not comparable", why=why)
    settings = pages[0].setting(key), pages[1].setting(key)
    u = spread if spread is not None else combined_uncertainty(declared, *settings, *pages)
    difference = difference_of(a, b, declared)
    verdict = verdict_of(difference, u, declared)
    return JointDifference(declared, a, b, verdict, difference, u, converted=spread is not None)


def _not_comparable(
    pages: tuple[Page, Page],
    key: str,
    values: tuple[float | int | None, float | int | None],
    *,
    wanted: bool,
) -> str:
    settings = pages[0].setting(key), pages[1].setting(key)
    if settings[0].state == settings[1].state == "follows":
        return "it follows on both"
    if why := why_unmeasured(*settings, wanted=wanted):
        return why
    if not is_same_joint(pages, key):
        return "it is another joint, or hangs elsewhere"
    for value, which in zip(values, ("first", "second"), strict=True):
        if value is None:
            return f"where it stands on the {which} cannot be worked out"
    return ""


def is_same_joint(pages: tuple[Page, Page], key: str) -> bool:
    """Tell whether both pages mean the same joint; what goes along a tube or round it, on the same
    tube. A reach is the same one wherever its part hangs."""
    owner, _, name = key.partition(".")
    told: list[tuple[object, ...]] = []
    for page in pages:
        part = page.by_id[owner]
        kind = page.by_kind.get(part.kind or "")
        joint = kind.by_joint.get(name) if kind else None
        if joint is None:
            told.append((part.marks, part.marks_side))
            continue
        about = (joint.turns, joint.slides, joint.teeth, joint.zero, joint.tooth_zero)
        on_a_tube = "rail" in about or isinstance(part, Bar)
        where = (part.on, part.at, part.rail) if on_a_tube else ()
        # On an inner tube a place is as it was read.
        how = (part.measured_from, part.edge) if where and part.rail == "inner" else ()
        told.append((*about, *where, *how))
    return told[0] == told[1]


def _converted_spreads(
    places: tuple[Places, Places], names: tuple[str, str], keys: Iterable[str]
) -> dict[str, float]:
    """Return u of the differences of joints whose readings are of something else besides."""
    wanted = sorted(keys)
    if not wanted:
        return {}
    influences = [_influences(at, wanted) for at in places]
    pages = places[0].page, places[1].page
    return {
        key: spread_of_difference(pages, names, (influences[0][key], influences[1][key]), 1)[0]
        for key in wanted
        if key in influences[0] and key in influences[1]
    }


def _influences(places: Places, keys: Iterable[str]) -> dict[str, list[Influence]]:
    """Return what each joint's own value rests on, and how: central differences, in one batch."""
    rests = {key: held for key in keys if (held := _rests(places, key)) is not None}
    trials = trials_for(places.page, rests)
    nudged = nudged_places(places.page, trials.nudges())
    found: dict[str, list[Influence]] = {}
    for key, inputs in rests.items():
        try:
            value = np.broadcast_to(held_value(nudged, key), (trials.rows,))
        except Unplaced:
            continue
        is_angle = places.page.declared[key].quantity == "angle"
        found[key] = []
        for source in sorted(inputs & trials.inputs.keys()):
            nudge, first = trials.inputs[source], 2 * trials.slot[source]
            rows = value[first : first + 2 * nudge.width]
            up, down = (_away(rows[way::2], value[-1], is_angle=is_angle) for way in (0, 1))
            by, bend = (up - down) / (2.0 * STEP), (up + down) / (STEP * STEP)
            influence = Influence(nudge, by[None, :], bend[None, :])
            if influence.moves:
                found[key].append(influence)
    return found


def _rests(places: Places, key: str) -> frozenset[str] | None:
    part = places.page.by_id[key.partition(".")[0]]
    node = ("joint", key)
    try:
        places.memo.once(node, lambda: held_value(places, key), lambda: hangs_in_a_ring(part))
    except Unplaced:
        return None
    return places.memo.held[node].rests


def _away(rows: Array, at: float, *, is_angle: bool) -> Array:
    gap = rows - at
    return (gap + 180.0) % 360.0 - 180.0 if is_angle else gap
