"""A kind of hardware: a tree of joints with named outlets. Data, generic, never a maker's."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from model.frozen import (
    Extra,
    Frozen,
    Id,
    JointId,
    Number,
    Pair,
    Size,
    Spread,
    Unfit,
    Vector,
    Words,
)
from model.readings.quantity import Quantity

AxisName = Literal["x", "y", "z", "-x", "-y", "-z", "rail", "chord", "leg"]
Axis = AxisName | Vector
"""In the frame before the joint: x right, y outward, z along; or along the rail it is clamped to,
about the line between two grips, or along a leg that reaches the floor."""
LevelAxis = Literal["x", "y", "z", "-x", "-y", "-z"] | Vector

PartType = Literal["post", "bar", "mount", "piece"]
RESERVED = frozenset(
    {"note", "photos", "dial", "name", "fits", "chain", "ends", "body", "inner_after", "stem"}
)
"""Words of the record and of a kind's own table: no joint is called so."""
ROOT = "root"


class Joint(Frozen):
    """One thing that slides or turns.

    ``before`` (mm, standard uncertainty ``before_u``) is the fixed offset from the frame before
    it, which is that of ``after`` or else of the joint before it in the chain. ``teeth`` a turn
    make it toothed, counted from ``tooth_zero``. ``level`` is the direction a level lies along, in
    the frame after the joint, where it is not the usual one; it reads + when that end is up.
    ``assumed`` is what geometry takes while it is open; ``follows`` says that a loop or the floor
    fixes it. ``held_with`` names the joint before it that the same screw holds (itself where its
    screw is its own); where it is absent, what slides and turns in one jaw is held by one screw.
    """

    id: JointId
    slides: Axis | None = None
    turns: Axis | None = None
    before: Vector = (0.0, 0.0, 0.0)
    before_u: Spread = 0.0
    after: JointId | None = None
    end: Literal["A", "B"] | None = None
    zero: Words = ""
    plus: Words = ""
    measured: Words = ""
    limit: Pair | None = None
    limit_guess: bool = False
    teeth: Annotated[int, Field(ge=2, le=400)] | None = None
    tooth_zero: Words = ""
    loosen: Words = ""
    held_with: JointId | None = None
    usually: Words = ""
    level: LevelAxis | None = None
    assumed: Number | None = None
    follows: bool = False
    extra: Extra = ()

    @model_validator(mode="after")
    def _one_motion(self) -> Self:
        if (self.slides is None) == (self.turns is None):
            raise Unfit("a joint either slides or turns", 'spin = { turns = "rail" }')
        if self.teeth is not None and self.turns is None:
            raise Unfit("only a turning joint has teeth", 'tilt = { turns = "x", teeth = 24 }')
        if self.id in RESERVED:
            raise Unfit(f"{self.id} is a word of the record itself", "swing, or another name")
        if self.limit is not None and self.limit[0] > self.limit[1]:
            raise Unfit("a limit goes from low to high", "limit = [0.0, 400.0]")
        if (0.0, 0.0, 0.0) in (self.axis, self.level):
            raise Unfit("an axis cannot be nothing", "[0.0, 0.0, 1.0]")
        return self

    @property
    def axis(self) -> Axis | None:
        """What it slides along or turns about."""
        return self.slides if self.slides is not None else self.turns

    @property
    def tooth_deg(self) -> float | None:
        """Degrees that one tooth turns."""
        return None if self.teeth is None else 360.0 / self.teeth

    @property
    def quantity(self) -> Quantity:
        """What the joint is read in."""
        if self.slides is not None:
            return "length"
        return "angle" if self.teeth is None else "teeth"


class Outlet(Frozen):
    """A named end of a kind, where the next part sits or a bar is held.

    ``offset`` (mm) is from the frame after its joint; ``turned`` is a fixed turn of its own frame:
    axis x, y, z and degrees. ``holds`` a bar through, beside at ``standoff`` (axis to axis, mm),
    or at its end, which begins ``reach`` mm from the rail's axis.
    """

    id: JointId
    offset: Vector = (0.0, 0.0, 0.0)
    offset_u: Spread = 0.0
    after: JointId | None = None
    turned: tuple[Number, Number, Number, Number] | None = None
    holds: Literal["through", "beside", "end"] | None = None
    standoff: Spread | None = None
    reach: Spread | None = None
    u_mm: Spread = 0.0
    extra: Extra = ()


class Kind(Frozen):
    """A generic piece of hardware: its joints from root to tip, its outlets, its sizes in mm."""

    id: Id
    name: Words
    fits: PartType | None = None
    joints: tuple[Joint, ...] = ()
    outlets: tuple[Outlet, ...] = ()
    body: Size | None = None
    inner_after: JointId | None = None
    stem: Vector | None = None
    extra: Extra = ()

    @model_validator(mode="after")
    def _a_tree(self) -> Self:
        known = {ROOT}
        for joint in self.joints:
            if joint.id in known:
                raise Unfit(f"the joint {joint.id} is there twice", 'chain = ["place", "spin"]')
            if joint.after is not None and joint.after not in known:
                raise Unfit(
                    f"{joint.id} comes after {joint.after}, which is not before it in the chain",
                    'after = "root", or a joint before it',
                )
            known.add(joint.id)
            if joint.held_with is not None and joint.held_with not in known:
                raise Unfit(
                    f"{joint.id} is held with {joint.held_with}, which is not before it",
                    'held_with = "tilt", or the joint itself where its screw is its own',
                )
        for outlet in self.outlets:
            if outlet.after is not None and outlet.after not in known:
                raise Unfit(
                    f"the outlet {outlet.id} is after {outlet.after}, which is no joint of its own",
                    'after = "root", or a joint of the chain',
                )
        if self.inner_after is not None and self.inner_after not in known:
            raise Unfit(
                f"inner_after names {self.inner_after}, which is no joint of its own",
                'inner_after = "height"',
            )
        return self

    @cached_property
    def by_joint(self) -> dict[str, Joint]:
        """The joints by id."""
        return {joint.id: joint for joint in self.joints}

    @property
    def on_rail(self) -> bool:
        """Whether it is clamped along a post or a bar."""
        return any(joint.slides == "rail" for joint in self.joints) and self.fits != "bar"

    @property
    def on_floor(self) -> bool:
        """Whether it stands on the floor at a place of its own."""
        return "x" in self.by_joint and "y" in self.by_joint and not self.on_rail
