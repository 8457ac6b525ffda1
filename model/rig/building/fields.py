"""What can be set of a part, by the words a person uses: sizes, grips, marks, dials, a weight."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal
from model.rig.building.naming import checked_name
from model.rig.building.sizes import (
    NOTHING,
    fill_bell,
    fill_curve,
    fill_offset,
    fill_surface,
    fill_weight,
)
from model.rig.declared import AnyPart
from model.rig.part import Dial, Piece

_DIAL = re.compile(r"[a-z][a-z0-9_]{0,63}")
EDGES = ("near", "centre", "far", "top", "bottom")


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that can be set: its word, what it is, an example, and which parts have it."""

    word: str
    help: str
    example: str
    types: tuple[str, ...]
    fill: Callable[[AnyPart, str, LengthUnit], dict[str, Any] | Refusal]


def with_field(part: AnyPart, word: str, typed: str, unit: LengthUnit) -> AnyPart | Refusal:
    """Return the part with one thing set as it was typed, or why it cannot be.

    ``dial.NAME`` declares a dial, and its unit; nothing, ``-`` or ``none`` takes a thing away.
    """
    if word.startswith("dial."):
        return _with_dial(part, word.removeprefix("dial."), typed.strip())
    field = FIELDS.get(word)
    known = [name for name, one in FIELDS.items() if part.type in one.types]
    if field is None or part.type not in field.types:
        return Refusal(f"a {part.type} has no {word}", ", ".join([*known, "dial.NAME"]))
    try:
        changes = field.fill(part, typed.strip(), unit)
    except ValidationError as error:
        return Refusal(f"{part.name}: {error.errors()[0]['msg'][:120]}", f"{word}={field.example}")
    if isinstance(changes, Refusal):
        return changes
    return validated(part, changes, f"{word}={field.example}")


def validated(part: AnyPart, changes: Mapping[str, Any], right: str) -> AnyPart | Refusal:
    """Return the part with fields changed, each held to what the format allows."""
    fields = {name: getattr(part, name) for name in type(part).model_fields}
    try:
        return type(part).model_validate({**_by_alias(part, fields), **_by_alias(part, changes)})
    except ValidationError as error:
        first = error.errors()[0]
        return Refusal(f"{part.name}: {first['msg'][:120]}", right)


def _by_alias(part: AnyPart, fields: Mapping[str, Any]) -> dict[str, Any]:
    known = type(part).model_fields
    return {(known[name].alias or name): value for name, value in fields.items()}


def _with_dial(part: AnyPart, name: str, unit: str) -> AnyPart | Refusal:
    if not _DIAL.fullmatch(name):
        return Refusal(f"{name!r} is no dial's name", "dial.beater_angle=deg")
    dials = {dial.id: dial for dial in part.dials}
    if unit in NOTHING:
        if name not in dials:
            return Refusal(f"{part.name} has no dial {name}", " or ".join(dials) or "dial.NAME=mm")
        del dials[name]
    else:
        checked = checked_name(unit, "a dial's unit")
        if isinstance(checked, Refusal):
            return checked
        dials[name] = Dial(id=name, unit=checked)
    return validated(part, {"dials": tuple(dials.values())}, "dial.clutch_gap=mm")


def _size(name: str) -> Callable[[AnyPart, str, LengthUnit], dict[str, Any] | Refusal]:
    def fill(_part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
        if typed in NOTHING:
            return {name: None}
        mm = parse_length(typed, unit)
        return mm if isinstance(mm, Refusal) else {name: mm}

    return fill


def _words(name: str, what: str) -> Callable[[AnyPart, str, LengthUnit], dict[str, Any] | Refusal]:
    def fill(_part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
        if typed in NOTHING:
            return {name: None}
        checked = checked_name(typed, what)
        return checked if isinstance(checked, Refusal) else {name: checked}

    return fill


def _name(_part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
    checked = checked_name(typed)
    return checked if isinstance(checked, Refusal) else {"name": checked}


def _one_of(
    name: str, words: tuple[str, ...]
) -> Callable[[AnyPart, str, LengthUnit], dict[str, Any] | Refusal]:
    def fill(_part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
        if typed in NOTHING:
            return {name: None}
        found = [word for word in words if word.startswith(typed.lower())]
        return {name: found[0]} if found else Refusal(f"{typed!r} is none", " or ".join(words))

    return fill


def _side(part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
    if typed in NOTHING:
        return {"side": ()}
    words = re.split(r"[\s,]+", typed.lower())
    sides = [next((s for s in ("left", "right") if s.startswith(word)), "") for word in words]
    if len(sides) == 1:
        sides *= len(part.on)
    if "" in sides or len(sides) != len(part.on):
        return Refusal("a side for each clamp, of the post, seen from end A to B", "right,left")
    return {"side": tuple(sides)}


def _stem(_part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
    if typed in NOTHING:
        return {"stem": ()}
    words = [checked_name(word, "what is on the stem") for word in typed.split(",")]
    refused = next((word for word in words if isinstance(word, Refusal)), None)
    return refused or {"stem": tuple(words)}


def _square(_part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
    if typed.lower() in (*NOTHING, "no", "round", "false"):
        return {"square": False}
    if typed.lower() in ("yes", "square", "true"):
        return {"square": True}
    return Refusal(f"{typed!r} is neither square nor round", "square")


ALL = ("post", "bar", "mount", "piece")
FIELDS: Mapping[str, Field] = {
    field.word: field
    for field in (
        Field("name", "what it is called", "Ride boom", ALL, _name),
        Field("role", "what it is to the player", "tom 1", ("piece",), _words("role", "a role")),
        Field("size", "what is played: disc, shell or slab", 'disc 20"', ("piece",), fill_surface),
        Field("bell", "the bell's height over the edge", "22", ("piece",), fill_bell),
        Field("weight", "in kg; with a ? a guess", "2.2?", ALL, fill_weight),
        Field("tube", "the tube's diameter", "38.1", ("post", "bar", "mount"), _size("tube")),
        Field("inner-tube", "the inner tube's diameter", "31.8", ("post",), _size("inner_tube")),
        Field("rod", "the rod's diameter", "12.7", ("mount",), _size("rod")),
        Field("length", "how long it is", "1100", ("post", "bar", "mount"), _size("length")),
        Field("inner-length", "the inner tube's", "600", ("post",), _size("inner_length")),
        Field("curve", "two of arc, chord, sagitta", "arc 1026, sagitta 100", ("bar",), fill_curve),
        Field("side", "of each post, seen from A to B", "right", ("bar",), _side),
        Field("square", "square or round tube", "square", ("post", "bar"), _square),
        Field("edge", "of its clamp, measured to", "top", ALL, _one_of("edge", EDGES)),
        Field("rail", "outer or inner tube", "inner", ALL, _one_of("rail", ("outer", "inner"))),
        Field("from", "the end measured from: A, B", "B", ALL, _words("measured_from", "an end")),
        Field("offset", "outlet to the surface's centre", "0, 150, 30", ("piece",), fill_offset),
        Field("stem", "the stack on the stem, from below", "felt, sleeve", ("piece",), _stem),
        Field("colour", "of its tape", "blue", ALL, _words("colour", "a colour")),
        Field("mark", "its mark", "U", ALL, _words("mark", "a mark")),
        Field("serial", "what slip follows", "C-07", ALL, _words("serial", "a serial")),
        Field("care", "what to mind", "Two people.", ALL, _words("care", "a caution")),
    )
}


def field_words(part: AnyPart) -> tuple[str, ...]:
    """Return what can be set of a part, in order."""
    return tuple(word for word, field in FIELDS.items() if part.type in field.types)


def shown_field(part: AnyPart, word: str, show: Callable[[float], str]) -> str:
    """Return what a part has there as it would be typed; nothing for nothing."""
    match word:
        case "size" if isinstance(part, Piece):
            return _shown_size(part, show)
        case "curve":
            curve = getattr(part, "curve", None)
            names = ("length", "chord", "sagitta")
            held = [(n, getattr(curve, n)) for n in names if curve is not None]
            arc = curve is not None and curve.along == "arc"
            return ", ".join(
                f"{'arc' if arc and name == 'length' else name} {show(mm)}"
                for name, mm in held
                if mm is not None
            )
        case "bell":
            bell = part.disc.bell if isinstance(part, Piece) and part.disc is not None else None
            return "" if bell is None else show(bell)
        case "weight":
            weight = part.weight
            return "" if weight is None else f"{weight.kg:g}{'?' if weight.guess else ''}"
        case "from":
            return part.measured_from or ""
        case "square":
            return "square" if getattr(part, "square", False) else ""
    held_value = getattr(part, word.replace("-", "_"), None)
    if isinstance(held_value, float):
        return show(held_value)
    if isinstance(held_value, tuple):
        if not any(held_value):
            return ""
        return ", ".join(show(v) if isinstance(v, float) else str(v) for v in held_value)
    return str(held_value or "")


def _shown_size(piece: Piece, show: Callable[[float], str]) -> str:
    if piece.disc is not None:
        return f"disc {show(piece.disc.diameter)}"
    if piece.shell is not None:
        depth = f" x {show(piece.shell.depth)}" if piece.shell.depth is not None else ""
        return f"shell {show(piece.shell.diameter)}{depth}"
    if piece.slab is not None:
        sizes = (piece.slab.width, piece.slab.depth, piece.slab.height)
        return "slab " + " x ".join(show(size) for size in sizes if size is not None)
    return ""
