"""What can be set of a part, by the words a person uses: sizes, grips, marks, dials, a weight."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from model.frozen import Frozen
from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal
from model.rig.building.naming import checked_name
from model.rig.declared import AnyPart
from model.rig.part import Curve, Dial, Disc, Piece, Shell, Slab, Weight

NOTHING = ("", "-", "none")
"""What empties a field."""
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


def _weight(part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
    if typed in NOTHING:
        return {"weight": None}
    match = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(?:kg)?\s*(\?)?", typed)
    if match is None:
        return Refusal(f"{typed!r} is no weight in kg", "2.2, or 2.2? for a guess")
    kg = float(match[1].replace(",", "."))
    return {"weight": _over(part, Weight, "weight", kg=kg, guess=match[2] is not None)}


def _curve(part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    """Read ``1026 arc, sagitta 100``: two of length, chord and sagitta."""
    if typed in NOTHING:
        return {"curve": None}
    found: dict[str, Any] = {}
    for piece in typed.split(","):
        match = re.fullmatch(r"\s*(?:(length|arc|chord|sagitta)\s+)?(.+?)(?:\s+(arc))?\s*", piece)
        if match is None:
            return Refusal("two of length, chord and sagitta", "arc 1026, sagitta 100")
        mm = parse_length(match[2], unit)
        if isinstance(mm, Refusal):
            return mm
        word = match[1] or "length"
        found["length" if word == "arc" else word] = mm
        if "arc" in (match[1], match[3]):
            found["along"] = "arc"
    if len(found.keys() & {"length", "chord", "sagitta"}) < 2:
        return Refusal("two of length, chord and sagitta", "arc 1026, sagitta 100")
    gone = dict.fromkeys({"length", "chord", "sagitta"} - found.keys())
    along = {} if "along" in found or "length" not in found else {"along": "unknown"}
    return {"curve": _over(part, Curve, "curve", **gone, **along, **found)}


def _over(part: AnyPart, sort: type[Frozen], name: str, **fields: Any) -> Frozen:
    """Return what a part has there with other sizes; its bell and unknown keys stay."""
    held = getattr(part, name, None)
    before = {field: getattr(held, field) for field in sort.model_fields} if held else {}
    return sort.model_validate({**before, **fields})


def _surface(part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    """Read the size of what is played: ``disc 20"``, ``shell 14" x 5 1/2"``, ``slab 360x270``."""
    nothing = {"disc": None, "shell": None, "slab": None}
    if typed in NOTHING:
        return nothing
    word, _, rest = typed.partition(" ")
    sizes = [parse_length(text, unit) for text in re.split(r"\s*[x×]\s*", rest.strip())]
    mm = [size for size in sizes if not isinstance(size, Refusal)]
    match word:
        case "disc" if len(mm) == len(sizes) == 1:
            return {**nothing, "disc": _over(part, Disc, "disc", diameter=mm[0])}
        case "shell" if len(mm) == len(sizes) and len(mm) in (1, 2):
            depth = mm[1] if mm[1:] else None
            return {**nothing, "shell": _over(part, Shell, "shell", diameter=mm[0], depth=depth)}
        case "slab" if len(mm) == len(sizes) and len(mm) in (2, 3):
            height = mm[2] if mm[2:] else None
            slab = _over(part, Slab, "slab", width=mm[0], depth=mm[1], height=height)
            return {**nothing, "slab": slab}
    refused = next((size for size in sizes if isinstance(size, Refusal)), None)
    why = refused.why if refused else f"{typed!r} is no size of {part.name}"
    return Refusal(why, 'disc 20", or shell 14" x 5 1/2", or slab 360 x 270 x 55')


def parse_signed(typed: str, unit: LengthUnit) -> float | Refusal:
    """Return a length in mm that may have a sign of its own."""
    sign = -1.0 if typed.strip().startswith(("-", "−")) else 1.0
    mm = parse_length(typed.strip().lstrip("+-−"), unit)
    return mm if isinstance(mm, Refusal) else sign * mm


def _bell(part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    disc = getattr(part, "disc", None)
    if disc is None:
        return Refusal(f"{part.name} is no disc, and has no bell", 'size=disc 20" first')
    bell = None if typed in NOTHING else parse_length(typed, unit)
    if isinstance(bell, Refusal):
        return bell
    return {"disc": disc.model_copy(update={"bell": bell})}


def _offset(_part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    if typed in NOTHING:
        return {"offset": (0.0, 0.0, 0.0)}
    right = "0, 150, 30: right, ahead, up from the outlet"
    words = [word.strip() for word in typed.strip("[]()").split(",")]
    if len(words) != 3:
        return Refusal("an offset is three lengths, with commas", right)
    offset = []
    for word in words:
        mm = parse_signed(word, unit)
        if isinstance(mm, Refusal):
            return mm
        offset.append(mm)
    return {"offset": tuple(offset)}


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
        Field("size", "what is played: disc, shell or slab", 'disc 20"', ("piece",), _surface),
        Field("bell", "the bell's height over the edge", "22", ("piece",), _bell),
        Field("weight", "in kg; with a ? a guess", "2.2?", ALL, _weight),
        Field("tube", "the tube's diameter", "38.1", ("post", "bar", "mount"), _size("tube")),
        Field("inner-tube", "the inner tube's diameter", "31.8", ("post",), _size("inner_tube")),
        Field("rod", "the rod's diameter", "12.7", ("mount",), _size("rod")),
        Field("length", "how long it is", "1100", ("post", "bar", "mount"), _size("length")),
        Field("inner-length", "the inner tube's", "600", ("post",), _size("inner_length")),
        Field("curve", "two of arc, chord, sagitta", "arc 1026, sagitta 100", ("bar",), _curve),
        Field("side", "of each post, seen from A to B", "right", ("bar",), _side),
        Field("square", "square or round tube", "square", ("post", "bar"), _square),
        Field("edge", "of its clamp, measured to", "top", ALL, _one_of("edge", EDGES)),
        Field("rail", "outer or inner tube", "inner", ALL, _one_of("rail", ("outer", "inner"))),
        Field("from", "the end measured from: A, B", "B", ALL, _words("measured_from", "an end")),
        Field("offset", "outlet to the surface's centre", "0, 150, 30", ("piece",), _offset),
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
