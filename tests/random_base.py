"""Random rigs: the rig while it grows, its rails, and how a place on a rail is told."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TypeVar

from model.readings.instruments import GENERIC_INSTRUMENTS, Instrument
from model.rig.kind import Joint, Kind
from model.rig.page import Mark
from model.rig.part import Mount, Piece, Post
from model.rig.setting import Setting
from tests.random_kinds import ODD_KINDS
from tests.rig_builder import RigBuilder
from tests.second_places import SecondPlaces

T = TypeVar("T")
INSTRUMENTS = (
    *GENERIC_INSTRUMENTS,
    Instrument(id="riser-square", u_deg=1.0, read_from="riser", guess=True),
    Instrument(id="sighting-stick", u_deg=2.0, read_from="zero line", guess=True),
)


@dataclass(frozen=True, slots=True)
class Tube:
    """A rail with room for clamps from ``low`` to ``high``, mm from end A."""

    id: str
    low: float
    high: float
    length: float | None
    is_post: bool
    top: float | None = None  # of an inner tube: its places are measured down from here


class Growing(RigBuilder):
    """A rig that grows at random."""

    def __init__(self, rng: random.Random) -> None:
        marks = (
            Mark(id="ahead", x=0.0, y=1500.0),
            Mark(id="corner", x=-1400.0, y=round(rng.uniform(-900.0, -300.0), 1)),
            Mark(id="case", x=round(rng.uniform(900.0, 1600.0), 1), y=-400.0),
        )
        super().__init__(ODD_KINDS, marks)
        self.rng = rng
        self.instruments = INSTRUMENTS
        self._places: SecondPlaces | None = None
        self.tubes: list[Tube] = []
        self.clamped: dict[str, list[tuple[str, float]]] = {}

    def new_id(self, word: str) -> str:
        return f"{word}-{len(self.parts)}"

    def often(self, share: float) -> bool:
        return self.rng.random() < share

    def mm(self, low: float, high: float) -> float:
        return round(self.rng.uniform(low, high), 1)

    def one(self, *choices: T) -> T:
        return self.rng.choice(choices)

    def places(self) -> SecondPlaces:
        """Return the places of the rig as it is by now; what was worked out before holds on."""
        page = self.page(unfinished=True)
        if self._places is None:
            self._places = SecondPlaces(page)
        self._places.page = page
        return self._places

    def drawn(self, joint: Joint, most: float = 60.0) -> float:
        """Return a value in a joint's limits: mm, degrees, or whole teeth."""
        if joint.teeth:
            low, high = joint.limit or (-3.0, 3.0)
            return float(self.rng.randint(int(low), int(high)))
        if joint.limit is not None:
            return self.mm(*joint.limit)
        if joint.turns is not None:
            is_spin = joint.turns in ("z", "-z", "rail") or "spin" in joint.id
            return self.mm(-175.0, 175.0) if is_spin else self.mm(-most, most)
        return self.mm(0.0, 150.0)

    def drawn_all(self, kind: Kind, **given: float | Setting) -> dict[str, float | Setting]:
        """Return a value for every joint that has none given."""
        return {joint.id: given.get(joint.id, self.drawn(joint)) for joint in kind.joints}

    def clamp(
        self,
        tube: Tube,
        kind_id: str,
        made: type[Mount] | type[Piece] | type[Post] = Mount,
        centre: float | None = None,
        fields: dict[str, object] | None = None,
        **given: float | Setting,
    ) -> str:
        """Add a part clamped to a tube, its place told from anywhere and to any edge."""
        kind = self.kinds[kind_id]
        slide = next(joint for joint in kind.joints if joint.slides == "rail")
        at = centre if centre is not None else self.mm(tube.low, tube.high)
        on = self.clamped.setdefault(tube.id, [])
        part_id = self.new_id({Mount: "mount", Piece: "piece", Post: "post"}[made])
        told: dict[str, object] = {"id": part_id, "name": part_id, "kind": kind_id}
        told["on"] = (tube.id,)
        value = at
        if kind.body is not None and self.often(0.6):
            edge = self.one("near", "far", "top", "bottom", "centre")
            told["edge"] = edge
            value += {"near": -1, "bottom": -1, "far": 1, "top": 1}.get(edge, 0) * kind.body / 2.0
        if tube.top is not None:
            told["rail"] = "inner"
            value = tube.top - value
        elif on and self.often(0.2):
            other, centre_of_other = self.rng.choice(on)
            told["measured_from"] = other
            value -= centre_of_other
        elif tube.length is not None and (self.often(0.25) or slide.end == "B"):
            if slide.end != "B" or self.often(0.5):
                told["measured_from"] = "B"
            value = tube.length - value
        else:
            if self.often(0.3) or slide.end == "B":
                told["measured_from"] = "A"
            if self.often(0.1):
                told["rail"] = "outer"
        if tube.top is None:
            on.append((part_id, at))
        part = made.model_validate({**told, **(fields or {})})
        return self.put(part, **self.drawn_all(kind, **{**given, slide.id: round(value, 3)}))
