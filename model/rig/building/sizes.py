"""Sizes of a part as a person writes them: what is played, a curve, an offset, a weight."""

from __future__ import annotations

import re
from typing import Any

from model.frozen import Frozen
from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal
from model.rig.declared import AnyPart
from model.rig.part import Curve, Disc, Shell, Slab, Weight

NOTHING = ("", "-", "none")
"""What empties a field."""


def _over(part: AnyPart, sort: type[Frozen], name: str, **fields: Any) -> Frozen:
    """Return what a part has there with other sizes; its bell and unknown keys stay."""
    held = getattr(part, name, None)
    before = {field: getattr(held, field) for field in sort.model_fields} if held else {}
    return sort.model_validate({**before, **fields})


def fill_weight(part: AnyPart, typed: str, _unit: LengthUnit) -> dict[str, Any] | Refusal:
    """Read a weight in kg; a question mark behind it says that it is a guess."""
    if typed in NOTHING:
        return {"weight": None}
    match = re.fullmatch(r"(\d+(?:[.,]\d+)?)\s*(?:kg)?\s*(\?)?", typed)
    if match is None:
        return Refusal(f"{typed!r} is no weight in kg", "2.2, or 2.2? for a guess")
    kg = float(match[1].replace(",", "."))
    return {"weight": _over(part, Weight, "weight", kg=kg, guess=match[2] is not None)}


def fill_curve(part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
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


def fill_surface(part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    """Read the size of what is played: ``disc 20"``, ``shell 14" x 5 1/2"``, ``slab 360x270``."""
    nothing = {"disc": None, "shell": None, "slab": None}
    if typed in NOTHING:
        return nothing
    word, _, rest = with_sort(part, typed).partition(" ")
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


def with_sort(part: AnyPart, typed: str) -> str:
    """Return a size with what sort of surface it is: the part's own, else as it is written."""
    if typed.split(" ", 1)[0] in ("disc", "shell", "slab"):
        return typed
    own = next((sort for sort in ("disc", "shell", "slab") if getattr(part, sort, None)), "")
    several = "x" in typed or "×" in typed
    return f"{own or ('shell' if several else 'disc')} {typed}"


def fill_bell(part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    """Read the height of a cymbal's bell over its edge circle."""
    disc = getattr(part, "disc", None)
    if disc is None:
        return Refusal(f"{part.name} is no disc, and has no bell", 'size=disc 20" first')
    bell = None if typed in NOTHING else parse_length(typed, unit)
    if isinstance(bell, Refusal):
        return bell
    return {"disc": disc.model_copy(update={"bell": bell})}


def parse_signed(typed: str, unit: LengthUnit) -> float | Refusal:
    """Return a length in mm that may have a sign of its own."""
    sign = -1.0 if typed.strip().startswith(("-", "−")) else 1.0
    mm = parse_length(typed.strip().lstrip("+-−"), unit)
    return mm if isinstance(mm, Refusal) else sign * mm


def fill_offset(_part: AnyPart, typed: str, unit: LengthUnit) -> dict[str, Any] | Refusal:
    """Read three lengths: right, ahead and up from the outlet to the surface's centre."""
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
