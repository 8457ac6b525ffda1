"""What is done in one go: fastenings that are open together, root to tip, by where one stands."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from model.compare.putback.fastenings import Fastening
from model.compare.putback.goal import Goal
from model.rig.page import Page
from model.rig.tree import rig_tree


@dataclass(frozen=True, slots=True)
class Act:
    """Fastenings that are loosened, and what is set while they are loose, root to tip.

    ``root`` is the part on the floor at which one stands; ``dials`` are set with nothing loose.
    """

    fastenings: tuple[Fastening, ...]
    keys: tuple[str, ...]
    root: str
    dials: tuple[str, ...] = ()

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts whose settings are set, each once."""
        return tuple(dict.fromkeys(key.partition(".")[0] for key in (*self.keys, *self.dials)))

    @property
    def loosenings(self) -> int:
        """How many screws and clamps are loosened."""
        return sum(not held.by_hand for held in self.fastenings)


def acts_of(goal: Goal, dials: Collection[str] = (), walk: tuple[str, ...] = ()) -> tuple[Act, ...]:
    """Return the acts that reach a goal, in an order in which none undoes an earlier one.

    A bar's clamps and all that moves its ends against each other are one act; a joint comes after
    all that it hangs on, and after the clamp that its place is measured from. Among those that may
    be next one stays where one stands.
    """
    around = _Walk(goal.own, walk)
    acts = [_act(goal.like, around, group) for group in _together(goal)]
    by_owner: dict[str, list[str]] = {}
    for key in dials:
        by_owner.setdefault(_owner(key), []).append(key)
    acts = _without_rings(goal, around, acts)
    acts += [Act((), (), around.root[owner], tuple(keys)) for owner, keys in by_owner.items()]
    return tuple(_ordered(goal, around, acts))


def above(page: Page, part_ids: Iterable[str]) -> frozenset[str]:
    """Return some parts and all that they hang on, down to the floor."""
    found: set[str] = set()
    waiting = list(part_ids)
    while waiting:
        part = page.by_id.get(waiting.pop())
        if part is not None and part.id not in found:
            found.add(part.id)
            waiting += part.on
    return frozenset(found)


def _owner(key: str) -> str:
    return key.partition(".")[0]


def _together(goal: Goal) -> list[tuple[Fastening, ...]]:
    """Return the opened fastenings in groups that must be open at the same time."""
    opened = {held.id: held for held in goal.opened}
    group = {id_: id_ for id_ in opened}

    def find(id_: str) -> str:
        while group[id_] != id_:
            id_ = group[id_]
        return id_

    for loop in goal.basis.fastenings.loops:
        carrying = above(goal.own, (loop.bar,))
        own = {
            held.id
            for key, held in goal.basis.fastenings.by_key.items()
            if _owner(key) in (loop.bar, *loop.clamps)
        } & opened.keys()
        if not any(_owner(key) == loop.bar for id_ in own for key in opened[id_].keys):
            continue
        moving = [id_ for id_, held in opened.items() if held.part in carrying] + sorted(own)
        for id_ in moving[1:]:
            group[find(id_)] = find(moving[0])
    groups: dict[str, list[Fastening]] = {}
    for id_, held in opened.items():
        groups.setdefault(find(id_), []).append(held)
    return [tuple(held) for held in groups.values()]


def _act(like: Page, walk: _Walk, group: Iterable[Fastening]) -> Act:
    held = tuple(group)
    keys = sorted((key for fastening in held for key in fastening.keys), key=walk.inward)
    place = {owner: at for at, owner in enumerate(_from_first(like, keys))}
    keys.sort(key=lambda key: place[_owner(key)])
    return Act(held, tuple(keys), min((walk.root[_owner(key)] for key in keys), key=walk.place))


def _from_first(like: Page, keys: Iterable[str]) -> list[str]:
    """Return the owners of some keys, each after the clamp among them that it is measured from."""
    owners = list(dict.fromkeys(_owner(key) for key in keys))
    placed: dict[str, None] = {}

    def place(owner: str, waiting: tuple[str, ...]) -> None:
        start = like.by_id[owner].measured_from
        if start in owners and start not in waiting:
            place(start, (*waiting, owner))
        placed[owner] = None

    for owner in owners:
        place(owner, ())
    return list(placed)


class _Walk:
    """The order in which one goes round the rig: root to tip, roots as the book walks them."""

    def __init__(self, rig: Page, first: tuple[str, ...]) -> None:
        tree = rig_tree(rig, first)
        self.root: dict[str, str] = {part.id: part.id for part in tree.not_hung}
        self._depth: dict[str, int] = {}
        for root in tree.roots:
            for branch in root.walk():
                self.root[branch.part.id] = root.part.id
                self._depth[branch.part.id] = branch.depth
        owners = [*tree.order, *(part.id for part in tree.not_hung)]
        self._order = {id_: place for place, id_ in enumerate(owners)}
        self._joint = {  # legs first: a drum is lifted for them, and set down anew
            key: place - (len(rig.declared) if declared.plus == "longer" else 0)
            for place, (key, declared) in enumerate(rig.declared.items())
        }

    def place(self, part_id: str) -> int:
        """Return a part's place on the walk."""
        return self._order.get(part_id, len(self._order))

    def joint(self, key: str) -> int:
        """Return a setting's place among those that the rig declares."""
        return self._joint[key]

    def inward(self, key: str) -> tuple[int, int, int]:
        """Sort key of a setting, root to tip."""
        owner = _owner(key)
        return (self._depth.get(owner, len(self._order)), self.place(owner), self._joint[key])


def _after(goal: Goal, walk: _Walk, acts: Sequence[Act]) -> list[set[int]]:
    """Return for each act the ones that must be done before it."""
    rig, like = goal.own, goal.like
    first = [_first_joints(walk, act) for act in acts]
    hangs_on = [above(rig, act.parts) - set(act.parts) for act in acts]
    before: list[set[int]] = [set() for _ in acts]
    for here, act in enumerate(acts):
        measured_from = {like.by_id[part].measured_from for part in act.parts}
        for there, other in enumerate(acts):
            if here == there:
                continue
            shared = first[here].keys() & first[there].keys()
            comes_first = any(first[there][part] < first[here][part] for part in shared)
            on_it = hangs_on[here] | measured_from
            carries = bool(on_it & set(other.parts)) and bool(other.keys)
            if comes_first or carries:
                before[here].add(there)
    return before


def _first_joints(walk: _Walk, act: Act) -> dict[str, int]:
    found: dict[str, int] = {}
    for key in (*act.keys, *act.dials):
        owner, place = _owner(key), walk.joint(key)
        found[owner] = min(found.get(owner, place), place)
    return found


def _without_rings(goal: Goal, walk: _Walk, acts: list[Act]) -> list[Act]:
    """Return the acts with those made one that would each have to come before the other."""
    before = _after(goal, walk, acts)
    reached = [set(found) for found in before]
    for middle in range(len(acts)):
        for here in range(len(acts)):
            if middle in reached[here]:
                reached[here] |= reached[middle]
    found: list[Act] = []
    done: set[int] = set()
    for here, act in enumerate(acts):
        if here in done:
            continue
        ring = sorted(other for other in reached[here] if here in reached[other]) or [here]
        done.update(ring)
        held = [fastening for other in ring for fastening in acts[other].fastenings]
        found.append(_act(goal.like, walk, held) if len(ring) > 1 else act)
    return found


def _ordered(goal: Goal, walk: _Walk, acts: list[Act]) -> Iterator[Act]:
    waiting = dict(enumerate(_after(goal, walk, acts)))
    stands_at = ""
    while waiting:
        ready = [here for here, before in waiting.items() if not before & waiting.keys()]

        def nearest(here: int) -> tuple[bool, int, tuple[int, int, int]]:
            act = acts[here]
            key = min((*act.keys, *act.dials), key=walk.inward)
            return (act.root != stands_at, walk.place(act.root), walk.inward(key))  # noqa: B023

        here = min(ready, key=nearest)
        del waiting[here]
        stands_at = acts[here].root
        yield acts[here]
