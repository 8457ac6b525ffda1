"""The parts of a rig: posts, bars, mounts and pieces; ``on`` says what hangs on what."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from model.frozen import Extra, Frozen, Id, JointId, Size, Spread, Unfit, Vector, Words
from model.readings.quantity import Quantity

FLOOR = "floor"
NOT_HUNG = "not-hung"
"""Where a part is that hangs on nothing yet, or whose carrier was taken off: no part's id."""
Place = Annotated[str, Field(max_length=64)]
Tube = Annotated[float, Field(gt=0, le=500)]


class Dial(Frozen):
    """A setting without geometry: its name, and ``word``, ``mm``, ``deg`` or a unit of its own."""

    id: JointId
    unit: Words

    @property
    def quantity(self) -> Quantity:
        """What the dial is read in."""
        known: dict[str, Quantity] = {"word": "word", "mm": "length", "deg": "angle"}
        return known.get(self.unit, "number")


class Curve(Frozen):
    """A circular arc: two of nominal length, chord and sagitta, in mm, to the face that is named.

    ``along`` says what the nominal length is; the catalogue does not always tell.
    """

    length: Size | None = None
    along: Literal["arc", "chord", "unknown"] = "unknown"
    chord: Size | None = None
    sagitta: Size | None = None
    face: Literal["axis", "outer", "inner"] = "axis"
    extra: Extra = ()


class Shell(Frozen):
    """A drum, in mm; ``batter`` is which head is its playing surface."""

    diameter: Size
    depth: Size | None = None
    extra: Extra = ()


class Disc(Frozen):
    """A cymbal or a round pad, in mm; ``bell`` is the bell's height over the edge circle."""

    diameter: Size
    bell: Size | None = None
    extra: Extra = ()


class Slab(Frozen):
    """A surface that is not round: width to the player's right, depth ahead, height, in mm."""

    width: Size
    depth: Size
    height: Size | None = None
    extra: Extra = ()


class Weight(Frozen):
    """A weight in kg; a guess says that it is one."""

    kg: Size
    guess: bool = False
    extra: Extra = ()


class PartBase(Frozen):
    """What every part has. The id is permanent, the name free; slip follows the serial."""

    id: Id
    name: Words
    kind: Id | None = None
    on: tuple[Place, ...] = (FLOOR,)
    at: Place | None = None
    rail: Literal["outer", "inner"] | None = None
    edge: Literal["near", "centre", "far", "top", "bottom"] | None = None
    measured_from: Place | None = Field(default=None, alias="from")
    marks: tuple[Place, Place] | None = None
    marks_side: Literal["left", "right"] | None = None
    serial: Words | None = None
    mark: Words | None = None
    colour: Words | None = None
    care: Words | None = None
    weight: Weight | None = None
    dials: tuple[Dial, ...] = ()
    extra: Extra = ()

    @model_validator(mode="after")
    def _hangs(self) -> Self:
        if not self.on or not all(self.on):
            raise Unfit("a part is on the floor or on another part", 'on = "post-l"')
        if (self.marks is None) != (self.marks_side is None):
            raise Unfit(
                "two marks need marks_side, and marks_side needs two marks",
                'marks = ["zero", "ahead"] with marks_side = "left"',
            )
        names = [dial.id for dial in self.dials]
        if len(set(names)) != len(names):
            raise Unfit("a dial is there twice", 'dials = { clutch_gap = "mm" }')
        return self


class Post(PartBase):
    """An upright tube on the floor or on a bar; a telescoping one has an inner tube. mm."""

    type: Literal["post"] = "post"
    tube: Tube | None = None
    inner_tube: Tube | None = None
    length: Size | None = None
    inner_length: Size | None = None
    square: bool = False


class Bar(PartBase):
    """A tube held by clamps: ``on`` one or two of them, end A toward the first. mm.

    ``side`` of each post it passes, seen from A to B, where a clamp holds it beside.
    """

    type: Literal["bar"] = "bar"
    tube: Tube | None = None
    length: Size | None = None
    curve: Curve | None = None
    side: tuple[Literal["left", "right"], ...] = ()
    square: bool = False

    @model_validator(mode="after")
    def _grips(self) -> Self:
        if len(self.on) > 2:
            raise Unfit("a bar is held by one clamp or two", 'on = ["clamp-l", "clamp-r"]')
        if self.side and len(self.side) != len(self.on):
            raise Unfit("side has one word for each clamp of the bar", 'side = ["right", "right"]')
        return self


class Mount(PartBase):
    """What is clamped to a post, a bar or another mount. Its rods in mm."""

    type: Literal["mount"] = "mount"
    tube: Tube | None = None
    rod: Tube | None = None
    length: Size | None = None


class Piece(PartBase):
    """What is played, sat on or stepped on; its role is what it is to the player.

    ``offset`` (mm, standard uncertainty ``offset_u``) goes from the outlet to the centre of the
    playing surface. ``stem`` is the stack on a cymbal's stem, from below.
    """

    type: Literal["piece"] = "piece"
    role: Words | None = None
    shell: Shell | None = None
    disc: Disc | None = None
    slab: Slab | None = None
    offset: Vector = (0.0, 0.0, 0.0)
    offset_u: Spread = 0.0
    stem: tuple[Words, ...] = ()


Part = Annotated[Post | Bar | Mount | Piece, Field(discriminator="type")]
PART_TYPES: dict[str, type[Post] | type[Bar] | type[Mount] | type[Piece]] = {
    "post": Post,
    "bar": Bar,
    "mount": Mount,
    "piece": Piece,
}
