"""Where everything of a page is: each part's frames, rail, clamp and surface, worked out once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

import numpy as np

from model.errors import Problem
from model.rig.declared import AnyPart
from model.rig.flags import not_hung
from model.rig.kind import ROOT, Joint, Kind
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG, Bar, Piece, Post
from model.rig.record_flags import flag_of
from model.space.angles import gravity_up
from model.space.bars import Hung, hang_bar
from model.space.clamps import place_on_rail, zero_and_spin
from model.space.floor import standing_point
from model.space.frames import ROOM, Array, Frame, Z, settled
from model.space.joints import joint_frames, last_frame, outlet_frame, outlet_of
from model.space.memo import Held, Memo, Node, Unplaced
from model.space.posts import post_rail
from model.space.rails import Rail, clamp_frame
from model.space.values import FLOOR_SLOPES, Nudges, Values, open_turns


class Places:
    """The places of a page in its own frame, mm. Ask for what is wanted; the rest is not made.

    Methods raise :class:`Unplaced` where the structure gives no place. What rests on an open
    length is NaN; an open turn is tried in several ways, each a row of the batch, so that what it
    does not move is known all the same (a drum's middle with the badge's turn open). ``settled``
    tells which is which.
    """

    def __init__(
        self,
        page: Page,
        nudges: Nudges | None = None,
        kept: dict[Node, Held] | None = None,
        stand_ins: Mapping[str, Array] | None = None,
    ) -> None:
        self.page = page
        self.memo = Memo(kept)
        self.nudged = bool(nudges)
        self.stand_ins = open_turns(page) if stand_ins is None else stand_ins
        self.values = Values(page, nudges or {}, self.memo, self.stand_ins)

    # -- parts and kinds ----------------------------------------------------------------------

    def part(self, part_id: str, asking: AnyPart) -> AnyPart:
        """Return a part by id; raises :class:`Unplaced` where there is none."""
        part = self.page.by_id.get(part_id)
        if part is None:
            if part_id == NOT_HUNG:
                raise Unplaced(not_hung(asking))
            what = "the floor" if part_id == FLOOR else f"{part_id}, and no part has that id"
            raise Unplaced(
                flag_of(
                    "no-grip" if isinstance(asking, Bar) else "no-such-part",
                    f"part.{asking.id}.on",
                    f"{asking.name} is on {what}",
                    "its place cannot be worked out",
                    'on = ["clamp-l", "clamp-r"], or one clamp that holds it'
                    if isinstance(asking, Bar)
                    else 'on = "floor" for what stands, or a part that holds it',
                )
            )
        return part

    def kind(self, part: AnyPart) -> Kind:
        """Return a part's kind; raises :class:`Unplaced` where the page has none."""
        kind = self.page.by_kind.get(part.kind or "")
        if kind is None:
            raise Unplaced(
                flag_of(
                    "no-such-kind",
                    f"part.{part.id}.kind",
                    f"{part.name} has no kind"
                    if part.kind is None
                    else f"{part.name} is of a kind that the page has not: {part.kind}",
                    "what it does with a place is not known",
                    'kind = "rod-clamp", or another',
                )
            )
        return kind

    def up(self, source: str) -> Array:
        """Return what is up (B, 3) to what an angle was read from: gravity's up, or the riser's."""
        if source != "gravity":
            return Z
        slopes = [
            np.radians(self.values.number(key, self.page.declared[key].assumed))
            for key in FLOOR_SLOPES
        ]
        if settled(*slopes) and sum(float(np.sin(slope[0])) ** 2 for slope in slopes) >= 1.0:
            raise Unplaced(_too_steep_a_floor(self.page))
        return gravity_up(slopes[0], slopes[1])

    # -- rails and clamps ---------------------------------------------------------------------

    def hung(self, bar: Bar) -> Hung:
        """Return how a bar hangs in its clamps."""
        return self.memo.once(
            ("bar", bar.id),
            lambda: hang_bar(self, bar, self.kind(bar)),
            partial(hangs_in_a_ring, bar),
        )

    def rail(self, part: Post | Bar) -> Rail:
        """Return the rail of a post or a bar."""
        if isinstance(part, Bar):
            return self.hung(part).rail
        return self.memo.once(
            ("rail", part.id),
            lambda: post_rail(self, part, self.kind(part)),
            partial(hangs_in_a_ring, part),
        )

    def carrier(self, part: AnyPart) -> Post | Bar:
        """Return the post or bar that a clamped part is on; raises :class:`Unplaced`."""
        carrier = self.part(part.on[0], part)
        if not isinstance(carrier, Post | Bar):
            raise Unplaced(
                flag_of(
                    "no-rail",
                    f"part.{part.id}.on",
                    f"{part.name} clamps to a tube, and is on {carrier.name}, a {carrier.type}",
                    "its place along the tube has no tube",
                    "a post or a bar, or a kind that sits in an outlet",
                )
            )
        return carrier

    def clamp_place(self, part: AnyPart) -> Array:
        """Return the place (B,) of a clamp's centre along its rail, mm from end A."""
        return self.memo.once(
            ("place", part.id),
            lambda: place_on_rail(self, part, self.kind(part)),
            partial(hangs_in_a_ring, part),
        )

    def clamp_on_rail(self, part_id: str) -> tuple[Array, Array]:
        """Return a clamp's centre on its rail's axis, and the rail's way there, (B, 3) each."""
        part = self.page.by_id[part_id]
        rail, place = self.rail(self.carrier(part)), self.clamp_place(part)
        return rail.at(place), rail.tangent(place)

    def is_clamped(self, part: AnyPart) -> bool:
        """Tell whether a part is clamped along a post or a bar."""
        kind = self.page.by_kind.get(part.kind or "")
        return kind is not None and kind.on_rail and not isinstance(part, Bar)

    def is_plain_clamp(self, part_id: str) -> bool:
        """Tell a clamp that only slides and spins: between two grips its spin follows."""
        part = self.page.by_id[part_id]
        kind = self.page.by_kind.get(part.kind or "")
        return self.is_clamped(part) and kind is not None and all(map(_is_of_rail, kind.joints))

    def clamp(self, part: AnyPart) -> Frame:
        """Return a clamp's frame (r, o, u) at its place, with its spin."""

        def make() -> Frame:
            kind, carrier = self.kind(part), self.carrier(part)
            rail = self.rail(carrier)
            place = self.clamp_place(part)
            at, tangent = rail.at(place), rail.tangent(place)
            return clamp_frame(at, tangent, *zero_and_spin(self, part, kind, carrier, tangent))

        return self.memo.once(("clamp", part.id), make, partial(hangs_in_a_ring, part))

    # -- frames -------------------------------------------------------------------------------

    def root(self, part: AnyPart) -> Frame:
        """Return the frame that a part begins in: the floor's, its clamp's, or its outlet's."""
        if self.is_clamped(part):
            return self.clamp(part)
        if part.on[0] == FLOOR:
            return ROOM.shifted(standing_point(self, part)) if part.marks else ROOM
        frame = self.outlet(part.on[0], part.at, part)
        if isinstance(part, Piece) and (any(part.offset) or part.offset_u):
            return frame.shifted(
                self.values.offset(f"{part.id}:offset", part.offset, part.offset_u)
            )
        return frame

    def frames(self, part: AnyPart) -> Mapping[str, Frame]:
        """Return the frame after each joint of a part, and ``root``."""

        def make() -> Mapping[str, Frame]:
            root = self.root(part)
            if isinstance(part, Piece) and part.kind is None:
                return {ROOT: root}
            return joint_frames(self, part, self.kind(part).joints, root)

        return self.memo.once(("frames", part.id), make, partial(hangs_in_a_ring, part))

    def outlet(self, part_id: str, name: str | None, asking: AnyPart | None = None) -> Frame:
        """Return the frame of a part's outlet, the first where none is named."""
        part = self.part(part_id, asking or self.page.by_id[part_id])
        kind = self.page.by_kind.get(part.kind or "")
        outlet = None
        # What is wrong with who asks is told of each that asks: outside of what is kept.
        if kind is not None or name is not None or not isinstance(part, Piece):
            outlet = outlet_of(self.kind(part), name, asking or part)
        if isinstance(part, Bar) or (isinstance(part, Post) and outlet is None):
            raise Unplaced(_no_rail_joint(asking or part, part))

        def make() -> Frame:
            if outlet is not None:
                return outlet_frame(self, part, outlet, self.frames(part))
            if isinstance(part, Piece):
                return self._surface(part)
            return last_frame(self.frames(part))

        node = ("outlet", f"{part_id} {name or ''}")
        return self.memo.once(node, make, partial(hangs_in_a_ring, part))

    # -- surfaces -----------------------------------------------------------------------------

    def surface(self, piece: Piece) -> Frame:
        """Return the frame of a piece's playing surface: its middle, its normal along z."""

        def make() -> Frame:
            return self._surface(piece)

        return self.memo.once(("surface", piece.id), make, partial(hangs_in_a_ring, piece))

    def _surface(self, piece: Piece) -> Frame:
        if piece.kind is None:
            if piece.on[0] == FLOOR:
                self.kind(piece)  # raises: nothing says where on the floor it stands
            return self.root(piece)
        kind = self.kind(piece)
        frames = self.frames(piece)
        outlet = next((o for o in kind.outlets if o.id == "surface"), None)
        if outlet is None:
            frame = last_frame(frames)
        else:
            frame = outlet_frame(self, piece, outlet, frames)
        if piece.on[0] != FLOOR and not self.is_clamped(piece):
            return frame
        offset = self.values.offset(f"{piece.id}:offset", piece.offset, piece.offset_u)
        return frame.shifted(offset)


def _is_of_rail(joint: Joint) -> bool:
    return "rail" in (joint.slides, joint.turns)


def hangs_in_a_ring(part: AnyPart) -> Problem:
    """Return the fault of a part that hangs on itself by way of others."""
    return flag_of(
        "cycle",
        f"part.{part.id}.on",
        f"{part.name} hangs on itself by way of others, or too deep",
        "none of them reaches the floor",
        'on = "floor" for the one that stands',
    )


def _too_steep_a_floor(page: Page) -> Problem:
    told = " and ".join(f"{page.setting(key).value}°" for key in FLOOR_SLOPES)
    return flag_of(
        "steep-floor",
        "record.floor.slope_ahead",
        f"no riser slopes by {told}",
        "what is up by gravity cannot be worked out",
        "the slopes that a level shows along the zero line and across it: 1.5, or -0.5",
    )


def _no_rail_joint(part: AnyPart, carrier: AnyPart) -> Problem:
    return flag_of(
        "no-rail",
        f"part.{part.id}.kind",
        f"{part.name} is on {carrier.name}, a tube, and its kind has no joint along one",
        "where along the tube is not known",
        'place = { slides = "rail" } in its kind, or an outlet',
    )
