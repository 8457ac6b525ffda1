"""The true rig of one night: as it was drawn, as people set it up again, as a show moves it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from random import Random

from model.readings.quantity import Value
from model.rig.declared import AnyPart, Declared
from model.rig.kind import Kind
from model.rig.part import Bar
from tests.samples.drawing import Drawing
from tests.samples.geometry import (
    add,
    chord_between,
    grips_on_posts,
    heading,
    place_at_chord,
    size,
    sub,
)
from tests.samples.placing import Placed, radius

SCATTER = {
    # How well people put things back, one standard deviation: mm or degrees.
    "x": 3.0,
    "y": 3.0,
    "turn": 1.5,
    "height": 0.7,
    "place": 0.7,
    "grip_a": 0.5,
    "grip_b": 0.5,
    "grip": 0.8,
    "spin": 0.8,
    "arm_spin": 0.8,
    "jaw": 0.8,
    "rod_spin": 1.5,
    "boom_spin": 0.8,
    "lean": 0.8,
    "tilt": 0.6,
    "slope": 0.4,
    "bow": 0.5,
}
OTHER_SLIDE = 1.0
SLOW_DIALS = {"Hz": 2.0, "turns": 0.0, "mm": 0.4}


def set_up(drawing: Drawing, rng: Random, parts: Iterable[AnyPart]) -> dict[str, Value]:
    """Return a night's true settings: the drawing's, each as well as people put it back."""
    parts = tuple(parts)
    declared = drawing.declared(parts)
    ids = {part.id for part in parts} | {"floor"}
    values: dict[str, Value] = {}
    for key, value in drawing.true.items():
        owner, _, name = key.partition(".")
        if owner in ids:
            values[key] = _put_back(value, name, declared.get(key), rng)
    return solved(drawing, values, parts)


def _put_back(value: Value, name: str, declared: Declared | None, rng: Random) -> Value:
    if isinstance(value, str) or (declared is not None and declared.quantity == "teeth"):
        return value
    if declared is not None and declared.owner == "floor":
        return value
    if name.startswith("dial."):
        unit = declared.unit_name if declared else ""
        return value + rng.gauss(0.0, SLOW_DIALS.get(unit or "mm", 0.0))
    return value + rng.gauss(0.0, SCATTER.get(name, OTHER_SLIDE))


def solved(
    drawing: Drawing, values: Mapping[str, Value], parts: Iterable[AnyPart]
) -> dict[str, Value]:
    """Return the settings with what the bars fix: the posts they lead to, the loops' last grips."""
    out = dict(values)
    by_id = {part.id: part for part in parts}
    for start, bar_id, end, bearing in drawing.spans:
        bar = by_id[bar_id]
        assert isinstance(bar, Bar)
        x, y = _post_after(drawing.kinds, by_id, bar, start, end, bearing, out)
        out[f"{end}.x"], out[f"{end}.y"] = x, y
    for bar_id in drawing.loops:
        bar = by_id[bar_id]
        assert isinstance(bar, Bar)
        placed = Placed(by_id, drawing.kinds, out)
        first, second = grips(placed, bar)
        a = placed.value(bar.id, "grip_a")
        out[f"{bar.id}.grip_b"] = place_at_chord(radius(bar.curve), a, size(sub(second, first)))
    return out


def aside(kinds: Mapping[str, Kind], parts: Mapping[str, AnyPart], bar: Bar) -> list[float]:
    """How far to the right of each of its posts a bar passes, in mm."""
    jaws = [kinds[parts[clamp].kind or ""].outlets[0] for clamp in bar.on]
    sides = bar.side or ("right", "right")
    return [
        (jaw.standoff or 0.0) * (1.0 if side == "right" else -1.0)
        for jaw, side in zip(jaws, sides, strict=True)
    ]


def grips(
    placed: Placed, bar: Bar
) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """The two points where a bar's axis passes its clamps."""
    right = aside(placed.kinds, placed.parts, bar)
    p, q = placed.clamp(bar.on[0]).at, placed.clamp(bar.on[1]).at
    return grips_on_posts(p, q, right[0], right[1])


def _post_after(
    kinds: Mapping[str, Kind],
    parts: Mapping[str, AnyPart],
    bar: Bar,
    start: str,
    end: str,
    bearing: float,
    values: Mapping[str, Value],
) -> tuple[float, float]:
    """Where a bar puts the post that it leads to, in mm."""
    placed = Placed(parts, kinds, values)
    a, b = placed.value(bar.id, "grip_a"), placed.value(bar.id, "grip_b")
    far = chord_between(radius(bar.curve), a, b)
    rise = placed.place_on_rail(bar.on[1], "height") - placed.place_on_rail(bar.on[0], "height")
    right = aside(kinds, parts, bar)
    apart = (far * far - rise * rise + (right[1] - right[0]) ** 2) ** 0.5
    foot = (placed.value(start, "x"), placed.value(start, "y"), 0.0)
    at = add(foot, heading(bearing), apart)
    return at[0], at[1]


def with_joint_leans(
    placed_parts: Mapping[str, AnyPart], kinds: Mapping[str, Kind], values: Mapping[str, Value]
) -> dict[str, Value]:
    """Return the joint values: a lean is drawn as what a level shows, its boom's rise included."""
    out = dict(values)
    for part_id, part in placed_parts.items():
        kind = kinds.get(part.kind or "")
        tilt = kind.by_joint.get("tilt") if kind else None
        if tilt is not None and tilt.tooth_deg and f"{part_id}.lean" in out:
            rise = float(out.get(f"{part_id}.tilt", 0)) * tilt.tooth_deg
            out[f"{part_id}.lean"] = float(out[f"{part_id}.lean"]) - rise
    return out
