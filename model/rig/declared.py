"""What can be recorded: the settings that the parts' kinds, dials and spots declare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from model.readings.entry import Asked
from model.readings.instruments import USUAL
from model.readings.quantity import LengthUnit, Quantity, Value
from model.rig.kind import Joint, Kind
from model.rig.part import FLOOR, Bar, Mount, Piece, Post

ZERO = "zero"
"""The mark that every rug has."""

AnyPart = Post | Bar | Mount | Piece


@dataclass(frozen=True, slots=True)
class Declared:
    """One setting that a page declares: where it belongs, and how it is read.

    ``key`` is ``owner.name``; a dial's is ``owner.dial.name``.
    """

    key: str
    owner: str
    name: str
    label: str
    quantity: Quantity
    usually: str | None = None
    measured: str = ""
    limit: tuple[float, float] | None = None
    limit_guess: bool = False
    tooth_deg: float | None = None
    unit_name: str = ""
    assumed: float | None = None
    loosen: str = ""
    plus: str = ""
    zero: str = ""
    is_spot: bool = False
    is_turn: bool = False

    def asked(self, unit: LengthUnit, known: Value | None = None) -> Asked:
        """Return what an entry for it is parsed against."""
        return Asked(self.quantity, unit, known, self.tooth_deg, self.unit_name)


def _floor(
    name: str, label: str, quantity: Quantity, measured: str, plus: str, usually: str = ""
) -> Declared:
    return Declared(
        key=f"{FLOOR}.{name}",
        owner=FLOOR,
        name=name,
        label=label,
        quantity=quantity,
        usually=usually or USUAL[quantity],
        measured=measured,
        assumed=0.0,
        plus=plus,
        is_turn=quantity == "angle",
    )


FLOOR_SETTINGS: tuple[Declared, ...] = (
    _floor("rug", "rug thickness", "length", "riser to the rug's top", "thicker"),
    _floor(
        "heading",
        "kit's heading",
        "angle",
        "audience's straight to the zero line",
        "clockwise seen from above",
        usually="eye",
    ),
    _floor(
        "slope_ahead", "riser's slope ahead", "angle", "level along the zero line", "rises ahead"
    ),
    _floor(
        "slope_right",
        "riser's slope right",
        "angle",
        "level across the zero line",
        "rises to the player's right",
    ),
)
"""What makes the frame; zero, and said to be assumed, unless measured."""


def declared_settings(
    parts: Sequence[AnyPart],
    kinds: Mapping[str, Kind],
    spots: Sequence[tuple[str, str, str]] = (),
) -> Iterator[Declared]:
    """Yield everything that can be recorded: the floor's, then each part's, then the spots'.

    ``spots`` are (id, name, setting). A part whose kind is missing declares only its dials.
    """
    yield from FLOOR_SETTINGS
    posts = {part.id for part in parts if isinstance(part, Post)}
    for part in parts:
        kind = kinds.get(part.kind) if part.kind else None
        yield from part_settings(part, kind, on_post=part.on[0] in posts)
    for spot_id, _, setting in spots:
        yield Declared(
            key=f"{spot_id}.{setting}",
            owner=spot_id,
            name=setting,
            label=setting,
            quantity="length",
            usually="tape",
            measured="the gap between them" if setting == "gap" else "the rug to the edge",
            is_spot=True,
        )


def part_settings(part: AnyPart, kind: Kind | None, *, on_post: bool = False) -> Iterator[Declared]:
    """Yield the settings of one part: its joints from root to tip, then its dials.

    ``on_post`` says that it is clamped to a post: a spin round an upright tube shows on no level.
    """
    for joint in kind.joints if kind else ():
        if part.marks and joint.id in ("x", "y"):
            mark = part.marks[0 if joint.id == "x" else 1]
            name = "from_1" if joint.id == "x" else "from_2"
            yield _taped(part.id, joint, name, mark)
        else:
            yield _of_joint(part, joint, on_post)
    for dial in part.dials:
        yield Declared(
            key=f"{part.id}.dial.{dial.id}",
            owner=part.id,
            name=f"dial.{dial.id}",
            label=dial.id.replace("_", " "),
            quantity=dial.quantity,
            usually=USUAL.get(dial.quantity),
            unit_name=dial.unit if dial.quantity == "number" else "",
        )


def _of_joint(part: AnyPart, joint: Joint, on_post: bool) -> Declared:
    round_post = on_post and joint.turns == "rail"
    usual = "protractor" if round_post else USUAL[joint.quantity]
    return Declared(
        key=f"{part.id}.{joint.id}",
        owner=part.id,
        name=joint.id,
        label=joint.id.replace("_", " "),
        quantity=joint.quantity,
        usually=joint.usually or usual,
        measured=_ROUND_POST if round_post else _measured(part, joint),
        limit=joint.limit,
        limit_guess=joint.limit_guess,
        tooth_deg=joint.tooth_deg,
        assumed=joint.assumed,
        loosen=joint.loosen,
        plus=joint.plus,
        zero=joint.tooth_zero or joint.zero,
        is_turn=joint.turns is not None,
    )


_ROUND_POST = "the post's mark to the jaw, seen from above"


def _measured(part: AnyPart, joint: Joint) -> str:
    """Say from where to where: a place on a rail depends on the part's end and edge."""
    if joint.teeth is not None and not joint.measured:
        return f"teeth, counted from {joint.tooth_zero or 'the stop'}"
    if joint.slides != "rail":
        return joint.measured
    start = part.measured_from or joint.end or "A"
    begin = f"end {start}" if start in ("A", "B") else start
    if start == "A" and joint.id == "height":
        begin = "rug"
    elif part.rail == "inner":
        begin = "the inner tube's top, down"
    edge = part.edge or "centre"
    return f"{begin} to the {edge}{' edge' if edge != 'centre' else ''} of the clamp"


def _taped(owner: str, joint: Joint, name: str, mark: str) -> Declared:
    start = "the zero mark" if mark == ZERO else f"the mark {mark}"
    end = joint.measured.partition(" to ")[2].partition(",")[0]  # as along and across the line
    return Declared(
        key=f"{owner}.{name}",
        owner=owner,
        name=name,
        label=f"from {mark}",
        quantity="length",
        usually="tape",
        measured=f"tape from {start}{f' to {end}' if end else ''}",
        limit=(0.0, 20_000.0),
    )
