"""A kind of one's own: made from another one, then changed joint by joint and outlet by outlet."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal
from model.rig.building.changes import Changes, telling_losses
from model.rig.building.hanging import Kinds, missing
from model.rig.building.naming import (
    Pair,
    checked_name,
    new_id,
    random_pair,
    refused_id,
    slug_of,
)
from model.rig.building.sizes import NOTHING, parse_signed
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Page

WORDS = ("limit", "before", "teeth", "zero", "plus", "measured", "loosen", "assumed")
"""What can be set of a joint."""
RIGHT = 'tilt.limit=0..90, slide="slides z", end.tip=0,0,40, end.jaw=beside 45, name=Swivel arm'
_MOTION = re.compile(r"(slides|turns)\s+(?:about\s+|along\s+)?(-?[xyz]|rail|chord|leg)")
_HOLDS = re.compile(r"(?:(.+?)\s*;?\s*)?(through|beside|end)(?:\s+(.+))?")


def own_kind(
    page: Page, part_id: str, name: str, kinds: Kinds, pair: Pair = random_pair
) -> Changes | Refusal:
    """Make a kind of one's own from a part's, as it is, and give it to the part."""
    if refused := missing(page, part_id):
        return refused
    part = page.by_id[part_id]
    base = kinds.get(part.kind or "") or page.by_kind.get(part.kind or "")
    if base is None:
        return Refusal(f"{part.name} has no kind to make another from", "give it a kind first")
    made = kind_from(base, name, {*page.by_kind, *kinds}, pair)
    if isinstance(made, Refusal):
        return made
    after = part.model_copy(update={"kind": made.id})
    return Changes(f"{part.name} is of a kind of its own: {made.name}", part_id,
                   parts=(after,), kinds=(made,))  # fmt: skip


def kind_from(
    base: Kind | None, name: str, taken: set[str], pair: Pair = random_pair, own_id: str = ""
) -> Kind | Refusal:
    """Return a new kind as another one is; without another one it has no joint yet."""
    checked = checked_name(name)
    if isinstance(checked, Refusal):
        return checked
    if own_id and (refused := refused_id(own_id, "swivel-arm")):
        return refused
    if own_id in taken:
        return Refusal(f"the kind {own_id} is there already", new_id(checked, taken, pair))
    plain = slug_of(checked)
    kind_id = own_id or (plain if plain not in taken else new_id(checked, taken, pair))
    if base is None:
        return Kind(id=kind_id, name=checked, fits="mount")
    return base.model_copy(update={"id": kind_id, "name": checked})


def kind_changed(kind: Kind, words: Mapping[str, str], unit: LengthUnit = "mm") -> Kind | Refusal:
    """Return a kind with some of it set: ``JOINT.limit``, ``JOINT``, ``end.NAME``, ``name``."""
    for word, typed in words.items():
        made = _with_word(kind, word, typed.strip(), unit)
        if isinstance(made, Refusal):
            return made
        kind = made
    return kind


def kind_set(
    page: Page, kind_id: str, words: Mapping[str, str], unit: LengthUnit = "mm"
) -> Changes | Refusal:
    """Change a kind of the page: every part of it has what it says from now on."""
    if kind_id not in page.by_kind:
        return Refusal(f"the kind {kind_id} is not on the page any more", "another kind")
    after = kind_changed(page.by_kind[kind_id], words, unit)
    if isinstance(after, Refusal):
        return after
    users = [part.name for part in page.parts if part.kind == kind_id]
    told = ", ".join(f"{word} {typed.strip() or 'none'}" for word, typed in words.items())
    at = next((part.id for part in page.parts if part.kind == kind_id), "")
    what = f"{after.name}: {told}; it is the kind of {', '.join(users) or 'no part'}"
    return telling_losses(page, Changes(what, at, kinds=(after,)))


def kind_words(kind: Kind) -> tuple[str, ...]:
    """Return what can be set of a kind, in order."""
    joints = (f"{joint.id}.{word}" for joint in kind.joints for word in WORDS)
    return ("name", "body", *joints, *(f"end.{outlet.id}" for outlet in kind.outlets))


def _with_word(kind: Kind, word: str, typed: str, unit: LengthUnit) -> Kind | Refusal:
    owner, _, rest = word.partition(".")
    if word == "name":
        checked = checked_name(typed)
        return checked if isinstance(checked, Refusal) else _valid(kind, {"name": checked})
    if word == "body":
        body = None if typed in NOTHING else parse_length(typed, unit)
        return body if isinstance(body, Refusal) else _valid(kind, {"body": body})
    if owner == "end" and rest:
        return _with_outlet(kind, rest, typed, unit)
    if not rest:
        return _with_joint(kind, owner, typed)
    if owner not in kind.by_joint:
        return Refusal(f"{kind.name} has no joint {owner}", " or ".join(kind.by_joint) or RIGHT)
    if rest not in WORDS:
        return Refusal(f"a joint has no {rest}", ", ".join(WORDS))
    fields = _joint_fields(rest, typed, unit)
    return fields if isinstance(fields, Refusal) else _joint_set(kind, owner, fields)


def _joint_fields(word: str, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    nothing = typed in NOTHING
    match word:
        case "limit":
            return {"limit": None} if nothing else _limit(typed)
        case "before":
            offset = (0.0, 0.0, 0.0) if nothing else _vector(typed, unit)
            return offset if isinstance(offset, Refusal) else {"before": offset}
        case "teeth":
            if nothing:
                return {"teeth": None, "tooth_zero": ""}
            return {"teeth": int(typed)} if typed.isdigit() else Refusal("teeth a turn", "24")
        case "assumed":
            try:
                return {"assumed": None if nothing else float(typed)}
            except ValueError:
                return Refusal(f"{typed!r} is no number", "0")
    if nothing:
        return {word: ""}
    checked = checked_name(typed, word)
    return checked if isinstance(checked, Refusal) else {word: checked}


def _limit(typed: str) -> dict[str, Any] | Refusal:
    match = re.fullmatch(r"(-?[\d.]+)\s*(?:\.\.|to)\s*(-?[\d.]+)", typed)
    try:
        return {"limit": (float(match[1]), float(match[2]))} if match else _no_limit(typed)
    except ValueError:
        return _no_limit(typed)


def _no_limit(typed: str) -> Refusal:
    return Refusal(f"{typed!r} is no limit", "0..300, in mm, degrees or teeth")


def _vector(typed: str, unit: LengthUnit) -> tuple[float, float, float] | Refusal:
    words = [word.strip() for word in typed.strip("[]()").split(",")]
    mm = [parse_signed(word, unit) for word in words]
    refused = next((one for one in mm if isinstance(one, Refusal)), None)
    if refused is not None or len(mm) != 3:
        return refused or Refusal("an offset is three lengths, with commas", "0, 55, 0")
    x, y, z = (float(one) for one in mm if not isinstance(one, Refusal))
    return (x, y, z)


def _with_joint(kind: Kind, name: str, typed: str) -> Kind | Refusal:
    """Add a joint at the tip, change what it does, or take it out."""
    if typed in NOTHING:
        if name not in kind.by_joint:
            return Refusal(f"{kind.name} has no joint {name}", " or ".join(kind.by_joint) or RIGHT)
        rest = tuple(joint for joint in kind.joints if joint.id != name)
        return _valid(kind, {"joints": rest})
    match = _MOTION.fullmatch(typed)
    if match is None:
        return Refusal(f"{typed!r} is no motion", '"slides y", or "turns -z": rail, x, y, z')
    fields = {"slides": None, "turns": None, match[1]: match[2]}
    if name in kind.by_joint:
        return _joint_set(kind, name, fields)
    try:
        joint = Joint.model_validate({"id": name, **fields})
    except ValidationError as error:
        return Refusal(f"{name}: {error.errors()[0]['msg'][:120]}", RIGHT)
    return _valid(kind, {"joints": (*kind.joints, joint)})


def _joint_set(kind: Kind, name: str, fields: dict[str, Any]) -> Kind | Refusal:
    old = kind.by_joint[name]
    held = {field: getattr(old, field) for field in Joint.model_fields}
    try:
        joint = Joint.model_validate({**held, **fields})
    except ValidationError as error:
        return Refusal(f"{name}: {error.errors()[0]['msg'][:120]}", RIGHT)
    return _valid(kind, {"joints": tuple(joint if j.id == name else j for j in kind.joints)})


def _with_outlet(kind: Kind, name: str, typed: str, unit: LengthUnit) -> Kind | Refusal:
    """Add an outlet, move it, say how it holds a bar, or take it out."""
    held = {outlet.id: outlet for outlet in kind.outlets}
    if typed in NOTHING:
        held.pop(name, None)
        return _valid(kind, {"outlets": tuple(held.values())})
    fields: dict[str, Any] = {"id": name}
    match = _HOLDS.fullmatch(typed)
    where = match[1] if match else typed
    if match:
        fields["holds"] = match[2]
        size = {"beside": "standoff", "end": "reach"}.get(match[2])
        mm = parse_length(match[3], unit) if match[3] and size else None
        if isinstance(mm, Refusal):
            return mm
        if size:
            fields[size] = mm
    if where:
        offset = _vector(where, unit)
        if isinstance(offset, Refusal):
            return offset
        fields["offset"] = offset
    old = held.get(name)
    before = {field: getattr(old, field) for field in Outlet.model_fields} if old else {}
    try:
        held[name] = Outlet.model_validate({**before, **fields})
    except ValidationError as error:
        return Refusal(f"{name}: {error.errors()[0]['msg'][:120]}", RIGHT)
    return _valid(kind, {"outlets": tuple(held.values())})


def _valid(kind: Kind, fields: dict[str, Any]) -> Kind | Refusal:
    held = {name: getattr(kind, name) for name in Kind.model_fields}
    try:
        return Kind.model_validate({**held, **fields})
    except ValidationError as error:
        return Refusal(f"{kind.name}: {error.errors()[0]['msg'][:120]}", RIGHT)
