"""A page put in its joints' own values, and back into what the instruments would show."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from model.readings.angles import ReadFrom
from model.rig.declared import AnyPart, Declared
from model.rig.kind import Joint
from model.rig.page import Page
from model.rig.part import FLOOR, Bar
from model.rig.setting import Setting
from model.rig.surety import read_from
from model.space.clamps import place_as_read
from model.space.frames import Array, settled
from model.space.joint_values import (
    CONVERTED,
    held_value,
    joint_value,
    part_and_joint,
    shown_from,
)
from model.space.memo import Unplaced
from model.space.places import Places


def joint_settings(page: Page) -> tuple[str, ...]:
    """Return the keys of a page's joints: no dials, no spots, nothing of the floor's own."""
    return tuple(key for key, declared in page.declared.items() if is_joint(declared))


def is_joint(declared: Declared) -> bool:
    """Tell a joint's setting, or a floor part's tape, from a dial, a spot or the floor's own."""
    is_dial = declared.name.startswith("dial.")
    return not declared.is_spot and declared.owner != FLOOR and not is_dial


def known_value(places: Places, key: str) -> float | int | None:
    """Return a joint's own value in mm, degrees or teeth; None where it is not known."""
    setting = places.page.setting(key)
    if isinstance(setting.value, int) or setting.value is None:
        return setting.value if setting.state != "follows" else None
    if setting.state in ("open", "follows"):
        return None
    return _number(places, key)


def held_at(places: Places, key: str) -> float | int | None:
    """Return where a joint's own screw holds it, mm, degrees or teeth; None where not known."""
    value = known_value(places, key)
    if not isinstance(value, float):
        return value
    return _number(places, key, held_value)


def _number(
    places: Places, key: str, of: Callable[[Places, str], Array] = joint_value
) -> float | None:
    try:
        value = of(places, key)
    except Unplaced:
        return None
    return float(value[0]) if settled(value) else None


def plain_page(page: Page, places: Places | None = None) -> Page:
    """Return the page with every joint at its own value: read from the joint, from end A, at the
    centre. It has the same places.

    Where a value cannot be worked out the setting and its part stay as they were read.
    """
    places = places or Places(page)
    settings: dict[str, Setting] = {}
    kept = {part.id for part in page.parts if part.rail == "inner"}
    for key in joint_settings(page):
        setting, declared = page.setting(key), page.declared[key]
        value = known_value(places, key)
        if isinstance(value, int):
            continue  # teeth are the joint's own
        if value is not None:
            settings[key] = _at(setting, value, "joint" if declared.quantity == "angle" else None)
        elif setting.value is not None or declared.assumed is not None:
            kept.add(declared.owner)
    parts = tuple(part if part.id in kept else _from_a(part) for part in page.parts)
    along = {key for key in settings if page.declared[key].owner in kept and is_along(page, key)}
    return _with_parts(page, parts, {k: v for k, v in settings.items() if k not in along})


def is_along(page: Page, key: str) -> bool:
    """Tell whether a setting is a place along a tube."""
    owner, _, name = key.partition(".")
    kind = page.by_kind.get(page.by_id[owner].kind or "")
    joint = kind.by_joint.get(name) if kind else None
    return joint is not None and joint.slides == "rail"


def _from_a(part: AnyPart) -> AnyPart:
    return type(part).model_validate({**dict(part), "measured_from": "A", "edge": None})


def _with_parts(page: Page, parts: tuple[AnyPart, ...], settings: Mapping[str, Setting]) -> Page:
    fields = {name: getattr(page, name) for name in Page.model_fields}
    return Page.model_construct(**{**fields, "parts": parts}).with_settings(settings)


def _at(setting: Setting, value: float, source: ReadFrom | None) -> Setting:
    """Return the setting at another value, everything else of it as it was."""
    return Setting.model_validate({**dict(setting), "value": value, "read_from": source})


def value_shown(places: Places, key: str, like: Page) -> float | int | None:
    """Return what is read of a joint that stands as it does in ``places``, measured as on ``like``.

    ``places`` are of a page in its joints' own values. None where it cannot be worked out.
    """
    setting, declared = like.setting(key), like.declared[key]
    held = places.page.setting(key)
    own = held.value
    if isinstance(own, int | str) or own is None:
        return own if isinstance(own, int) else None
    part, joint = part_and_joint(places, key)
    measured = like.by_id[part.id]
    try:
        if joint is not None and joint.slides == "rail" and _is_from_a(part):
            return _first(_along(places, part, measured, joint, own))
        source = read_from(setting, declared.quantity, like)
        if source in CONVERTED and read_from(held, declared.quantity, like) == "joint":
            return _first(shown_from(places, key, source))
    except Unplaced:
        return None
    return float(own)


def _is_from_a(part: AnyPart) -> bool:
    return part.measured_from == "A" and part.edge is None and part.rail != "inner"


def _along(places: Places, part: AnyPart, measured: AnyPart, joint: Joint, own: float) -> Array:
    if not isinstance(part, Bar):
        return place_as_read(places, measured, places.kind(part), np.array([own]))
    if (measured.measured_from or joint.end) != "B":
        return np.array([own])
    length = places.hung(part).rail.length
    return np.array([np.nan if length is None else length - own])


def _first(value: Array) -> float | None:
    return float(value[0]) if settled(value) else None


def read_page(plain: Page, like: Page, places: Places | None = None) -> Page:
    """Return a page in its joints' own values as the instruments of ``like`` would show it.

    The inverse of :func:`plain_page`: parts are measured as on ``like``, angles from what they are
    read from there. It has the same places.
    """
    places = places or Places(plain)
    settings: dict[str, Setting] = {}
    for key in joint_settings(like):
        held = plain.setting(key)
        if held.state in ("open", "follows") or isinstance(held.value, int | str):
            continue
        shown = value_shown(places, key, like)
        if isinstance(shown, float):
            settings[key] = _at(held, shown, like.setting(key).read_from)
    return _with_parts(plain, like.parts, settings)
