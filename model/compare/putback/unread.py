"""What home knows and nobody read tonight, or not in the same way: to be looked at."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from model.compare.answer import owner_name
from model.compare.putback.answer import Unread
from model.compare.putback.basis import Basis
from model.compare.putback.dials import unread_dials
from model.compare.putback.goal import Goal
from model.compare.putback.measured import measured_words
from model.rig.surety import read_from
from model.space.as_read import value_shown


def unread_of(goal: Goal) -> Iterator[Unread]:
    """Yield what nobody read tonight and no step sets, with what home is as it would show."""
    yield from _joints(goal)
    yield from _dials(goal)


def _joints(goal: Goal) -> Iterator[Unread]:
    basis = goal.basis
    for key in basis.unread:
        if key in goal.keys:
            continue
        declared, setting = goal.own.declared[key], basis.asked.wanted.setting(key)
        wished = goal.own.with_setting(key, basis.own_wanted.setting(key))
        shown = value_shown(type(goal.places)(wished), key, basis.like({key}))
        yield Unread(
            setting=key,
            part_name=owner_name(goal.own, declared.owner),
            name=declared.label,
            quantity=declared.quantity,
            to=round(shown, 6) if isinstance(shown, float) else shown,
            read_from=read_from(setting, declared.quantity, basis.asked.wanted),
            using=setting.using,
            measured=measured_words(basis.asked.wanted, key),
            state=_why_unread(basis, key),
            tool=held.tool if (held := basis.fastenings.by_key.get(key)) else "",
        )


def _dials(goal: Goal) -> Iterator[Unread]:
    asked = goal.basis.asked
    for key in unread_dials(asked):
        declared, setting = asked.wanted.declared[key], asked.wanted.setting(key)
        yield Unread(
            setting=key,
            part_name=owner_name(goal.own, declared.owner),
            name=declared.label,
            quantity=declared.quantity,
            to=setting.value,
            using=setting.using,
            state="open" if asked.now.setting(key).state == "open" else "carried",
        )


def _why_unread(basis: Basis, key: str) -> Literal["carried", "open", "otherwise"]:
    now = basis.asked.now
    if key not in now.declared or now.setting(key).measured_tonight:
        return "otherwise"
    return "open" if now.setting(key).state == "open" else "carried"
