"""Where a true rig's parts are: each clamp's, joint's and outlet's frame, each bar's line."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from model.readings.quantity import Value
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Mark, Spot
from model.rig.part import FLOOR, Bar, Curve, Piece, Post
from tests.samples.geometry import (
    UP,
    Arc,
    Frame,
    Line,
    Rail,
    Vec,
    add,
    chord_between,
    clamp_frame,
    cross,
    grips_on_posts,
    heading,
    radius_of,
    radius_of_arc,
    scaled,
    square_to,
    sub,
    turned,
    unit,
)

ROOM = Frame((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), UP)
AXES: dict[str, Vec] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def radius(curve: Curve | None) -> float | None:
    """The radius of a bar to its axis, or None where it is straight."""
    if curve is None or curve.sagitta is None:
        return None
    if curve.chord is not None:
        return radius_of(curve.chord, curve.sagitta)
    if curve.length is None:
        return None
    if curve.along == "chord":
        return radius_of(curve.length, curve.sagitta)
    return radius_of_arc(curve.length, curve.sagitta)


class Placed:
    """A rig with true joint values (mm, degrees, whole teeth by ``part.joint``)."""

    def __init__(
        self,
        parts: Mapping[str, AnyPart],
        kinds: Mapping[str, Kind],
        values: Mapping[str, Value],
        marks: Sequence[Mark] = (),
        spots: Sequence[Spot] = (),
    ) -> None:
        self.parts = parts
        self.marks = {"zero": (0.0, 0.0), **{mark.id: (mark.x, mark.y) for mark in marks}}
        self.spots = {spot.id: spot for spot in spots}
        self.kinds = kinds
        self.values = values
        self._joints: dict[str, dict[str, Frame]] = {}
        self._rails: dict[str, Rail] = {}

    def kind(self, part_id: str) -> Kind:
        return self.kinds[self.parts[part_id].kind or ""]

    def value(self, part_id: str, joint: str) -> float:
        held = self.values.get(f"{part_id}.{joint}", 0.0)
        return float(held)

    def degrees(self, part_id: str, joint: Joint) -> float:
        """What a turning joint turns: a tooth is worth its degrees."""
        return self.value(part_id, joint.id) * (joint.tooth_deg or 1.0)

    def rail(self, part_id: str) -> Rail:
        """The line of a post or a bar; a telescoping post's inner tube shares its axis."""
        if part_id not in self._rails:
            part = self.parts[part_id]
            if isinstance(part, Post):
                zero = heading(self.value(part_id, "turn"))
                foot = (self.value(part_id, "x"), self.value(part_id, "y"), 0.0)
                self._rails[part_id] = Line(foot, UP, zero)
            else:
                assert isinstance(part, Bar)
                self._rails[part_id] = self._bar(part)
        return self._rails[part_id]

    def place_on_rail(self, part_id: str, joint: str) -> float:
        """The place of a clamp's centre along its rail from end A: edges and ends converted."""
        part, kind = self.parts[part_id], self.kind(part_id)
        carrier = self.parts[part.on[0]]
        place, half = self.value(part_id, joint), (kind.body or 0.0) / 2.0
        if part.rail == "inner":
            return self.value(carrier.id, "height") - place
        if part.measured_from == "B":
            assert isinstance(carrier, Post | Bar)
            assert carrier.length is not None
            place = carrier.length - place
        return place + {"near": half, "bottom": half, "far": -half, "top": -half}.get(
            part.edge or "", 0.0
        )

    def clamp(self, part_id: str) -> Frame:
        """The clamp's frame where it grips its rail."""
        joint = next(j for j in self.kind(part_id).joints if j.slides == "rail")
        place = self.place_on_rail(part_id, joint.id)
        spin = self.value(part_id, "spin")
        return clamp_frame(self.rail(self.parts[part_id].on[0]), place, spin)

    def held_at(self, clamp_id: str) -> tuple[Vec, Outlet]:
        """The clamp's centre on its rail, and the jaw that holds a bar."""
        return self.clamp(clamp_id).at, self.kind(clamp_id).outlets[0]

    def _bar(self, bar: Bar) -> Rail:
        if len(bar.on) == 2:
            return self._bar_on_two(bar)
        frame, jaw = self.clamp(bar.on[0]), self.kind(bar.on[0]).outlets[0]
        slope = self.value(bar.id, "slope")
        if jaw.holds == "end":
            along = turned(frame.y, frame.x, slope)
            start = add(frame.at, frame.y, jaw.reach or 0.0)
            return Line(start, along, square_to(UP, along))
        if any(joint.follows for joint in self.kind(bar.id).joints):
            # A brace: end A is on the floor, so the clamp's height over its length is the slope.
            slope = math.degrees(math.asin(frame.at[2] / self.value(bar.id, "grip")))
        along = turned(frame.x, frame.y, -slope)
        grip = add(frame.at, frame.y, jaw.standoff or 0.0)
        start = add(grip, along, -self.value(bar.id, "grip"))
        return Line(start, along, square_to(UP, along))

    def _bar_on_two(self, bar: Bar) -> Rail:
        (p, jaw_p), (q, jaw_q) = self.held_at(bar.on[0]), self.held_at(bar.on[1])
        aside = [
            (jaw.standoff or 0.0) * (1.0 if side == "right" else -1.0)
            for jaw, side in zip((jaw_p, jaw_q), bar.side or ("right", "right"), strict=True)
        ]
        first, second = grips_on_posts(p, q, aside[0], aside[1])
        along = unit(sub(second, first))
        a, b = self.value(bar.id, "grip_a"), self.value(bar.id, "grip_b")
        middle, r = scaled(add(first, second), 0.5), radius(bar.curve)
        if r is None:
            return Line(add(middle, along, -(a + b) / 2.0), along, square_to(UP, along))
        right = unit(cross(along, UP))
        bulge = turned(right, along, -self.value(bar.id, "bow"))  # + rises
        half = chord_between(r, a, b) / 2.0
        centre = add(middle, bulge, -math.sqrt(r * r - half * half))
        return Arc(centre, r, bulge, along, (a + b) / 2.0)

    def joints(self, part_id: str) -> dict[str, Frame]:
        """The frame after each joint of a part; ``root`` is the one that it begins in."""
        if part_id not in self._joints:
            part, kind = self.parts[part_id], self.kind(part_id)
            on_rail = any(joint.slides == "rail" for joint in kind.joints)
            if on_rail and not isinstance(part, Bar):
                frame = self.clamp(part_id)
            elif part.on[0] == FLOOR:
                frame = ROOM
            else:
                frame = self.outlet(part.on[0], part.at)
            frames, last = {"root": frame}, frame
            for joint in kind.joints:
                before = frames[joint.after] if joint.after else last
                last = frames[joint.id] = self._after(part_id, joint, before)
            self._joints[part_id] = frames
        return self._joints[part_id]

    def _after(self, part_id: str, joint: Joint, before: Frame) -> Frame:
        frame = before.shifted(joint.before)
        axis = joint.slides or joint.turns
        if axis in ("rail", "leg", "chord") or axis is None:
            return frame
        way = axis if isinstance(axis, tuple) else AXES[axis[-1]]
        if isinstance(axis, str) and axis.startswith("-"):
            way = scaled(way, -1.0)
        if joint.slides is not None:
            return frame.shifted(scaled(way, self.value(part_id, joint.id)))
        return frame.turned(way, self.degrees(part_id, joint))

    def outlet(self, part_id: str, name: str | None) -> Frame:
        """The frame of a named outlet, or of the first one."""
        outlets = self.kind(part_id).outlets
        outlet = next((o for o in outlets if o.id == name), outlets[0] if outlets else None)
        frames = self.joints(part_id)
        frame = frames[outlet.after] if outlet and outlet.after else list(frames.values())[-1]
        if outlet is None:
            return frame
        frame = frame.shifted(outlet.offset)
        if outlet.turned is None:
            return frame
        x, y, z, degrees = outlet.turned
        return frame.turned((x, y, z), degrees)

    def surface(self, piece_id: str) -> Frame:
        """The middle of a piece's playing surface, its normal along z."""
        piece = self.parts[piece_id]
        assert isinstance(piece, Piece)
        if piece.kind is not None and self.kind(piece_id).outlets:
            frame = self.outlet(piece_id, "surface")
        elif piece.kind is not None:
            frame = list(self.joints(piece_id).values())[-1]
            if piece.kind == "floor-legs":
                legs = [self.value(piece_id, f"leg_{n}") for n in (1, 2, 3)]
                frame = frame.shifted((0.0, 0.0, sum(legs) / 3.0))
                frame = Frame((*self.joints(piece_id)["turn"].at[:2], frame.at[2]), *_axes(frame))
        else:
            frame = self.outlet(piece.on[0], piece.at)
        return frame.shifted(piece.offset)


def _axes(frame: Frame) -> tuple[Vec, Vec, Vec]:
    return frame.x, frame.y, frame.z
