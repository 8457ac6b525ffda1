"""What was worked out already: each thing once, with all that it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar, cast

from model.errors import Problem

T = TypeVar("T")
Node = tuple[str, str]
"""What of which part: ``("rail", "post-l")``."""


DEEPEST = 130
"""How many results may wait for each other: about forty parts hung on one another."""


class Unplaced(Exception):  # noqa: N818
    """A place that cannot be worked out, and why: the rest of the rig goes on without it."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.what)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Held:
    """A result with the inputs it rests on and the faults met on the way; or why there is none."""

    value: object
    rests: frozenset[str]
    faults: tuple[Problem, ...] = ()
    problem: Problem | None = None


class Memo:
    """Results by node. Whoever asks for one rests on all that it rests on."""

    def __init__(self, kept: dict[Node, Held] | None = None) -> None:
        self.held: dict[Node, Held] = dict(kept or {})
        self._rests: list[set[str]] = []
        self._faults: list[list[Problem]] = []
        self._busy: set[Node] = set()

    def rests_on(self, key: str) -> None:
        """Note that what is being worked out rests on an input."""
        if self._rests:
            self._rests[-1].add(key)

    def fault(self, problem: Problem) -> None:
        """Note a fault of what is being worked out."""
        if self._faults:
            self._faults[-1].append(problem)

    def once(self, node: Node, make: Callable[[], T], in_a_ring: Callable[[], Problem]) -> T:
        """Return the result of a node, made the first time; raises :class:`Unplaced`.

        ``in_a_ring`` tells the fault of a node that is met again while it is being made.
        """
        held = self.held.get(node)
        if held is None:
            if node in self._busy or len(self._busy) > DEEPEST:
                raise Unplaced(in_a_ring())
            held = self.held[node] = self._made(node, make)
        if self._rests:
            self._rests[-1] |= held.rests
        if held.problem is not None:
            raise Unplaced(held.problem)  # a fresh one: a kept one would keep all that raised it
        return cast("T", held.value)

    def _made(self, node: Node, make: Callable[[], object]) -> Held:
        self._busy.add(node)
        self._rests.append(set())
        self._faults.append([])
        value: object = None
        problem: Problem | None = None
        try:
            value = make()
        except Unplaced as error:
            problem = error.problem
        finally:
            rests, faults = self._rests.pop(), self._faults.pop()
            self._busy.discard(node)
        if problem is not None:
            faults.append(problem)
        return Held(value, frozenset(rests), tuple(faults), problem)

    def faults(self) -> Iterator[Problem]:
        """Yield every fault once."""
        told: set[tuple[str, str | None]] = set()
        for held in self.held.values():
            for problem in held.faults:
                if (problem.code, problem.key) not in told:
                    told.add((problem.code, problem.key))
                    yield problem

    def kept_without(self, changed: frozenset[str]) -> dict[Node, Held]:
        """Return the results that rest on none of the changed inputs."""
        return {node: held for node, held in self.held.items() if held.rests.isdisjoint(changed)}
