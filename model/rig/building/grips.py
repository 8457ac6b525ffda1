"""A bar and the clamps that hold it, added at once: through, beside on a side, or by its end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from model.readings.quantity import LengthUnit, Refusal
from model.rig.building.changes import Changes, with_changes
from model.rig.building.hanging import Kinds, is_rail
from model.rig.building.naming import Pair, random_pair, shortened
from model.rig.building.steps import Wish, added
from model.rig.kind import Kind
from model.rig.page import Page

Grip = Literal["left", "right", "through", "end"]
GRIPS: dict[Grip, str] = {
    "left": "beside it, on its left seen from A to B",
    "right": "beside it, on its right seen from A to B",
    "through": "through its middle",
    "end": "at its end",
}
_HOLDS = {"left": "beside", "right": "beside", "through": "through", "end": "end"}
_ON_POST = {"beside": "side-clamp", "through": "cross-clamp", "end": "t-clamp"}
_ON_BAR = {"beside": "bar-to-bar-clamp"}


@dataclass(frozen=True, slots=True)
class BarWish:
    """A bar that is wanted: its name, straight or curved, the tubes that hold it, and how."""

    name: str
    rails: tuple[str, ...]
    grip: Grip = "right"
    curved: bool = False
    fields: tuple[tuple[str, str], ...] = ()
    id: str | None = None


def gripped(
    page: Page, wish: BarWish, kinds: Kinds, unit: LengthUnit = "mm", pair: Pair = random_pair
) -> Changes | Refusal:
    """Add a bar in clamps of its own on one or two tubes, end A toward the first."""
    refused = _why_not(page, wish)
    if refused is not None:
        return refused
    start, clamps = page, []
    changes = Changes("")
    for rail in wish.rails:
        kind_id = clamp_kind(page, rail, wish.grip)
        if isinstance(kind_id, Refusal):
            return kind_id
        name = shortened(_clamp_name(page, wish, rail))
        fields = {"edge": "top"} if page.by_id[rail].type == "post" else {}
        step = added(start, Wish(name, kind_id, on=(rail,), fields=fields), kinds, unit, pair)
        if isinstance(step, Refusal):
            return step
        start, changes = with_changes(start, step), together(changes, step)
        clamps.append(step.at)
    sides = {"side": wish.grip} if _HOLDS[wish.grip] == "beside" else {}
    bar = Wish(
        wish.name,
        bar_kind(wish.grip, len(wish.rails), curved=wish.curved),
        on=tuple(clamps),
        fields={**sides, **dict(wish.fields)},
        id=wish.id,
    )
    step = added(start, bar, kinds, unit, pair)
    if isinstance(step, Refusal):
        return step
    rails = " and ".join(page.by_id[rail].name for rail in wish.rails)
    done = together(changes, step)
    return Changes(
        f"added {wish.name} on {rails}, {GRIPS[wish.grip].split(',')[0]}",
        step.at,
        parts=done.parts,
        kinds=done.kinds,
    )


def bar_kind(grip: Grip, clamps: int, *, curved: bool) -> str:
    """Return the generic kind of a bar by how it is held."""
    if clamps == 2:
        return "curved-bar-in-two-clamps" if curved else "bar-in-two-clamps"
    if grip == "end":
        return "bar-by-its-end"
    return "curved-bar-in-one-clamp" if curved else "bar-in-one-clamp"


def clamp_kind(page: Page, rail: str, grip: Grip) -> str | Refusal:
    """Return the generic kind of the clamp that holds a bar so on a tube."""
    holds = _HOLDS[grip]
    known = _ON_POST if page.by_id[rail].type == "post" else _ON_BAR
    if holds in known:
        return known[holds]
    return Refusal(f"no clamp on a bar holds another {GRIPS[grip]}", "left, or right, beside it")


def together(first: Changes, then: Changes) -> Changes:
    """Return two steps as one: the second was worked out on what the first leaves."""
    parts = {part.id: part for part in (*first.parts, *then.parts)}
    kinds: dict[str, Kind] = {kind.id: kind for kind in (*first.kinds, *then.kinds)}
    return Changes(
        then.what,
        then.at,
        parts=tuple(part for part in parts.values() if part.id not in then.gone),
        gone=first.gone | then.gone,
        spots=(*first.spots, *then.spots),
        gone_spots=first.gone_spots | then.gone_spots,
        kinds=tuple(kinds.values()),
        settings={**first.settings, **then.settings},
        order=then.order or first.order,
    )


def _why_not(page: Page, wish: BarWish) -> Refusal | None:
    posts = [id_ for id_, part in page.by_id.items() if is_rail(part)]
    right = " or ".join(posts[:3]) or "add a post first"
    for rail in wish.rails:
        if rail not in page.by_id:
            return Refusal(f"there is no part {rail}", right)
        if not is_rail(page.by_id[rail]):
            return Refusal(f"{page.by_id[rail].name} is no post and no bar", right)
    if len(wish.rails) not in (1, 2) or len(set(wish.rails)) != len(wish.rails):
        return Refusal("a bar is held on one tube, or on two different ones", right)
    if wish.grip == "end" and (len(wish.rails) == 2 or wish.curved):
        return Refusal("a straight bar is held at its end by one clamp", "right, left or through")
    return None


def _clamp_name(page: Page, wish: BarWish, rail: str) -> str:
    clamp = f"{wish.name}'s clamp"
    return clamp if len(wish.rails) == 1 else f"{clamp}, {page.by_id[rail].name}"
