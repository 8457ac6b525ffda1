"""Two rigs compared by what each piece is to the player: where it is, how it leans, what holds it.

Settings of different hardware have nothing in common; a player's hands do not mind the hardware.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from model.compare.answer import Compared, compared_page
from model.compare.judging import (
    angle_between,
    is_move_told,
    judged,
    limits_by_role,
    role_of,
    shift_of,
    spread_of,
    tilted_of,
)
from model.compare.piece_answer import Limit
from model.compare.pieces import ONLY, QUIET, WHICH, some, why_not_placed
from model.compare.role_answer import (
    ComparedRole,
    ComparedRoles,
    LeftPiece,
    RolePiece,
    Which,
)
from model.compare.spread import Names, Pages
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.part import Piece
from model.rig.setting import State
from model.space.answer import point
from model.space.positions import Positions
from model.space.sureness import OUTPUTS, Sureness, outputs_of, short_way

if TYPE_CHECKING:
    from model.book.book import Tolerance

Both = tuple[Positions, Positions]
Pair = tuple[Piece, Piece]
STATE_WORDS = {"open": "assumed"}
SIDES: tuple[Which, Which] = ("first", "second")


def compared_roles(
    pages: Pages, why: str, tolerances: Iterable[Tolerance] = (), *, wanted: bool = False
) -> ComparedRoles:
    """Compare the pieces of two rigs by role; ``why`` says why they are two.

    Of several pieces of one role those with the same id are matched, and the others left, with the
    reason. With ``wanted`` the first page is a home: what it carries counts as measured.
    """
    positions = Positions(pages[0]), Positions(pages[1])
    limits = limits_by_role(tolerances)
    by_role = _by_role(pages[0]), _by_role(pages[1])
    roles: list[ComparedRole] = []
    left: list[LeftPiece] = []
    for role in dict.fromkeys((*by_role[1], *by_role[0])):
        one, two = (held.get(role, []) for held in by_role)
        pairs, alone = _matched(one, two)
        roles += [_compared(positions, pair, limits, wanted=wanted) for pair in pairs]
        if not one or not two:
            roles += [_of_one(positions, piece, index, limits) for index, piece in alone]
        else:
            left += [_left(piece, index, (one, two)) for index, piece in alone]
    left += [
        LeftPiece(on=SIDES[index], id=part.id, name=part.name, why="it has no role")
        for index, page in enumerate(pages)
        for part in page.parts
        if isinstance(part, Piece) and not role_of(part.role)
    ]
    return ComparedRoles(why=why, roles=tuple(roles), left=tuple(left))


def compare_by_role(
    pages: Pages,
    names: Names,
    why: str,
    tolerances: Iterable[Tolerance] = (),
    *,
    wanted: bool = False,
) -> Compared:
    """Return the answer for two rigs: their roles, and nothing of settings or structure."""
    return Compared(
        before=compared_page(pages[0], names[0]),
        after=compared_page(pages[1], names[1]),
        same_rig=pages[0].head.rig == pages[1].head.rig,
        as_read=False,
        home=wanted,
        structure=(),
        settings=(),
        counts={},
        roles=compared_roles(pages, why, tolerances, wanted=wanted),
    )


def _by_role(page: Page) -> dict[str, list[Piece]]:
    found: dict[str, list[Piece]] = {}
    for part in page.parts:
        if isinstance(part, Piece) and role_of(part.role):
            found.setdefault(role_of(part.role), []).append(part)
    return found


def _matched(one: list[Piece], two: list[Piece]) -> tuple[list[Pair], list[tuple[int, Piece]]]:
    """Return the pairs of one role, and the pieces without one: 0 on the first page, 1 on the
    second."""
    if len(one) == len(two) == 1:
        return [(one[0], two[0])], []
    ids = {piece.id: piece for piece in one}
    pairs = [(ids[piece.id], piece) for piece in two if piece.id in ids]
    matched = {piece.id for _, piece in pairs}
    alone = [(0, piece) for piece in one if piece.id not in matched]
    return pairs, alone + [(1, piece) for piece in two if piece.id not in matched]


def _left(piece: Piece, index: int, found: tuple[list[Piece], list[Piece]]) -> LeftPiece:
    counts = [f"{len(held)} on the {which}" for held, which in zip(found, WHICH, strict=True)]
    return LeftPiece(
        on=SIDES[index],
        id=piece.id,
        name=piece.name,
        role=piece.role,
        why=f"{' and '.join(counts)} have that role, and its id is not on both",
    )


def hardware_of(page: Page, piece: Piece) -> tuple[str, ...]:
    """Return what holds a piece, from the piece to the floor: each kind's name, in words.

    A bar in two clamps is followed by way of its first.
    """
    words: list[str] = []
    told: set[str] = set()
    part: AnyPart | None = piece
    while part is not None and part.id not in told:
        told.add(part.id)
        kind = page.by_kind.get(part.kind or "")
        if kind is not None:
            words.append(kind.name or kind.id)
        elif part is not piece:
            words.append(f"{part.type} of no known kind")
        part = page.by_id.get(part.on[0])
    return tuple(words)


def _side(positions: Positions, piece: Piece) -> RolePiece:
    placed = positions.pieces.get(piece.id)
    return RolePiece(
        id=piece.id,
        name=piece.name,
        centre=point(placed.first.at[0]) if placed else None,
        hardware=hardware_of(positions.page, piece),
    )


def _of_one(positions: Both, piece: Piece, index: int, limits: Mapping[str, Limit]) -> ComparedRole:
    side = _side(positions[index], piece)
    return ComparedRole(
        role=piece.role or "",
        verdict=ONLY[index],
        before=None if index else side,
        after=side if index else None,
        tolerance=limits.get(role_of(piece.role)),
    )


def _compared(
    positions: Both, pair: Pair, limits: Mapping[str, Limit], *, wanted: bool
) -> ComparedRole:
    limit = limits.get(role_of(pair[1].role))
    sides = [_side(at, piece) for at, piece in zip(positions, pair, strict=True)]
    ends = [at.pieces.get(piece.id) for at, piece in zip(positions, pair, strict=True)]
    told = ComparedRole(
        role=pair[1].role or "",
        verdict="unknown",
        before=sides[0],
        after=sides[1],
        tolerance=limit,
    )
    if ends[0] is None or ends[1] is None:
        return told.model_copy(update={"why": _why_unknown(positions, pair)})
    one, two = ends[0].first, ends[1].first
    by = short_way(outputs_of(two, 1) - outputs_of(one, 1))[0].tolist()
    turned = angle_between(one.z[0], two.z[0])
    u, unsure = _together([at.sureness[p.id] for at, p in zip(positions, pair, strict=True)])
    carried = _told_of(positions, pair, "carried", home=wanted)
    why = [*carried, *_told_of(positions, pair, "open")]
    verdict = judged(by, u, turned, limit, is_unsure=bool(unsure))
    return told.model_copy(
        update={
            "verdict": "not measured" if carried and verdict in QUIET else verdict,
            "move": shift_of(by),
            "tilt": tilted_of(by, one.z[0], two.z[0]),
            "u": None if unsure else spread_of(u),
            "beyond": not unsure and is_move_told(by, u),
            "unsure": unsure,
            "why": "; ".join(why) or None,
        }
    )


def _together(sure: Sequence[Sureness]) -> tuple[list[float], tuple[str, ...]]:
    """Return the standard uncertainty of two independent places' difference, and what is unsure.

    The second order's drift of each mean counts with it.
    """
    unsure = tuple(dict.fromkeys(key for held in sure for key in held.unsure))
    if unsure:
        return [0.0] * OUTPUTS, unsure
    square = np.zeros(OUTPUTS)
    for held in sure:
        drift = sum((i.drift() for i in held.influences), np.zeros(OUTPUTS))
        square += np.diag(held.covariance) + drift**2
    return np.sqrt(square).tolist(), ()


def _why_unknown(positions: Both, pair: Pair) -> str:
    words = [
        f"on the {which}: {why_not_placed(at, piece.id)}"
        for at, piece, which in zip(positions, pair, WHICH, strict=True)
        if piece.id not in at.pieces
    ]
    return "; ".join(words)


def _told_of(positions: Both, pair: Pair, state: State, *, home: bool = False) -> list[str]:
    """Say which settings in a state the two places rest on; nothing of the first where it is a
    ``home``. An open one is taken at what its kind assumes."""
    words = []
    for at, piece, which in zip(positions, pair, WHICH, strict=True):
        keys = at.rests_in(piece.id, state)
        if keys and not (home and which == "first"):
            words.append(f"{STATE_WORDS.get(state, state)} on the {which}: {some(keys)}")
    return words
