"""What an answer says of two rigs: their pieces by role, each with the hardware that holds it."""

from __future__ import annotations

from typing import Literal

from model.compare.piece_answer import TO_REPORT, Limit, MoveSpread, PieceVerdict, Shift, Tilted
from model.frozen import Frozen

Point = tuple[float, float, float]
Which = Literal["first", "second"]


class RolePiece(Frozen):
    """The piece of a role on one page: its middle in mm right, ahead, up of that page's zero mark,
    null where unknown, and what holds it, from the piece to the floor."""

    id: str
    name: str
    centre: Point | None = None
    hardware: tuple[str, ...] = ()


class ComparedRole(Frozen):
    """One role on two rigs: the second's piece against the first's, each from its own zero mark.

    Nothing cancels: u is of both places together, null where nobody said how sure the settings
    under ``unsure`` are. ``why`` says what was not measured on its night, or leaves it unknown.
    """

    role: str
    verdict: PieceVerdict
    before: RolePiece | None = None
    after: RolePiece | None = None
    move: Shift | None = None
    tilt: Tilted | None = None
    u: MoveSpread | None = None
    beyond: bool = False
    tolerance: Limit | None = None
    unsure: tuple[str, ...] = ()
    why: str | None = None


class LeftPiece(Frozen):
    """A piece that was matched with none, and why."""

    on: Which
    id: str
    name: str
    role: str | None = None
    why: str


class ComparedRoles(Frozen):
    """Two rigs by role, in the second page's order, and why they are taken for two."""

    why: str
    roles: tuple[ComparedRole, ...] = ()
    left: tuple[LeftPiece, ...] = ()

    @property
    def something(self) -> bool:
        """Whether there is something to report: a role moved, or only one rig has it, or a piece
        was matched with none."""
        ones = ("only on the first", "only on the second")
        return bool(self.left) or any(
            r.verdict in TO_REPORT or r.verdict in ones for r in self.roles
        )
