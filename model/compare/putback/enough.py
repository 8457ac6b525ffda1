"""The few moves that are enough: each piece within its tolerance, and nothing more loosened."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from model.compare.putback.answer import PutBack
from model.compare.putback.asked import Asked
from model.compare.putback.make import Choices
from model.compare.putback.short import Question, scale_notes
from model.compare.putback.short_sum import Sum

SLACK = 1e-9


def enough_put_back(asked: Asked, choices: Choices) -> PutBack:
    """Return the way home without the moves that no piece needs to be within its tolerance.

    Moves are left out one after another, the longest first, as long as every piece stays within
    its tolerance, or as near as all the moves bring it. Dials are all set, and so is what moves no
    surface that is known (a badge's turn): nobody can tell here whether it matters. What is left
    out is told.
    """
    question = Question(asked, choices)
    kept = _enough(question.total)
    answer = question.answer(question.total.of(kept))
    return answer.model_copy(
        update={"enough": True, "notes": (*answer.notes, *scale_notes(question.total))}
    )


def _enough(total: Sum) -> frozenset[int]:
    """Return the moves that are kept."""
    every = frozenset(range(len(total.moves.settings)))
    whole = dict(_offs(total, every))
    limits = {piece: max(1.0, off) for piece, off in whole.items()}
    tells = {number for number in every if dict(_offs(total, every - {number})) != whole}
    kept = every
    while True:
        for left in _candidates(total, kept):
            if left <= tells and _is_enough(total, kept - left, limits):
                kept -= left
                break
        else:
            return kept


def _is_enough(total: Sum, moves: frozenset[int], limits: Mapping[str, float]) -> bool:
    return all(off <= limits[piece] + SLACK for piece, off in _offs(total, moves))


def _candidates(total: Sum, kept: frozenset[int]) -> Iterator[frozenset[int]]:
    """Yield what may be left out together: a whole knot, then each move; most minutes first."""
    now = total.of(kept).minutes
    groups = {frozenset(knot.moves) & kept for knot in total.knots}
    groups |= {frozenset({number}) for number in kept}
    free = [group - total.must for group in groups]
    joints = len(total.moves.joints)
    saved = [
        (now - total.minutes_of(kept - group), sorted(group))
        for group in free
        if group and max(group) < joints
    ]
    for minutes, group in sorted(saved, key=lambda item: (-item[0], item[1])):
        if minutes >= 0.0:
            yield frozenset(group)


def _offs(total: Sum, moves: Iterable[int]) -> Iterator[tuple[str, float]]:
    """Yield each counted piece with how many of its tolerances it is off then."""
    keys = total.keys_of(moves)
    for piece in total.away.counted:
        yield piece, total.away.in_tolerances(piece, keys)
