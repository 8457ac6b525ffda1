"""Structure first: what is missing is put back, what was added is asked about."""

from __future__ import annotations

from collections.abc import Iterator

from model.compare.answer import owner_name
from model.compare.putback.answer import StructureStep
from model.compare.putback.basis import Basis
from model.compare.putback.wanted_rig import hangs_alike
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.tree import rig_tree


def structure_steps(basis: Basis) -> Iterator[StructureStep]:
    """Yield what differs in structure, root to tip: put back, hang elsewhere, ask."""
    now, wanted = basis.asked.now, basis.asked.wanted
    tree = rig_tree(wanted)
    ordered = [*(wanted.by_id[id_] for id_ in tree.order), *tree.not_hung]
    for part in ordered:
        here = now.by_id.get(part.id)
        name = _named(part, wanted)
        if here is None:
            text = f"Put back {name} on {hung_on(part, wanted)}."
            yield StructureStep(
                tick=f"put.{part.id}",
                task="put back",
                part=part.id,
                part_name=part.name,
                text=text,
            )
        elif not hangs_alike(here, part):
            as_it_is = _as_it_is(here, part, now)
            yield StructureStep(
                tick=f"hang.{part.id}",
                task="hang elsewhere",
                part=part.id,
                part_name=part.name,
                text=f"Hang {name} on {hung_on(part, wanted)}; tonight it is {as_it_is}.",
            )
        elif now.by_kind.get(here.kind or "") != wanted.by_kind.get(part.kind or ""):
            yield StructureStep(
                tick=f"kind.{part.id}",
                task="other hardware",
                part=part.id,
                part_name=part.name,
                text=f"{part.name} is of the same kind by name, and its joints or offsets differ "
                "from home's: its places are worked out with home's.",
            )
    for part in now.parts:
        if part.id not in wanted.by_id:
            yield StructureStep(
                tick=f"ask.{part.id}",
                task="ask",
                part=part.id,
                part_name=part.name,
                text=f"Ask: {_named(part, now)} was added on {hung_on(part, now)}. "
                "Does it stay? It is left as it is.",
            )


def _as_it_is(here: AnyPart, part: AnyPart, now: Page) -> str:
    """Say where a part is tonight, and of what kind where that is another one."""
    where = f"on {hung_on(here, now)}"
    return where if here.kind == part.kind else f"{_named(here, now)} {where}"


def hung_on(part: AnyPart, page: Page) -> str:
    """Say what a part hangs on: names, the outlet or tube where there are several."""
    names = " and ".join(
        owner_name(page, id_) if id_ != "floor" else "the floor" for id_ in part.on
    )
    where = part.at or part.rail
    return f"{names}, {where}" if where else names


def _named(part: AnyPart, page: Page) -> str:
    kind = page.by_kind.get(part.kind or "")
    return f"{part.name} ({kind.name})" if kind else part.name
