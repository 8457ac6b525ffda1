"""Random rigs: what the angles were read from, who remembers them, and what is open.

The rig was drawn with every angle at its joint; here many of them become what a level or an eye
from above would have read of the same rig, so that each can be reached.
"""

from __future__ import annotations

import math
from contextlib import suppress

from model.readings.angles import ReadFrom, turn_between
from model.rig.declared import AnyPart
from model.rig.part import Bar, Post
from model.rig.setting import OPEN, Setting
from tests.random_base import Growing
from tests.second_bars import Run
from tests.second_places import SecondPlaces
from tests.second_turns import UP, Array, Hinge, Unknown, cross, direction, meets, square_to, unit

TOOLS: dict[ReadFrom, str] = {
    "joint": "protractor",
    "gravity": "level",
    "riser": "riser-square",
    "zero line": "sighting-stick",
}
SOURCES: tuple[ReadFrom, ...] = ("joint", "joint", "gravity", "gravity", "riser", "zero line")


def readings(rig: Growing) -> None:
    """Tell the angles as they were read, and each setting by its state."""
    places = rig.places()
    places.work_through()
    for part in rig.parts.values():
        kind = rig.kinds.get(part.kind or "")
        for joint in kind.joints if kind else ():
            key = f"{part.id}.{joint.id}"
            setting = rig.settings.get(key)
            if setting is None or not isinstance(setting.value, int | float):
                continue
            if joint.turns is None:
                rig.settings[key] = _told(rig, setting, setting.value, None)
                continue
            source = rig.one(*SOURCES)
            if joint.teeth:
                # A tooth is a tooth, whatever it was read with.
                rig.settings[key] = _told(rig, setting, int(setting.value), source)
                continue
            value: float | None = None
            with suppress(Unknown):
                if key in places.hinges:
                    value = read_as(*places.hinges[key], source, places.gravity)
                elif source != "joint" and isinstance(part, Bar):
                    value = _bow_as(places.run(part), source, places.gravity)
                elif source != "joint" and joint.turns == "rail":
                    value = _spin_as(rig, places, part, source)
            kept = setting.value if value is None else value
            rig.settings[key] = _told(rig, setting, kept, "joint" if value is None else source)


def _spin_as(rig: Growing, places: SecondPlaces, part: AnyPart, source: ReadFrom) -> float | None:
    """Return what would have been read of a clamp's spin; None where nobody can read it so."""
    stand = places.clamped(part).stand
    out, tangent = stand.axis(1), stand.axis(2)
    if source == "zero line":
        heading = math.degrees(math.atan2(out[0], out[1]))
        is_told = math.hypot(*cross(direction(heading + 90.0), tangent)) > 0.3
        return round(heading, 3) if is_told and math.hypot(out[0], out[1]) > 0.3 else None
    if isinstance(rig.parts[part.on[0]], Post):
        return None
    zero = square_to(places.gravity if source == "gravity" else UP, tangent)
    return _turned_to(zero, cross(zero, tangent), out)


def _bow_as(run: Run, source: ReadFrom, gravity: Array) -> float | None:
    if source == "zero line" or run.bulge is None:
        return None
    right = unit(cross(run.tangent, gravity if source == "gravity" else UP))
    return _turned_to(right, cross(right, run.tangent), run.bulge)


def _turned_to(zero: Array, quarter: Array, found: Array) -> float:
    angle = math.atan2(float(found @ quarter), float(found @ zero))
    return round(math.degrees(angle), 3)


def read_as(hinge: Hinge, degrees: float, source: ReadFrom, gravity: Array) -> float | None:
    """Return what would have been read of a joint; None where it would be read badly or not so."""
    if source == "joint":
        return round(degrees, 3)
    if source == "zero line":
        return _from_above(hinge, degrees)
    mean, cos, sin = hinge.wave(hinge.hand, gravity if source == "gravity" else UP)
    angle = math.radians(degrees)
    rise = mean + cos * math.cos(angle) + sin * math.sin(angle)
    steep = -cos * math.sin(angle) + sin * math.cos(angle)
    other = turn_between(degrees, 2.0 * math.degrees(math.atan2(sin, cos)) - degrees) + degrees
    other = turn_between(0.0, other)
    if abs(steep) < 0.2 or abs(rise) > 0.98 or abs(other) < abs(degrees) + 2.0:
        return None
    return round(math.degrees(math.asin(rise)), 3)


def _from_above(hinge: Hinge, degrees: float) -> float | None:
    seen = [hinge.at(hinge.pointer, degrees + step) for step in (-0.5, 0.0, 0.5)]
    if any(math.hypot(p[0], p[1]) < 0.25 for p in seen):
        return None
    before, now, after = (math.degrees(math.atan2(p[0], p[1])) for p in seen)
    if abs(turn_between(before, after)) < 0.25:
        return None
    along = direction(now)
    found = meets(*hinge.wave(hinge.pointer, direction(now + 90.0)), 0.0)
    same_way = [a for a in found if float(hinge.at(hinge.pointer, a) @ along) > 0.0]
    return round(now, 3) if len(same_way) == 1 else None


def _told(
    rig: Growing, setting: Setting, value: float | int | str | None, source: ReadFrom | None
) -> Setting:
    """Return a setting in one of the three states with a value, its source told one way."""
    if setting.state in ("open", "follows"):
        return setting
    told: dict[str, object] = {"value": value, "state": "read"}
    if rig.often(0.3):
        told |= {"state": rig.one("carried", "seen"), "page": "2025-03-13-soundcheck"}
    if source is None:
        told["using"] = "tape"
    elif rig.often(0.5):
        told["using"] = TOOLS[source]
    else:
        told["read_from"] = source
        told["using"] = rig.one("level", "eye", None, "no-such-tool", *TOOLS.values())
    if source == "joint" and "read_from" not in told and rig.often(0.3):
        told["using"] = rig.one(None, "eye", "no-such-tool")
    return Setting.model_validate(told)


def opened(rig: Growing, count: int) -> None:
    """Open some settings: what rests on them is unknown."""
    keys = [
        key
        for key, setting in rig.settings.items()
        if not key.startswith("floor.")  # with the slope every level reading would change
        and setting.state not in ("open", "follows")
        and "lean_" not in key  # with a lean taken as 0 bars might be too short
    ]
    # Turns about their own upright are drawn apart: they may move nothing.
    turns = [key for key in keys if _turns_upright(rig, key)]
    for key in rig.rng.sample(keys, min(count, len(keys))) + rig.rng.sample(
        turns, min(2, len(turns))
    ):
        rig.settings[key] = OPEN


def _turns_upright(rig: Growing, key: str) -> bool:
    part_id, name = key.split(".")
    joint = rig.kinds[rig.parts[part_id].kind or ""].by_joint.get(name)
    return joint is not None and joint.turns in ("z", "-z")
