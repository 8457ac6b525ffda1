"""Random rigs: bars in two clamps and in one, straight and curved, and braces."""

from __future__ import annotations

import math
from typing import Literal

from model.rig.part import Bar, Curve
from model.rig.setting import FOLLOWS, Setting
from tests.random_base import Growing, Tube
from tests.second_bars import Hold, arc_of
from tests.second_places import SecondPlaces
from tests.second_turns import Unknown, cross, unit

POST_CLAMPS = ("side-clamp", "side-clamp", "cross-clamp", "t-clamp", "swivel-clamp")
BAR_CLAMPS = ("bar-to-bar-clamp", "bar-to-bar-clamp", "bar-to-bar-clamp", "cross-clamp", "t-clamp")
Side = Literal["left", "right"]
SIDES: tuple[Side, Side] = ("left", "right")


def clamp_for_two(rig: Growing, tube: Tube, centre: float | None = None) -> str:
    """Clamp what holds one end of a bar; its spin follows, perhaps read as a check."""
    kind = rig.one(*(POST_CLAMPS if tube.is_post else BAR_CLAMPS))
    spin = FOLLOWS
    if rig.often(0.3):
        spin = Setting(state="follows", value=rig.mm(-90.0, 90.0), using="protractor")
    if kind == "swivel-clamp":
        return rig.clamp(tube, kind, centre=centre)
    return rig.clamp(tube, kind, centre=centre, spin=spin)


def clamp_for_one(rig: Growing, tube: Tube) -> str:
    """Clamp what holds a bar alone: its spin is read. On a bar it stays near upright."""
    kind = rig.one(*(POST_CLAMPS if tube.is_post else BAR_CLAMPS))
    spin = rig.mm(-175.0, 175.0) if tube.is_post else rig.mm(-30.0, 30.0)
    return rig.clamp(tube, kind, spin=spin)


def bar_in_two(rig: Growing, places: SecondPlaces, first: str, second: str) -> str | None:
    """Lay a bar in two clamps whose places are known; None where none fits."""
    at, outlets = _outlets(rig, first, second)
    sides = (rig.one(*SIDES), rig.one(*SIDES))
    holds = []
    for clamp, outlet, side in zip((first, second), outlets, sides, strict=True):
        part, kind = rig.parts[clamp], rig.kind(clamp)
        hold = next(o for o in kind.outlets if o.id == outlet)
        way = -1.0 if side == "left" else 1.0
        try:
            if kind.id == "swivel-clamp":
                stand = places.outlet(part, hold)
                holds.append(Hold(stand.origin, stand.axis(2), hold, way))
            else:
                held = places.clamped(part)
                holds.append(Hold(held.centre, held.tangent, hold, way))
        except Unknown:
            return None
    line = unit(holds[1].centre - holds[0].centre)
    if any(math.hypot(*cross(line, hold.rail)) < 0.6 for hold in holds):
        return None
    apart = math.dist(holds[0].start(line, True), holds[1].start(line, False))
    if not 220.0 < apart < 1900.0 or abs(line[2]) > 0.7:
        return None
    ends = tuple(hold.outlet.holds == "end" for hold in holds)
    bar_id = rig.new_id("bar")
    told: dict[str, object] = {"id": bar_id, "name": bar_id, "on": (first, second), "at": at}
    if sides != ("right", "right") or rig.often(0.5):
        told["side"] = sides
    return _laid(rig, told, apart + rig.mm(-4.0, 4.0), ends[0], ends[1])


def _outlets(rig: Growing, first: str, second: str) -> tuple[str | None, tuple[str, str]]:
    """Return the bar's ``at`` and the outlet that it means in each of the clamps."""
    names = [[o.id for o in rig.kind(clamp).outlets if o.holds] for clamp in (first, second)]
    both = [name for name in names[0] if name in names[1]]
    at = rig.rng.choice(both) if both and rig.often(0.4) else None
    return at, (at or names[0][0], at or names[1][0])


def _laid(rig: Growing, told: dict[str, object], chord: float, begins: bool, ends: bool) -> str:
    """Add a bar whose chord between its grips is ``chord``; it begins or ends in a clamp."""
    over_a = 0.0 if begins else rig.mm(25.0, 120.0)
    over_b = 0.0 if ends else rig.mm(25.0, 120.0)
    is_curved = rig.often(0.45)
    values: dict[str, float | Setting] = {}
    if is_curved:
        between, told["curve"] = _curve(rig, told, chord, over_a, over_b)
        values["bow"] = rig.mm(-180.0, 180.0)
    else:
        between = chord
        told["length"] = round(over_a + between + over_b, 1)
        if not ends and rig.often(0.12):
            told["length"] = None
    length = arc_of(Bar.model_validate(told)).length
    values["grip_a"], values["grip_b"] = round(over_a, 2), round(over_a + between, 2)
    if ends and length is not None:
        # Measures are rounded: the bar's end is where it is, and no grip lies beyond it.
        values["grip_b"] = math.floor(length * 1000.0) / 1000.0
    name = "bar-in-two-clamps"
    if ends and not is_curved and begins and rig.often(0.7):
        name, values = "bar-by-its-end", {"slope": FOLLOWS}
    elif ends and rig.often(0.7):
        name = "bar-in-one-clamp"
        values = {"grip": values["grip_a"], "slope": FOLLOWS, "bow": values.get("bow", 0.0)}
    elif rig.often(0.25) and told.get("length", 0.0) is not None:
        name, values["grip_b"] = "bar-from-both-ends", round(over_b, 2)
    told["kind"] = f"curved-{name}" if is_curved else name
    values = {k: v for k, v in values.items() if k in rig.kinds[str(told["kind"])].by_joint}
    if length is not None and rig.often(0.1):
        _from_b(rig, told, values, length)
    bar = Bar.model_validate(told)
    high = (length or over_a + between + over_b) - 20.0
    rig.tubes.append(Tube(bar.id, 20.0, high, length, is_post=False))
    return rig.put(bar, **values)


def _from_b(
    rig: Growing, told: dict[str, object], values: dict[str, float | Setting], length: float
) -> None:
    """Tell a bar's grips from its end B, whatever its kind says."""
    told["measured_from"] = "B"
    for joint in rig.kinds[str(told["kind"])].joints:
        value = values.get(joint.id)
        if joint.slides == "rail" and joint.end != "B" and isinstance(value, float):
            values[joint.id] = math.floor((length - value) * 1e6) / 1e6


def _curve(
    rig: Growing, told: dict[str, object], chord: float, over_a: float, over_b: float
) -> tuple[float, Curve]:
    """Return the arc between two grips, in mm, and the whole curve, told one way or another."""
    half = 2.0 * math.atan(2.0 * rig.rng.uniform(0.04, 0.22))
    radius = chord / (2.0 * math.sin(half))
    between = 2.0 * half * radius
    whole = (over_a + between + over_b) / (2.0 * radius)
    face = rig.one("axis", "axis", "outer", "inner")
    tube = 38.1
    told["tube"] = tube if face != "axis" or rig.often(0.5) else None
    radius += {"axis": 0.0, "outer": 0.5, "inner": -0.5}[face] * tube
    measures = {
        "chord": round(2.0 * radius * math.sin(whole), 1),
        "sagitta": round(radius * (1.0 - math.cos(whole)), 1),
    }
    arc = {"length": round(2.0 * radius * whole, 1), "along": "arc"}
    by: dict[str, object] = rig.one(
        dict(measures),
        {"sagitta": measures["sagitta"], **arc},
        {"chord": measures["chord"], **arc},
        {"sagitta": measures["sagitta"], "length": measures["chord"], "along": "chord"},
        {**measures, "length": arc["length"], "along": "unknown"},
    )
    return between, Curve.model_validate({**by, "face": face})


def bar_in_one(rig: Growing, clamp: str, *, at_post: bool = True) -> str:
    """Put a bar in one clamp: beside it, through it, or by its end."""
    bar_id = rig.new_id("bar")
    told: dict[str, object] = {"id": bar_id, "name": bar_id, "on": (clamp,)}
    outlet = next(o for o in rig.kind(clamp).outlets if o.holds)
    slope = rig.mm(-25.0, 25.0) if at_post else rig.mm(-12.0, 12.0)
    over = rig.mm(40.0, 150.0)
    values: dict[str, float | Setting] = {"grip": over, "slope": slope}
    chord = rig.mm(300.0, 700.0)
    if rig.often(0.4):
        between, told["curve"] = _curve(rig, told, chord, over, 30.0)
        length, name = over + between + 30.0, "curved-bar-in-one-clamp"
        values["bow"] = rig.mm(-180.0, 180.0)
    else:
        length = round(over + chord, 1)
        told["length"] = None if rig.often(0.1) else length
        name = "bar-by-its-end" if outlet.holds == "end" else "bar-in-one-clamp"
    told["kind"] = name
    values = {key: value for key, value in values.items() if key in rig.kinds[name].by_joint}
    known = arc_of(Bar.model_validate(told)).length
    if known is not None and rig.often(0.1):
        _from_b(rig, told, values, known)
    bar = Bar.model_validate(told)
    length = known or length
    rig.tubes.append(Tube(bar_id, 20.0, length - 20.0, known, is_post=False))
    return rig.put(bar, **values)


def brace(rig: Growing, tube: Tube) -> str:
    """Put a brace from a clamp on a post to the floor."""
    height = rig.mm(tube.low, min(tube.high, 700.0))
    kind = rig.one("side-clamp", "cross-clamp")
    clamp = rig.clamp(tube, kind, centre=height, spin=rig.mm(-175.0, 175.0))
    grip = round((height + 20.0) / math.sin(math.radians(rig.mm(30.0, 62.0))), 1)
    bar_id = rig.new_id("brace")
    name = rig.one("floor-brace", "floor-brace", "bar-in-one-clamp")
    length = None if rig.often(0.2) else grip + 40.0
    bar = Bar(id=bar_id, name=bar_id, kind=name, on=(clamp,), length=length)
    return rig.put(bar, grip=grip, slope=FOLLOWS)
