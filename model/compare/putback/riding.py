"""What rides on a bar: the clamps on it go round with it, and nobody has loosened them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING

from model.readings.angles import turn_between
from model.rig.page import Page
from model.rig.part import Bar
from model.rig.setting import Setting
from model.space.as_read import held_at
from model.space.places import Places

if TYPE_CHECKING:
    from model.compare.putback.basis import Basis

PASSES = 4  # bars on bars on bars: deeper than any rack


def spins_on_bars(rig: Page) -> dict[str, str]:
    """Return the spins of what is clamped to bars, each with its bar; no bar's own, none that
    follows."""
    found: dict[str, str] = {}
    for part in rig.parts:
        kind = rig.by_kind.get(part.kind or "")
        carrier = rig.by_id.get(part.on[0])
        if kind is None or isinstance(part, Bar) or not isinstance(carrier, Bar):
            continue
        for joint in kind.joints:
            if joint.turns == "rail" and rig.setting(f"{part.id}.{joint.id}").state != "follows":
                found[f"{part.id}.{joint.id}"] = carrier.id
    return found


def ridden(
    basis: Basis,
    page: Page,
    keys: Collection[str],
    rolls: Mapping[str, float],
    freed: Collection[str] = (),
) -> Page:
    """Return the page with what rides on its bars where it comes to, unless it is set itself.

    What is in ``freed`` was loosened and set, so it takes no bar's roll. A bar on a curved bar
    carries what rides on it along, so it is gone over until nothing moves.
    """
    for _ in range(PASSES):
        before, page = page, _ridden_once(basis, page, keys, rolls, freed)
        if page is before:
            break
    return page


def _ridden_once(
    basis: Basis,
    page: Page,
    keys: Collection[str],
    rolls: Mapping[str, float],
    freed: Collection[str],
) -> Page:
    settings: dict[str, Setting] = {}
    places: Places | None = None
    for key, bar_id in basis.spins.items():
        if key in keys and (key in freed or not is_rolled(basis, key, rolls)):
            continue
        own = page.setting(key)
        if not isinstance(own.value, float):
            continue
        places = places or Places(page)
        rides = ride(basis, places, key, rolls.get(bar_id, 0.0))
        if rides is not None and abs(rides - own.value) > 1e-9:
            settings[key] = Setting.model_validate({**dict(own), "value": rides})
    return page.with_settings(settings) if settings else page


def is_rolled(basis: Basis, key: str, rolls: Mapping[str, float]) -> bool:
    """Tell whether a spin comes home, as far as can be told, with its bar's roll alone."""
    roll = rolls.get(basis.spins.get(key, ""))
    found = basis.differences.get(key)
    if not roll or found is None or found.difference is None:
        return False
    return abs(turn_between(roll, -float(found.difference))) <= slack(found.u)


def slack(u: float | None) -> float:
    """Return how far off a roll may bring a spin and it still counts as home, degrees."""
    return max(2.0 * (u or 0.0), 1e-6)


def ride(basis: Basis, places: Places, key: str, roll: float) -> float | None:
    """Return where a spin comes to that nobody sets: degrees from up; None where it stays.

    On a curved bar it keeps its place on the tube, which bows; on a straight one it goes with the
    bar's roll.
    """
    now = basis.own_now.setting(key).value if key in basis.own_now.declared else None
    if not isinstance(now, float):
        return None
    bar = basis.rig.by_id[basis.spins[key]]
    if isinstance(bar, Bar) and bar.curve is None:
        return now + roll if roll else None
    before, there = held_at(basis.places_now, key), held_at(places, key)
    here = places.page.setting(key).value
    if not isinstance(before, float) or not isinstance(there, float):
        return None
    if not isinstance(here, float):
        return None
    off = turn_between(there, before)
    return here + off if abs(off) > 1e-9 else None
