"""What a place rests on: settings and fixed lengths of the hardware, each with how sure it is."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np

from model.rig.page import Page
from model.rig.part import Piece
from model.rig.surety import u_of_place
from model.space.frames import Array

STEP = 1e-3
"""How far an input is nudged for a derivative, in mm, degrees or teeth: central differences are
then right to about 1e-9 of the value for turns of ordinary arms."""


@dataclass(frozen=True, slots=True)
class Input:
    """One input. ``u`` is its standard uncertainty in mm, degrees or teeth, None if not known.

    ``width`` is 3 for an offset, each of whose components has ``u``.
    """

    key: str
    u: float | None
    width: int = 1

    @property
    def is_setting(self) -> bool:
        """Whether it is a setting of the record, or else a length of the hardware."""
        return ":" not in self.key


def input_of(page: Page, key: str) -> Input | None:
    """Return an input by its key; None for a setting that has no value of its own."""
    if ":" in key:
        return _hardware(page, key)
    setting, declared = page.setting(key), page.declared.get(key)
    if declared is None or setting.state == "follows":
        return None
    if setting.state == "open":
        # An assumed zero, or an open turn that moves nothing: nothing is known of how sure it is.
        return Input(key, 0.0)
    return Input(key, u_of_place(setting, declared.quantity, page))


def owner_of(key: str) -> str:
    """Return the part that an input belongs to, a setting or a length of the hardware."""
    return key.partition(":")[0].partition(".")[0]


def _hardware(page: Page, key: str) -> Input | None:
    name, sort = key.rsplit(":", 1)
    of = name.partition(".")[2]
    part = page.by_id[owner_of(key)]
    if isinstance(part, Piece) and not of:
        return Input(key, part.offset_u, 3)
    kind = page.by_kind[part.kind or ""]
    if sort == "before":
        return Input(key, kind.by_joint[of].before_u, 3)
    outlet = next(outlet for outlet in kind.outlets if outlet.id == of)
    return Input(key, outlet.u_mm) if sort == "grip" else Input(key, outlet.offset_u, 3)


@dataclass(frozen=True, slots=True)
class Trials:
    """How all inputs are nudged in one batch. ``slot`` is an input's first; a slot is two rows,
    one nudged up and one down. Nothing is nudged in the last row."""

    inputs: Mapping[str, Input]
    slot: Mapping[str, int]
    rows: int

    def nudges(self) -> dict[str, Array]:
        """Return the nudge of every input, (rows,) or (rows, 3)."""
        made: dict[str, Array] = {}
        for key, held in self.inputs.items():
            first = 2 * self.slot[key]
            nudge = np.zeros((self.rows, held.width))
            for component in range(held.width):
                nudge[first + 2 * component, component] = STEP
                nudge[first + 2 * component + 1, component] = -STEP
            made[key] = nudge[:, 0] if held.width == 1 else nudge
        return made


def trials_for(page: Page, rests: Mapping[str, Collection[str]]) -> Trials:
    """Return trials in which every result's inputs are nudged one at a time.

    ``rests`` are the inputs of each result. Inputs that no result rests on together share a slot,
    so that a large rig needs few more rows than its longest chain of clamps (Curtis, Powell and
    Reid 1974, on estimating sparse Jacobians).
    """
    users: dict[str, list[str]] = {}
    for name, keys in rests.items():
        for key in keys:
            users.setdefault(key, []).append(name)
    inputs: dict[str, Input] = {}
    slot: dict[str, int] = {}
    taken: dict[str, set[int]] = {name: set() for name in rests}
    most = 0
    for key in sorted(users, key=lambda k: (-len(users[k]), k)):
        held = input_of(page, key)
        if held is None:
            continue
        used = set().union(*(taken[name] for name in users[key]))
        first = 0
        while any(first + component in used for component in range(held.width)):
            first += 1
        for name in users[key]:
            taken[name].update(range(first, first + held.width))
        inputs[key], slot[key] = held, first
        most = max(most, first + held.width)
    return Trials(inputs, slot, 2 * most + 1)
