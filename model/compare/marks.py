"""What stands at the same mark on both pages stands where it stood, whatever its reading was of.

A level read a boom's lean; on the next night the boom was seen at its mark. The riser slopes
otherwise there: a level would show another number, but the boom did not move.
"""

from __future__ import annotations

from model.compare.joints import is_same_joint, is_worked_out
from model.compare.spread import Names, Pages, reading_of
from model.readings.angles import turn_between
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.part import Bar
from model.rig.setting import Setting
from model.space.as_read import held_at, joint_settings, known_value
from model.space.places import Places


def at_same_marks(places: tuple[Places, Places], names: Names) -> Pages:
    """Return both pages with each joint that rests on the very same reading at one own value.

    It is that of the page that was read, or else of the earlier one: where the reading was of
    something else than the joint, only there it tells where the joint is. Pages of two rigs, and
    what cannot be worked out, stay as they are.
    """
    pages = places[0].page, places[1].page
    if pages[0].head.rig != pages[1].head.rig:
        return pages
    own: tuple[dict[str, float], dict[str, float]] = ({}, {})
    for key in joint_settings(pages[1]):
        if key in pages[0].declared and _is_same_mark(pages, key, names):
            if not any(is_worked_out(at, key) for at in places):
                continue
            for values, value in zip(own, _at_mark(places, key), strict=True):
                if value is not None:
                    values[key] = value
    return _with_own(pages[0], own[0]), _with_own(pages[1], own[1])


def _at_mark(places: tuple[Places, Places], key: str) -> tuple[float | None, float | None]:
    """Return the own values of a joint at one mark on both pages.

    They are the same, but for a clamp on a curved bar: its mark is on the tube, which may bow
    otherwise on the other page.
    """
    knows = _that_knows((places[0].page, places[1].page), key)
    value = known_value(places[knows], key)
    if not isinstance(value, float):
        return None, None
    held, other = (held_at(at, key) for at in (places[knows], places[1 - knows]))
    there = known_value(places[1 - knows], key)
    if not isinstance(held, float) or not isinstance(other, float) or not isinstance(there, float):
        return value, value
    is_on_a_curve = abs(turn_between(held, value)) > 1e-9
    away = there + turn_between(other, held) if is_on_a_curve else value
    return (value, away) if knows == 0 else (away, value)


def _is_same_mark(pages: Pages, key: str, names: Names) -> bool:
    a, b = pages[0].setting(key), pages[1].setting(key)
    if not isinstance(a.value, float) or "follows" in (a.state, b.state):
        return False
    owner = pages[1].declared[key].owner
    told = [(page.by_id[owner].measured_from, page.by_id[owner].edge) for page in pages]
    same_reading = reading_of(a, names[0]) == reading_of(b, names[1])
    return same_reading and told[0] == told[1] and is_same_joint(pages, key)


def _that_knows(pages: Pages, key: str) -> int:
    for index, page in enumerate(pages):
        if page.setting(key).state == "read":
            return index
    return earlier(pages)


def earlier(pages: Pages) -> int:
    """Return which of two pages was begun first: 0 or 1."""
    return 1 if pages[1].head.began < pages[0].head.began else 0


def _with_own(page: Page, own: dict[str, float]) -> Page:
    if not own:
        return page
    settings: dict[str, Setting] = {}
    from_a: set[str] = set()
    for key, value in own.items():
        declared = page.declared[key]
        source = "joint" if declared.quantity == "angle" else None
        told = {**dict(page.setting(key)), "value": value, "read_from": source}
        settings[key] = Setting.model_validate(told)
        if source is None:
            from_a.add(declared.owner)
    fields = {name: getattr(page, name) for name in Page.model_fields}
    parts = tuple(_from_a(part) if part.id in from_a else part for part in page.parts)
    return Page.model_construct(**{**fields, "parts": parts}).with_settings(settings)


def _from_a(part: AnyPart) -> AnyPart:
    if isinstance(part, Bar):
        return part
    return type(part).model_validate({**dict(part), "measured_from": "A", "edge": None})
