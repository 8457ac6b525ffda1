"""The steps of building: each the changes of the page, or why it cannot be done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from model.readings.quantity import LengthUnit, Refusal
from model.rig.building.changes import Changes, page_with, telling_losses
from model.rig.building.fields import validated, with_field
from model.rig.building.hanging import Kinds, free_outlet, missing, outlets_of, why_not_hang
from model.rig.building.naming import Pair, checked_name, free_id, random_pair
from model.rig.declared import AnyPart
from model.rig.kind import Kind, PartType
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG, PART_TYPES, Bar
from model.rig.setting import Setting


@dataclass(frozen=True, slots=True)
class Wish:
    """A part that is wanted: its name, its kind or its type, where it hangs, what else is set.

    ``at`` is an outlet's id; without one the first free outlet is taken. ``fields`` are words of
    :mod:`model.rig.building.fields` and what was typed for them.
    """

    name: str
    kind: str | None = None
    type: PartType | None = None
    on: tuple[str, ...] = (FLOOR,)
    at: str | None = None
    fields: Mapping[str, str] = field(default_factory=dict)
    id: str | None = None


def added(
    page: Page, wish: Wish, kinds: Kinds, unit: LengthUnit = "mm", pair: Pair = random_pair
) -> Changes | Refusal:
    """Add a part. ``kinds`` are all that are known; the page gets the one it lacks."""
    name = checked_name(wish.name)
    if isinstance(name, Refusal):
        return name
    kind = _kind(page, wish.kind, kinds)
    if isinstance(kind, Refusal):
        return kind
    part_type = wish.type or (_type_of(kind) if kind else None)
    if part_type is None:
        return Refusal(f"{name} has no kind and no type", "a kind, or one of " + _types())
    if kind is not None and kind.fits is not None and kind.fits != part_type:
        return Refusal(f"{kind.name} is a kind of {kind.fits}, and no {part_type}", str(kind.fits))
    part_id = free_id(page, wish.id, name, pair)
    if isinstance(part_id, Refusal):
        return part_id
    made = PART_TYPES[part_type](id=part_id, name=name, kind=kind.id if kind else None, on=wish.on)
    part = hung_part(_with_kind(page, kind), made, wish.on, wish.at)
    for word, typed in wish.fields.items():
        if isinstance(part, Refusal):
            break
        part = with_field(part, word, typed, unit)
    if isinstance(part, Refusal):
        return part
    new_kinds = (kind,) if kind is not None and kind.id not in page.by_kind else ()
    where = _where_words(page, part)
    return Changes(f"added {name} {where}", part_id, parts=(part,), kinds=new_kinds)


def hung(
    page: Page,
    part_id: str,
    on: tuple[str, ...],
    at: str | None = None,
    kind_id: str | None = None,
    kinds: Kinds = MappingProxyType({}),
) -> Changes | Refusal:
    """Hang a part elsewhere, with all that hangs on it; its settings keep what they say.

    ``kind_id`` gives it another kind at once: a drum that comes to stand on legs. A bar's sides
    stay where it has as many clamps as before.
    """
    if refused := missing(page, part_id):
        return refused
    part = page.by_id[part_id]
    if part.on == on and at in (None, part.at) and kind_id in (None, part.kind):
        return Refusal(f"{part.name} hangs there already", "another part")
    new: tuple[Kind, ...] = ()
    if kind_id is not None:
        other = other_kind(page, part_id, kind_id, kinds, hangs=on)
        if isinstance(other, Refusal):
            return other
        (part,), new = other.parts, other.kinds
    hanging = hung_part(_with_kind(page, *new), part, on, at)
    if isinstance(hanging, Refusal):
        return hanging
    what = f"hung {part.name} {_where_words(page, hanging)}"
    if on == (NOT_HUNG,):
        what = f"{part.name} is not hung"
    return telling_losses(page, Changes(what, part_id, parts=(hanging,), kinds=new))


def changed(
    page: Page, part_id: str, words: Mapping[str, str], unit: LengthUnit = "mm"
) -> Changes | Refusal:
    """Set something of a part, as it was typed."""
    if refused := missing(page, part_id):
        return refused
    part: AnyPart | Refusal = page.by_id[part_id]
    assert not isinstance(part, Refusal)
    name = part.name
    for word, typed in words.items():
        part = with_field(part, word, typed, unit)
        if isinstance(part, Refusal):
            return part
    told = ", ".join(f"{word} {typed.strip() or 'none'}" for word, typed in words.items())
    return telling_losses(page, Changes(f"{name}: {told}", part_id, parts=(part,)))


def other_kind(
    page: Page, part_id: str, kind_id: str, kinds: Kinds, hangs: tuple[str, ...] | None = None
) -> Changes | Refusal:
    """Give a part another kind: settings that both have stay, the others go or are new.

    ``hangs`` is where it is to hang, where that changes as well.
    """
    if gone := missing(page, part_id):
        return gone
    old = page.by_id[part_id]
    kind = _kind(page, kind_id, kinds)
    if isinstance(kind, Refusal):
        return kind
    assert kind is not None
    if kind.fits not in (None, old.type):
        return Refusal(f"{kind.name} is a kind of {kind.fits}, and {old.name} no {kind.fits}",
                       f"a kind of {old.type}")  # fmt: skip
    part = validated(old, {"kind": kind.id}, kind.id)
    if isinstance(part, Refusal):
        return part
    refused = why_not_hang(_with_kind(page, kind), part, hangs or part.on, None)
    if refused is not None:
        return refused
    new = () if kind.id in page.by_kind else (kind,)
    changes = Changes(f"{old.name} is now: {kind.name}", part_id, parts=(part,), kinds=new)
    return telling_losses(page, changes)


def removed(page: Page, part_id: str) -> Changes | Refusal:
    """Take a part off. What hangs on it goes to what is not hung, and is never gone."""
    if refused := missing(page, part_id):
        return refused
    part = page.by_id[part_id]
    hang = [p for p in page.parts if part_id in p.on]
    loose = tuple(loosened(p) for p in hang)
    words = f"; not hung now: {', '.join(p.name for p in loose)}" if loose else ""
    what = f"took {part.name} off{words}"
    at = loose[0].id if loose else part.on[0]
    return Changes(what, at, parts=loose, gone=frozenset({part_id}))


def loosened(part: AnyPart) -> AnyPart:
    """Return a part that hangs on nothing, with all else that it has."""
    fields: dict[str, object] = {"on": (NOT_HUNG,), "at": None}
    if isinstance(part, Bar):
        fields["side"] = ()
    return part.model_copy(update=fields)


def ordered(page: Page, part_id: str, *, before: str | None = None) -> Changes | Refusal:
    """Put a part before another one in hand order; at the end without one."""
    if refused := missing(page, part_id):
        return refused
    order = [id_ for id_ in page.by_id if id_ != part_id]
    if before is not None and before not in order:
        return Refusal(f"there is no other part {before}", " or ".join(order[:3]) or "a part")
    order.insert(order.index(before) if before is not None else len(order), part_id)
    where = f"before {page.by_id[before].name}" if before else "at the end"
    name = page.by_id[part_id].name
    return Changes(f"{name} stands {where}", part_id, order=tuple(order))


def limited(page: Page, key: str, limit: tuple[float, float] | None) -> Changes | Refusal:
    """Give a setting its own limits, in the unit that it is kept in, or those of its kind again."""
    if key not in page.declared:
        return Refusal(f"{key} is not on the page any more", "another setting")
    declared, setting = page.declared[key], page.setting(key)
    if declared.quantity == "word":
        return Refusal("words have no limits", "a setting with a number")
    if limit is not None and limit[0] > limit[1]:
        return Refusal("a limit goes from low to high", f"{limit[1]:g}..{limit[0]:g}")
    after = Setting.model_validate(
        {**_plain(setting), "limit": tuple(map(float, limit)) if limit is not None else None}
    )
    words = "its kind's limits" if limit is None else f"{limit[0]:g} to {limit[1]:g}"
    return Changes(f"{declared.label}: {words}", declared.owner, settings={key: after})


def _plain(setting: Setting) -> dict[str, object]:
    fields = {name: getattr(setting, name) for name in Setting.model_fields}
    fields["from"] = fields.pop("read_from")
    return fields


def hung_part(page: Page, part: AnyPart, on: tuple[str, ...], at: str | None) -> AnyPart | Refusal:
    """Return a part as it hangs there, in the first free outlet where none is named."""
    if at is None and len(on) == 1 and on[0] in page.by_id:
        at = free_outlet(page, on[0], holds_bar=isinstance(part, Bar))
    refused = why_not_hang(page, part, on, at)
    if refused is not None:
        return refused
    alone = len(on) == 1 and on[0] in page.by_id and len(outlets_of(page, on[0])) == 1
    fields: dict[str, object] = {"on": on, "at": None if alone else at}
    if isinstance(part, Bar) and part.side and len(part.side) != len(on):
        fields["side"] = ()
    return validated(part, fields, 'on = "post-l"')


def _kind(page: Page, kind_id: str | None, kinds: Kinds) -> Kind | Refusal | None:
    if kind_id is None:
        return None
    held = {**kinds, **page.by_kind}
    kind = held.get(kind_id) or _only_named(held, kind_id)
    if kind is None:
        import difflib

        known = [*page.by_kind, *kinds]
        near = difflib.get_close_matches(kind_id, known, n=3, cutoff=0.4) or known[:3]
        return Refusal(f"there is no kind {kind_id}", " or ".join(dict.fromkeys(near)))
    return kind


def _type_of(kind: Kind) -> PartType | None:
    """Return what a kind is of; one that does not say, and is clamped to a tube, is a mount's."""
    return kind.fits or ("mount" if kind.on_rail else None)


def _only_named(kinds: Mapping[str, Kind], name: str) -> Kind | None:
    named = [kind for kind in kinds.values() if kind.name.casefold() == name.casefold().strip()]
    return named[0] if len(named) == 1 else None


def _with_kind(page: Page, *kinds: Kind | None) -> Page:
    new = [kind for kind in kinds if kind is not None and kind.id not in page.by_kind]
    if not new:
        return page
    return page_with(page, kinds=(*page.kinds, *new))


def _where_words(page: Page, part: AnyPart) -> str:
    names = [page.by_id[on].name if on in page.by_id else on for on in part.on]
    where = {FLOOR: "on the floor", NOT_HUNG: "not hung"}.get(part.on[0])
    outlet = f", {part.at}" if part.at else ""
    return where or f"on {' and '.join(names)}{outlet}"


def _types() -> str:
    return ", ".join(PART_TYPES)
