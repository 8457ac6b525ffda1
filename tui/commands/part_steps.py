"""A step of building as it was asked for on the command line, made into one on a page."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping

from model.book.build import Step
from model.readings.entry import parse_entry
from model.readings.quantity import LengthUnit, Refusal
from model.rig.building import steps
from model.rig.building.changes import Changes
from model.rig.building.copying import copied
from model.rig.building.grips import BarWish, gripped
from model.rig.building.hanging import Kinds
from model.rig.building.own_kind import RIGHT, kind_changed, kind_from, kind_set
from model.rig.building.sizes import parse_signed
from model.rig.building.spots import gap_added, height_added, mark_placed, spot_removed
from model.rig.naming import find_owner, find_setting
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG


def step_of(asked: argparse.Namespace, unit: LengthUnit, kinds: Kinds) -> Step | Refusal:
    """Return the step, to be worked out on a page; or why the words make none."""
    make = _VERBS.get(asked.verb)
    if make is None:
        return Refusal(f"there is no step {asked.verb!r}", ", ".join(_VERBS))
    words, (least, most) = asked.words, _WORDS[asked.verb]
    if not least <= len(words) <= most:
        return Refusal(f"{asked.verb} has {len(words)} words after it", _EXAMPLES[asked.verb])
    fields = _fields([*asked.fields, *(words[1:] if asked.verb in ("set", "make") else ())])
    if isinstance(fields, Refusal):
        return fields
    return lambda page: make(page, asked, fields, unit, kinds)


def meant(page: Page, typed: str) -> str | Refusal:
    """Return the id of what something hangs on: a part, the floor, or nothing yet."""
    if typed in (FLOOR, NOT_HUNG):
        return typed
    return find_owner(page, typed)


Make = Callable[[Page, argparse.Namespace, Mapping[str, str], LengthUnit, Kinds], Changes | Refusal]


def _fields(texts: list[str]) -> dict[str, str] | Refusal:
    fields: dict[str, str] = {}
    for text in texts:
        word, equals, value = text.partition("=")
        if not equals:
            return Refusal(f"{text!r} is no WORD=VALUE", "tube=38.1")
        fields[word.strip()] = value
    return fields


def _part(page: Page, typed: str) -> str | Refusal:
    found = find_owner(page, typed)
    if not isinstance(found, Refusal) and found not in page.by_id:
        return Refusal(f"{typed!r} is no part", " or ".join(list(page.by_id)[:3]) or "a part")
    return found


def _parts(page: Page, texts: list[str]) -> tuple[str, ...] | Refusal:
    found = [_part(page, text) for text in texts]
    refused = next((one for one in found if isinstance(one, Refusal)), None)
    return refused or tuple(one for one in found if not isinstance(one, Refusal))


def _on(
    page: Page, asked: argparse.Namespace, otherwise: tuple[str, ...]
) -> tuple[str, ...] | Refusal:
    if not asked.on:
        return otherwise
    found = [meant(page, text) for text in asked.on]
    refused = next((one for one in found if isinstance(one, Refusal)), None)
    return refused or tuple(one for one in found if not isinstance(one, Refusal))


def _add(
    page: Page, asked: argparse.Namespace, fields: Mapping[str, str], unit: LengthUnit, kinds: Kinds
) -> Changes | Refusal:
    on = _on(page, asked, (FLOOR,) if asked.kind or asked.type != "piece" else (NOT_HUNG,))
    if isinstance(on, Refusal):
        return on
    wish = steps.Wish(asked.words[0], asked.kind, asked.type, on, asked.at, fields, asked.id)
    return steps.added(page, wish, kinds, unit)


def _bar(
    page: Page, asked: argparse.Namespace, fields: Mapping[str, str], unit: LengthUnit, kinds: Kinds
) -> Changes | Refusal:
    on = _on(page, asked, ())
    if isinstance(on, Refusal):
        return on
    wish = BarWish(asked.words[0], on, asked.grip, asked.curved, tuple(fields.items()), asked.id)
    return gripped(page, wish, kinds, unit)


def _hang(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, kinds: Kinds
) -> Changes | Refusal:
    part, on = _part(page, asked.words[0]), _on(page, asked, ())
    if isinstance(part, Refusal):
        return part
    if isinstance(on, Refusal) or not on:
        return on if isinstance(on, Refusal) else Refusal("hang it on what?", "--on PART")
    return steps.hung(page, part, on, asked.at, asked.kind, kinds)


def _set(
    page: Page, asked: argparse.Namespace, fields: Mapping[str, str], unit: LengthUnit, _k: Kinds
) -> Changes | Refusal:
    part = _part(page, asked.words[0])
    if isinstance(part, Refusal):
        return part
    return (
        steps.changed(page, part, fields, unit)
        if fields
        else Refusal("nothing to set", "tube=38.1")
    )


def _kind(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, kinds: Kinds
) -> Changes | Refusal:
    part = _part(page, asked.words[0])
    if isinstance(part, Refusal):
        return part
    return steps.other_kind(page, part, asked.kind or "", kinds)


def _limit(
    page: Page, asked: argparse.Namespace, _fields: object, unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    owner_typed, _, name = asked.words[0].rpartition(".")
    owner = find_owner(page, owner_typed)
    key = find_setting(page, owner, name) if not isinstance(owner, Refusal) else owner
    if isinstance(key, Refusal):
        return key
    if asked.words[1:] == ["none"]:
        return steps.limited(page, key, None)
    numbers = [parse_entry(text, page.declared[key].asked(unit)) for text in asked.words[1:]]
    refused = next((number for number in numbers if isinstance(number, Refusal)), None)
    if refused is not None or len(numbers) != 2:
        return refused or Refusal("a limit is two numbers", f"{key} 0 400, or {key} none")
    low, high = (float(n.value) for n in numbers if not isinstance(n, Refusal))
    return steps.limited(page, key, (low, high))


def _copy(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    parts, on = _parts(page, asked.words), _on(page, asked, ())
    if isinstance(parts, Refusal) or isinstance(on, Refusal):
        return parts if isinstance(parts, Refusal) else on  # type: ignore[return-value]
    return copied(page, parts, on or None)


def _order(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    part = _part(page, asked.words[0])
    before = _part(page, asked.before) if asked.before else None
    if isinstance(part, Refusal) or isinstance(before, Refusal):
        return part if isinstance(part, Refusal) else before  # type: ignore[return-value]
    return steps.ordered(page, part, before=before)


def _remove(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    part = _part(page, asked.words[0])
    return part if isinstance(part, Refusal) else steps.removed(page, part)


def _gap(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    parts = _parts(page, asked.words)
    if isinstance(parts, Refusal):
        return parts
    return gap_added(page, parts[0], parts[1], asked.name or "", own_id=asked.id)


def _height(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    part = _part(page, asked.words[0])
    if isinstance(part, Refusal):
        return part
    edge = asked.words[1] if asked.words[1:] else "near"
    return height_added(page, part, edge, asked.name or "", own_id=asked.id)


def _unspot(
    page: Page, asked: argparse.Namespace, _fields: object, _unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    spot = find_owner(page, asked.words[0])
    if isinstance(spot, Refusal) or spot not in page.by_spot:
        known = " or ".join(list(page.by_spot)[:3]) or "the page has none"
        return spot if isinstance(spot, Refusal) else Refusal(f"{spot} is no spot", known)
    return spot_removed(page, spot)


def _mark(
    _page: Page, asked: argparse.Namespace, _fields: object, unit: LengthUnit, _kinds: Kinds
) -> Changes | Refusal:
    place = [parse_signed(text, unit) for text in asked.words[1:]]
    refused = next((one for one in place if isinstance(one, Refusal)), None)
    if refused is not None:
        return refused
    x, y = (one for one in place if not isinstance(one, Refusal))
    return mark_placed(asked.words[0], x, y, asked.name or "")


def _make(
    page: Page, asked: argparse.Namespace, fields: Mapping[str, str], unit: LengthUnit, kinds: Kinds
) -> Changes | Refusal:
    """Make a kind of one's own: from ``--kind`` where it is given, and not there yet."""
    name, held = asked.words[0], {**kinds, **page.by_kind}
    if name in page.by_kind:
        return kind_set(page, name, fields, unit) if fields else Refusal("nothing to set", RIGHT)
    base = held.get(asked.kind or "")
    if asked.kind and base is None:
        return Refusal(f"there is no kind {asked.kind}", " or ".join(list(held)[:3]))
    made = kind_from(base, name, set(held), own_id=asked.id or "")
    made = made if isinstance(made, Refusal) else kind_changed(made, fields, unit)
    if isinstance(made, Refusal):
        return made
    return Changes(f"made the kind {made.name}, {made.id}", made.id, kinds=(made,))


_VERBS: Mapping[str, Make] = {
    "add": _add, "bar": _bar, "hang": _hang, "set": _set, "kind": _kind, "limit": _limit,
    "copy": _copy, "order": _order, "remove": _remove, "gap": _gap, "height": _height,
    "unspot": _unspot, "mark": _mark, "make": _make,
}  # fmt: skip
_WORDS: Mapping[str, tuple[int, int]] = {
    "add": (1, 1), "bar": (1, 1), "hang": (1, 1), "set": (1, 60), "kind": (1, 1), "limit": (2, 3),
    "copy": (1, 40), "order": (1, 1), "remove": (1, 1), "gap": (2, 2), "height": (1, 2),
    "unspot": (1, 1), "mark": (3, 3), "make": (1, 60),
}  # fmt: skip
_EXAMPLES: Mapping[str, str] = {
    "add": 'add "Left post" --kind foot-post',
    "bar": 'bar "Front bar" --on post-l --on post-r',
    "hang": "hang ride-boom --on post-l",
    "set": "set post-l tube=38.1",
    "kind": "kind ride-boom --kind rod-clamp",
    "limit": "limit ride-boom.reach 0 400",
    "copy": "copy post-l",
    "order": "order ride --before splash",
    "remove": "remove ride-boom",
    "gap": "gap ride splash",
    "height": "height snare near",
    "unspot": "unspot ride-splash",
    "mark": "mark ahead 0 1200",
    "make": 'make "Swivel arm" --kind ball-arm tilt.teeth=24',
}
