"""The second computation of places: where everything of a page is, written a second time.

From the conventions alone, in another way than the program's: matrices, solvers, one part after
another, and an exception where something is open or at fault.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from contextlib import suppress
from typing import TypeVar, cast

import numpy as np

from model.readings.angles import ReadFrom
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Piece, Post
from tests.second_bars import Run
from tests.second_grips import bar_run
from tests.second_joints import frames_of
from tests.second_rails import BarRail, Clamped, PostRail, Rail, place_on
from tests.second_turns import ROOM, Array, Hinge, Stand, Unknown, square_to, unit, vec

T = TypeVar("T")


class SecondPlaces:
    """One page; what is asked for is worked out once, or is :class:`Unknown`.

    An open turn is given any value, another in each ``trial``: what comes out the same each time
    does not rest on it.
    """

    def __init__(self, page: Page, trial: int = 0) -> None:
        self.page = page
        self.trial = trial
        self.tried: set[str] = set()
        self.hinges: dict[str, tuple[Hinge, float]] = {}
        self._kept: dict[tuple[str, str], object] = {}
        ahead, right = (self._slope(f"floor.slope_{way}") for way in ("ahead", "right"))
        self.gravity = vec((right, ahead, math.sqrt(1.0 - right * right - ahead * ahead)))

    def _slope(self, key: str) -> float:
        setting = self.page.setting(key)
        value = setting.value if setting.state in ("read", "seen", "carried") else 0.0
        return math.sin(math.radians(cast(float, value)))

    def once(self, what: str, part: str, work: Callable[[], T]) -> T:
        """Return what ``work`` gives, worked out once; a circle is unknown."""
        key = (what, part)
        if key not in self._kept:
            self._kept[key] = Unknown(f"{part} rests on itself")
            try:
                self._kept[key] = work()
            except Unknown as unknown:
                self._kept[key] = unknown
        kept = self._kept[key]
        if isinstance(kept, Unknown):
            raise kept
        return cast(T, kept)

    # ---- what the page says ----

    def part(self, part_id: str) -> AnyPart:
        if part_id not in self.page.by_id:
            raise Unknown(f"there is no part {part_id}")
        return self.page.by_id[part_id]

    def kind(self, part: AnyPart) -> Kind:
        if part.kind is None:
            return Kind(id="none", name="no kind")
        if part.kind not in self.page.by_kind:
            raise Unknown(f"there is no kind {part.kind}")
        return self.page.by_kind[part.kind]

    def value(self, part: AnyPart, joint: Joint, name: str = "") -> float:
        """Return a setting's value; teeth in degrees."""
        setting = self.page.setting(f"{part.id}.{name or joint.id}")
        value = setting.value if setting.state in ("read", "seen", "carried") else None
        if self.is_open(part, joint) and joint.turns is not None:
            self.tried.add(f"{part.id}.{joint.id}")
            return random.Random(f"{part.id}.{joint.id} {self.trial}").uniform(-180.0, 180.0)
        if setting.state == "open":
            value = joint.assumed
        if joint.follows or isinstance(value, bool) or not isinstance(value, int | float):
            raise Unknown(f"{part.id}.{joint.id} has no value")
        return value * 360.0 / joint.teeth if joint.teeth else float(value)

    def is_open(self, part: AnyPart, joint: Joint) -> bool:
        """Whether nothing is known of a joint that nothing else fixes either."""
        setting = self.page.setting(f"{part.id}.{joint.id}")
        return setting.state == "open" and joint.assumed is None and not joint.follows

    def source(self, part: AnyPart, joint: Joint) -> ReadFrom:
        setting = self.page.setting(f"{part.id}.{joint.id}")
        if joint.teeth or setting.state == "open":
            return "joint"
        tool = self.page.by_instrument.get(setting.using or "")
        return setting.read_from or (tool.read_from if tool else None) or "joint"

    # ---- joints ----

    def frames(self, part: AnyPart) -> dict[str, Stand | Unknown]:
        """Return the frame after each joint of a part, and its root."""
        return self.once("frames", part.id, lambda: frames_of(self, part, self.kind(part)))

    def frame(self, part: AnyPart, after: str | None) -> Stand:
        """Return the frame after a joint; after None, after the last of the chain."""
        frames = self.frames(part)
        found = frames.get(after or next(reversed(frames)), Unknown(f"no joint {after}"))
        if isinstance(found, Unknown):
            raise found
        return found

    # ---- what a part begins in ----

    def root(self, part: AnyPart, kind: Kind) -> Stand:
        if kind.on_rail:
            raise Unknown("a clamp begins on its rail")
        if part.on[0] == FLOOR:
            return ROOM
        host = self.part(part.on[0])
        if isinstance(host, Post | Bar):
            raise Unknown("it hangs on a rail and has no clamp")
        stand = self.seat(host, part.at)
        return stand.shifted(part.offset) if isinstance(part, Piece) else stand

    def seat(self, host: AnyPart, at: str | None) -> Stand:
        """Return the outlet's frame in which the next part begins."""
        outlets = self.kind(host).outlets
        if at is not None:
            return self.outlet(host, next((o for o in outlets if o.id == at), None))
        is_piece = isinstance(host, Piece)
        free = [o for o in outlets if not (is_piece and o.id == "surface")]
        if free:
            return self.outlet(host, free[0])
        return self.surface(host) if is_piece else self.frame(host, None)

    def outlet(self, part: AnyPart, outlet: Outlet | None) -> Stand:
        if outlet is None:
            raise Unknown("no such outlet")
        stand = self.frame(part, outlet.after).shifted(outlet.offset)
        if outlet.turned is None:
            return stand
        x, y, z, degrees = outlet.turned
        return stand.turned(unit(vec((x, y, z))), degrees)

    def surface(self, part: AnyPart) -> Stand:
        """Return the frame of a piece's playing surface; its z is the normal."""
        assert isinstance(part, Piece)
        kind = self.kind(part)
        if part.on[0] != FLOOR and not kind.on_rail:
            return self.frame(part, None)
        named = next((o for o in kind.outlets if o.id == "surface"), None)
        stand = self.outlet(part, named) if named else self.frame(part, None)
        return stand.shifted(part.offset)

    # ---- rails ----

    def rail(self, part_id: str) -> Rail:
        """Return the post or bar as a rail."""
        return self.once("rail", part_id, lambda: self._rail(self.part(part_id)))

    def _rail(self, part: AnyPart) -> Rail:
        if isinstance(part, Bar):
            return BarRail(self.run(part))
        if not isinstance(part, Post):
            raise Unknown("it is neither a post nor a bar")
        kind = self.kind(part)
        own = [joint.id for joint in kind.joints if joint.id != kind.inner_after]
        foot = self.frame(part, own[-1] if own else "root")
        axis = foot.into_room(unit(vec(kind.stem or (0.0, 0.0, 1.0))))

        def ahead() -> Array:
            turned = self.frame(part, "turn") if "turn" in kind.by_joint else foot
            if math.hypot(*np.cross(turned.axis(1), axis)) < 1e-9:
                return turned.axis(2)
            return square_to(turned.axis(1), axis)

        def top() -> float:
            if kind.inner_after is None:
                raise Unknown("the post has no inner tube")
            return self.value(part, kind.by_joint[kind.inner_after])

        return PostRail(foot.origin, axis, part, ahead, top)

    def run(self, bar: Bar) -> Run:
        return self.once("run", bar.id, lambda: bar_run(self, bar))

    def clamped(self, part: AnyPart) -> Clamped:
        """Return the place of a part that is clamped to a rail; its frame may be unknown."""
        return self.once("clamped", part.id, lambda: place_on(self, part))

    def work_through(self) -> None:
        """Work out every joint, so that ``hinges`` has all that turn and are known."""
        for part in self.page.parts:
            self.frames(part)
            if isinstance(part, Bar):
                with suppress(Unknown):
                    self.run(part)
