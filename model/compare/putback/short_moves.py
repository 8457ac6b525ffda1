"""The moves that a short changeover picks from, and what some of them together open and take.

A move is the smallest that can be done by itself: the joints of one screw, or of a bar's two
clamps. Moves that open a bar for each other are a knot: what they take is worked out together.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from model.compare.putback.acts import above
from model.compare.putback.basis import Basis
from model.compare.putback.goal import Goal
from model.compare.putback.minutes import Kind, Minutes
from model.compare.putback.roll import jaw_that_tells
from model.compare.putback.short_goals import ShortGoals
from model.rig.page import Page
from model.rig.part import Bar
from model.space.as_read import value_shown


@dataclass(frozen=True, slots=True)
class Opened:
    """What some moves of a knot come to: the joints at home then, and the minutes for it."""

    keys: frozenset[str]
    minutes: float


@dataclass(frozen=True)
class Knot:
    """Moves whose minutes depend on each other, by number; those in ``must`` are always done."""

    moves: tuple[int, ...]
    must: frozenset[int]


class Moves:
    """All the moves of a put-back, its dials, and what each selection opens and takes.

    ``settings`` are what each move sets of what is to be set; a dial is a move of its own, and
    dials come last.
    """

    def __init__(self, whole: Goal, dials: Sequence[str], minutes: Minutes) -> None:
        self.basis: Basis = whole.basis
        self.whole = whole
        self.minutes = minutes
        self.joints: tuple[frozenset[str], ...] = tuple(_moves(whole))
        self.settings = (*self.joints, *(frozenset({dial}) for dial in dials))
        self._goals = ShortGoals(whole)
        self._like = self.basis.like(())
        self._bars = [part for part in whole.own.parts if isinstance(part, Bar)]
        self._jaws = {bar.id: _jaws(whole, bar) for bar in self._bars}
        again = self.basis.hung_again
        owners = [{key.partition(".")[0] for key in keys} for keys in self.joints]
        self._must = {number for number, held in enumerate(owners) if held & again}
        self._opened: dict[tuple[int, ...], Opened] = {}

    @cached_property
    def knots(self) -> tuple[Knot, ...]:
        """The moves in knots, in order; most are alone."""
        group = list(range(len(self.settings)))
        for tied in _tied(self.whole, self.joints):
            for other in tied[1:]:
                gone, stays = group[other], group[tied[0]]
                group = [stays if held == gone else held for held in group]
        return tuple(
            Knot(moves, frozenset(self._must.intersection(moves)))
            for first in dict.fromkeys(group)
            for moves in [tuple(n for n, held in enumerate(group) if held == first)]
        )

    def opened(self, picked: Iterable[int]) -> Opened:
        """Return what some moves of one knot open and take, with nothing else done."""
        numbers = tuple(sorted(picked))
        if numbers in self._opened:
            return self._opened[numbers]
        if numbers and numbers[0] >= len(self.joints):
            dials = frozenset().union(*(self.settings[number] for number in numbers))
            self._opened[numbers] = Opened(dials, self.minutes.of("dial" for _ in dials))
        else:
            wished = frozenset().union(*(self.joints[number] for number in numbers))
            goal = self._goals.goal_of(wished)
            self._opened[numbers] = Opened(goal.keys, self.minutes.of(self.kinds_in(goal)))
        return self._opened[numbers]

    def kinds_in(self, goal: Goal) -> Iterator[Kind]:
        """Yield every move of a goal's acts by its kind, as the steps of its list count them."""
        for held in goal.opened:
            yield "place" if held.by_hand else "loosen"
            for key in held.keys:
                if not held.by_hand and goal.basis.is_wanted(key):
                    yield _kind(goal, key)
        opened = frozenset(key for held in goal.opened for key in held.keys)
        for bar in self._bars:
            if any(key.startswith(f"{bar.id}.") for key in opened):
                told = self._rolled_by(goal, bar, opened)
                if told is not None:
                    yield _kind(goal, told)

    def _rolled_by(self, goal: Goal, bar: Bar, opened: frozenset[str]) -> str | None:
        """Return the spin by which a loose bar is turned: it takes a reading."""
        jaws = self._jaws[bar.id]
        if len({_kind(self.whole, jaw) for jaw in jaws}) > 1:
            key = jaw_that_tells(goal, bar)
        else:  # whichever is first along the bar, it takes as long
            key = next((jaw for jaw in jaws if jaw not in opened), None)
        return key if key is not None and _is_shown(goal, key, self._like) else None

    def setting(self, keys: Collection[str]) -> frozenset[int]:
        """Return the moves that set any of these joints and dials."""
        wanted = frozenset(keys)
        return frozenset(n for n, held in enumerate(self.settings) if held & wanted)


def _kind(goal: Goal, key: str) -> Kind:
    quantity = goal.own.declared[key].quantity
    return "slide" if quantity == "length" else "tooth" if quantity == "teeth" else "turn"


def _owners(keys: Iterable[str]) -> frozenset[str]:
    return frozenset(key.partition(".")[0] for key in keys)


def _moves(whole: Goal) -> Iterator[frozenset[str]]:
    """Yield the joints to be moved of each fastening; those of a bar's two clamps are one move."""
    basis = whole.basis
    group = {held.id: held.id for held in basis.fastenings.all}
    for loop in basis.fastenings.loops:
        clamps = (basis.fastenings.of_clamp(clamp) for clamp in loop.clamps)
        tied = {held.id for held in clamps if held is not None}
        by_key = basis.fastenings.by_key.items()
        tied |= {held.id for key, held in by_key if key.startswith(f"{loop.bar}.")}
        if not tied:
            continue
        gone, stays = {group[id_] for id_ in tied}, min(group[id_] for id_ in tied)
        group = {id_: stays if held in gone else held for id_, held in group.items()}
    keys: dict[str, set[str]] = {}
    for held in basis.fastenings.all:
        keys.setdefault(group[held.id], set()).update(basis.moved.intersection(held.keys))
    yield from (frozenset(held) for held in keys.values() if held)


def _tied(whole: Goal, moves: Sequence[frozenset[str]]) -> Iterator[list[int]]:
    """Yield moves that are a knot, by number: those of a bar in two clamps or on the floor with
    all it is held by, and of a loose bar with the jaws on it that may tell how far it rolled."""
    rig = whole.own
    for part in rig.parts:
        if not isinstance(part, Bar):
            continue
        if len(part.on) == 2 or rig.setting(f"{part.id}.slope").state == "follows":
            held = set(above(rig, (part.id,)))
            held |= {origin for id_ in held if (origin := whole.like.by_id[id_].measured_from)}
            yield [n for n, keys in enumerate(moves) if _owners(keys) & held]
        opened = _openable(whole, moves)
        jaws = _jaws(whole, part)
        if any(jaw in opened for jaw in jaws) and not _one_always_tells(whole, jaws, opened):
            carried = [above(rig, (loop.bar,)) for loop in whole.basis.fastenings.loops]
            near = {part.id, *part.on}
            near |= {id_ for held in carried if held & _owners(jaws) for id_ in held}
            yield [
                n
                for n, keys in enumerate(moves)
                if _owners(keys) & near or _freed(whole, keys) & set(jaws)
            ]


def _jaws(whole: Goal, bar: Bar) -> tuple[str, ...]:
    """Return the spins on a bar of which the first that nobody sets tells how far it rolled."""
    by_key = whole.basis.fastenings.by_key
    found: list[str] = []
    untouched = replace(whole, opened=())
    while (key := jaw_that_tells(untouched, bar)) is not None and key not in found:
        found.append(key)
        untouched = replace(whole, opened=tuple(by_key[jaw] for jaw in found))
    return tuple(found)


def _openable(whole: Goal, moves: Sequence[frozenset[str]]) -> frozenset[str]:
    """Return the settings that some selection of moves may free."""
    fastenings = whole.basis.fastenings
    held = {part for loop in fastenings.loops for part in (loop.bar, *loop.clamps)}
    in_loops = {key for key in fastenings.by_key if key.partition(".")[0] in held}
    return frozenset(in_loops.union(*(_freed(whole, keys) for keys in moves)))


def _one_always_tells(whole: Goal, jaws: Sequence[str], opened: frozenset[str]) -> bool:
    """Tell whether a loose bar takes the same minutes to turn whatever jaws on it are set."""
    steady = [jaw for jaw in jaws if jaw not in opened]
    kinds = {_kind(whole, jaw) for jaw in jaws}
    return (
        bool(steady) and len(kinds) == 1 and all(_is_shown(whole, jaw, whole.like) for jaw in jaws)
    )


def _is_shown(goal: Goal, key: str, like: Page) -> bool:
    return value_shown(goal.places, key, like) is not None


def _freed(whole: Goal, keys: frozenset[str]) -> frozenset[str]:
    by_key = whole.basis.fastenings.by_key
    return frozenset(other for key in keys for other in by_key[key].keys)
