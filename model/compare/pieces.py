"""How the pieces of one rig moved between two pages, what that is worth, and what caused it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from model.compare.causes import PutBack, causes_of, put_back, tilt_causes_of
from model.compare.judging import (
    LEAST_TILT,
    angle_between,
    is_move_told,
    judged,
    limits_by_role,
    role_of,
    shift_of,
    spread_of,
    tilted_of,
)
from model.compare.moves import STILL
from model.compare.piece_answer import Causes, ComparedPiece, Limit, PieceVerdict
from model.compare.placed import Placed, is_unmeasured
from model.compare.spread import setting_spread, spread_of_difference
from model.rig.part import Piece
from model.space.positions import Positions
from model.space.sureness import OUTPUTS, outputs_of, short_way

if TYPE_CHECKING:
    from model.book.book import Tolerance

MOST_TOLD = 3
"""How many settings a reason names."""
WHICH = ("first", "second")
ONLY: tuple[PieceVerdict, PieceVerdict] = ("only on the first", "only on the second")
QUIET: frozenset[PieceVerdict] = frozenset({"within tolerance", "not told apart", "same"})
"""What cannot be said of a piece that rests on a setting that nobody measured."""


def compared_pieces(
    placed: Placed, tolerances: Iterable[Tolerance] = (), order: Iterable[str] = ()
) -> tuple[ComparedPiece, ...]:
    """Return every piece of both pages, in ``order``, then as the second page has them.

    ``tolerances`` are the book's, by role.
    """
    limits = limits_by_role(tolerances)
    first, second = ({p.id: p for p in page.parts if isinstance(p, Piece)} for page in placed.pages)
    back = put_back(placed)
    found: list[ComparedPiece] = []
    for key in dict.fromkeys((*order, *second, *first)):
        if key in first and key in second:
            found.append(_compared(placed, back, second[key], limits))
        elif key in first or key in second:
            piece = first.get(key) or second[key]
            found.append(_untold(piece, ONLY[key in second], limits))
    return tuple(found)


def _untold(
    piece: Piece, verdict: PieceVerdict, limits: Mapping[str, Limit], why: str | None = None
) -> ComparedPiece:
    limit = limits.get(role_of(piece.role))
    return ComparedPiece(
        id=piece.id, name=piece.name, role=piece.role, verdict=verdict, tolerance=limit, why=why
    )


def _compared(
    placed: Placed, back: PutBack, piece: Piece, limits: Mapping[str, Limit]
) -> ComparedPiece:
    key, limit = piece.id, limits.get(role_of(piece.role))
    if any(key not in at.pieces for at in (*placed.positions, *placed.own)):
        return _untold(piece, "unknown", limits, why_unknown(placed.positions, key))
    ends = [at.pieces[key].first for at in placed.own]
    by = short_way(outputs_of(ends[1], 1) - outputs_of(ends[0], 1))[0].tolist()
    turned = angle_between(ends[0].z[0], ends[1].z[0])
    u = _spread(placed, key)
    not_measured, assumed = _unmeasured(placed, key)
    unsure = _unsure(placed, key)
    verdict = judged(by, u, turned, limit, is_unsure=bool(unsure))
    is_moved, is_turned = math.hypot(*by[:3]) > STILL, turned > LEAST_TILT
    return ComparedPiece(
        id=key,
        name=piece.name,
        role=piece.role,
        verdict="not measured" if not_measured and verdict in QUIET else verdict,
        move=shift_of(by),
        tilt=tilted_of(by, ends[0].z[0], ends[1].z[0]),
        u=spread_of(u),
        beyond=is_move_told(by, u),
        tolerance=limit,
        causes=causes_of(placed, back, key) if is_moved else Causes(),
        tilt_causes=tilt_causes_of(placed, back, key, turned) if is_turned else Causes(),
        not_measured=not_measured,
        unsure=unsure,
        assumed=assumed,
        why=_why_not_measured(placed, not_measured) or None,
    )


def _spread(placed: Placed, key: str) -> tuple[float, ...]:
    """Return how sure a move is, as far as it was measured: standard uncertainties."""
    one, two = (
        [i for i in at.sureness[key].influences if i.source.key not in placed.unmeasured]
        for at in placed.positions
    )
    pages = placed.positions[0].page, placed.positions[1].page
    return spread_of_difference(pages, placed.names, (one, two), OUTPUTS)


def _rested_on(placed: Placed, key: str) -> Iterator[str]:
    """Yield the settings that move a piece on either page, each once."""
    told: set[str] = set()
    for at in reversed(placed.positions):
        for influence in at.sureness[key].influences:
            setting = influence.source.key
            if influence.source.is_setting and setting not in told:
                told.add(setting)
                yield setting


def _unmeasured(placed: Placed, key: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the settings a piece rests on that nobody measured, and those assumed on both."""
    not_measured, assumed = [], []
    for setting in _rested_on(placed, key):
        states = _states(placed, setting)
        if set(states) == {"open"}:
            assumed.append(setting)
        elif any(
            is_unmeasured(page.setting(setting), wanted=placed.wanted and index == 0)
            for index, page in enumerate(placed.pages)
            if setting in page.declared
        ):
            not_measured.append(setting)
    return tuple(not_measured), tuple(assumed)


def _states(placed: Placed, setting: str) -> list[str]:
    return [page.setting(setting).state for page in placed.pages if setting in page.declared]


def _unsure(placed: Placed, key: str) -> tuple[str, ...]:
    """Return the settings a piece rests on of which nobody said how sure they are, or where that
    cannot be carried through; not those whose very same reading both pages rest on."""
    names = {name for at in placed.positions for name in at.sureness[key].unsure}
    pages = placed.positions[0].page, placed.positions[1].page
    return tuple(
        setting
        for setting in _rested_on(placed, key)
        if setting in names
        and setting not in placed.unmeasured
        and setting_spread(pages, setting, placed.names) != 0.0
    )


def _why_not_measured(placed: Placed, settings: Sequence[str]) -> str:
    words = []
    for index, page in enumerate(placed.pages):
        for state in ("carried", "open"):
            if state == "carried" and index == 0 and placed.wanted:
                continue
            of = [s for s in settings if s in page.declared and page.setting(s).state == state]
            words += [f"{state} on the {WHICH[index]}: {some(of)}"] if of else []
    return "; ".join(words)


def why_unknown(positions: Sequence[Positions], key: str) -> str:
    """Say what leaves a piece's place unknown: what is open, or what stands in the way."""
    found = {
        which: why_not_placed(at, key)
        for at, which in zip(positions, WHICH, strict=True)
        if key not in at.pieces
    }
    if len(found) == 2 and len(set(found.values())) == 1:
        return f"on both: {found['first']}"
    words = [f"on the {which}: {why}" for which, why in found.items()]
    return "; ".join(words) or "its joints' own values cannot be worked out"


def why_not_placed(positions: Positions, key: str) -> str:
    """Say what leaves a piece's place unknown on one page."""
    settings = positions.open_settings(key)
    if settings:
        return f"open: {some(settings)}"
    fault = positions.fault(key)
    return fault.what if fault else "nothing fixes what it rests on"


def some(keys: Sequence[str]) -> str:
    """Name a few of many."""
    more = f" and {len(keys) - MOST_TOLD} more" if len(keys) > MOST_TOLD else ""
    return f"{', '.join(keys[:MOST_TOLD])}{more}"
