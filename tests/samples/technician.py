"""How a technician reads a true setting: what the instrument shows, its noise, what is written."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from model.readings.quantity import LengthUnit, Value
from model.rig.declared import Declared
from model.rig.part import Bar, Piece, Post
from tests.samples.geometry import UP, Vec, cross, dot, pitch, square_to, sub, unit
from tests.samples.placing import Placed

INCH = 25.4
NOISE = {"tape": 0.8, "floor tape": 1.3, "level": 0.35, "protractor": 0.7, "eye": 2.0}
"""One standard deviation: mm for a tape on a mark and on the floor, degrees for the rest."""
GRID_DEG = {"level": 0.5, "protractor": 1.0, "eye": 5.0}


@dataclass(slots=True)
class Technician:
    """One of the crew: initials, the unit of the tape, and how the hand shakes."""

    initials: str
    unit: LengthUnit
    rng: Random

    def reads(self, declared: Declared, shown: Value, using: str | None) -> Value:
        """Return what is written down for what is there (mm, degrees, teeth, words)."""
        if isinstance(shown, str) or declared.quantity == "teeth":
            return shown
        if declared.quantity == "number":
            return round(round(shown * 2.0) / 2.0, 6)
        if declared.quantity == "length":
            on_floor = declared.name in ("x", "y", "from_1", "from_2")
            noise = NOISE["floor tape" if on_floor else "tape"]
            if declared.name.startswith("dial.") or declared.owner == "floor":
                noise = 0.3
            return _on_grid(shown + self.rng.gauss(0.0, noise), self._length_grid(on_floor))
        noise = NOISE.get(using or "", 1.0)
        angle = _on_grid(shown + self.rng.gauss(0.0, noise), GRID_DEG.get(using or "", 1.0))
        # A jaw that is turned right over is read from the nearer side, so never past half a turn.
        if declared.name == "jaw" and abs(angle) > 180.0:
            return math.copysign(360.0 - abs(angle), angle)
        return angle

    def _length_grid(self, on_floor: bool) -> float:
        if self.unit == "in":
            return INCH / (8.0 if on_floor else 16.0)
        return 5.0 if on_floor else 1.0


def _on_grid(value: float, grid: float) -> float:
    return round(round(value / grid) * grid, 6) + 0.0


def instrument(placed: Placed, declared: Declared) -> str | None:
    """Return what a setting is read with: no level shows a turn about an upright post."""
    part = placed.parts.get(declared.owner)
    if part is None or declared.name.startswith("dial.") or declared.usually != "level":
        return declared.usually if declared.quantity != "number" else None
    on_post = isinstance(placed.parts.get(part.on[0]), Post)
    return "protractor" if declared.name == "spin" and on_post else "level"


def shown(placed: Placed, declared: Declared, using: str | None, up: Vec) -> Value:
    """Return what the instrument shows of a true setting; ``up`` is what a level goes by."""
    if declared.is_spot:
        return _spot(placed, declared)
    value = placed.values.get(declared.key)
    if declared.owner == "floor":
        return 0.0 if value is None else value
    part = placed.parts[declared.owner]
    if declared.name in ("from_1", "from_2"):
        return _taped(placed, declared)
    if using != "level":
        assert value is not None, f"nothing is drawn for {declared.key}"
        return value
    if isinstance(part, Bar):
        return _bar_level(placed, part, declared, up)
    if declared.name == "spin":
        frame = placed.clamp(part.id)
        zero = square_to(up, frame.z)
        return math.degrees(math.atan2(dot(cross(frame.y, zero), frame.z), dot(frame.y, zero)))
    joint = placed.kind(part.id).by_joint[declared.name]
    frame = placed.joints(part.id)[joint.id]
    if joint.turns == "y":
        return -pitch(frame.x, up)
    if placed.kind(part.id).id == "clamped-hat-stand":  # the tube is its frame's y
        return math.degrees(math.atan2(dot(frame.y, frame_level(frame.z, up)), dot(frame.y, up)))
    return pitch(frame.y, up)


def frame_level(v: Vec, up: Vec) -> Vec:
    """The level direction that ``v`` points in where ``up`` is up."""
    return square_to(v, up)


def _bar_level(placed: Placed, bar: Bar, declared: Declared, up: Vec) -> float:
    rail = placed.rail(bar.id)
    if declared.name == "slope":
        return pitch(rail.tangent(0.0), up)
    along = unit(sub(rail.at(1.0), rail.at(0.0)))
    bulge = getattr(rail, "bulge", cross(along, UP))
    chord = getattr(rail, "along", along)
    right = unit(cross(chord, up))
    return math.degrees(math.atan2(dot(bulge, cross(right, chord)), dot(bulge, right)))


def _taped(placed: Placed, declared: Declared) -> float:
    part = placed.parts[declared.owner]
    assert part.marks is not None
    mark = part.marks[0 if declared.name == "from_1" else 1]
    x, y = placed.marks[mark]
    return math.hypot(placed.value(part.id, "x") - x, placed.value(part.id, "y") - y)


def _spot(placed: Placed, declared: Declared) -> float:
    """What a tape shows of a spot, mm: an edge's height over the rug, or the least gap of rims."""
    spot = placed.spots[declared.owner]
    if spot.height is not None:
        piece, edge = spot.height
        frame, radius = placed.surface(piece), rim(placed, piece)
        if edge in ("centre", "bell"):
            return frame.at[2]
        seat = placed.surface("throne").at if "throne" in placed.parts else (0.0, 0.0, 0.0)
        away = unit((frame.at[0] - seat[0], frame.at[1] - seat[1], 0.0))
        slope = cross(frame.z, cross(away, frame.z))  # the cut of the upright plane, uphill or down
        rise = unit(slope)[2] * radius
        return frame.at[2] + (rise if edge == "far" else -rise)
    assert spot.gap is not None
    one, other = (_rim_points(placed, piece) for piece in spot.gap)
    return min(math.dist(a, b) for a in one for b in other)


def rim(placed: Placed, piece_id: str) -> float:
    """The radius of a round piece, mm."""
    piece = placed.parts[piece_id]
    assert isinstance(piece, Piece)
    sized = piece.shell or piece.disc
    assert sized is not None
    return sized.diameter / 2.0


def _rim_points(placed: Placed, piece_id: str) -> list[Vec]:
    frame, radius = placed.surface(piece_id), rim(placed, piece_id)
    points = []
    for step in range(180):
        t = math.radians(step * 2.0)
        v = frame.out((math.cos(t) * radius, math.sin(t) * radius, 0.0))
        points.append((frame.at[0] + v[0], frame.at[1] + v[1], frame.at[2] + v[2]))
    return points
