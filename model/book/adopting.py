"""Which settings of a page become home with the chosen pieces, and which do not, and why not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.book.adopt_answer import AdoptedSetting, KeptDetail, LeftSetting, MovedPiece, WhyLeft
from model.book.adopt_scope import Scope, Sides, words
from model.readings.quantity import same_value
from model.rig.carrying import rests_on
from model.rig.declared import Declared
from model.rig.naming import owner_names
from model.rig.page import Page
from model.rig.same_hardware import sized_otherwise, told_otherwise
from model.rig.setting import Setting, carried_on
from model.rig.surety import read_from, u_of_place

SLOPES = ("floor.slope_ahead", "floor.slope_right")


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is adopted, as settings of the new home and as told; what is left, moved and kept."""

    settings: tuple[tuple[str, Setting], ...]
    adopted: tuple[AdoptedSetting, ...]
    left: tuple[LeftSetting, ...]
    moved: tuple[MovedPiece, ...]
    kept: tuple[KeptDetail, ...]


def choose(sides: Sides, scope: Scope, new: Page, with_shared: bool) -> Chosen:
    """Return what of the page is adopted into ``new``, a page begun from the home, and what not.

    Only what was read or seen on the page is adopted; a following setting follows at home too.
    ``with_shared`` adopts the parts that hold other pieces as well, which then move with them.
    """
    settings: list[tuple[str, Setting]] = []
    adopted: list[AdoptedSetting] = []
    left: list[LeftSetting] = []
    taken = {*scope.own, *(scope.shared if with_shared else ())}
    for declared in new.declared.values():
        found = _why_left(sides, scope, declared, taken)
        if found is None:
            setting = _adopted_setting(sides, new, declared)
            settings.append((declared.key, setting))
            adopted.append(_told(sides, scope, declared, setting))
        elif found[1]:
            left.append(_left(sides, declared, *found))
    left += _slopes(sides, settings, new)
    return Chosen(
        settings=tuple(settings),
        adopted=tuple(adopted),
        left=tuple(left),
        moved=tuple(_moved(sides, scope, adopted)),
        kept=tuple(_kept(sides, scope)),
    )


def _why_left(
    sides: Sides, scope: Scope, declared: Declared, taken: set[str]
) -> tuple[WhyLeft, str] | None:
    """Return why a setting stays as home has it, in words where it is to be told; else None."""
    here, home = sides.here.setting(declared.key), sides.home.setting(declared.key)
    owner = declared.owner
    if declared.is_spot:
        why = _why_check(sides, scope, declared, taken)
        if why is not None:
            return ("check", why)
    elif owner not in taken:
        others = scope.shared.get(owner)
        if others is None or here.value is None or _same(here, home):
            return ("shared", "")
        return ("shared", f"{_names(sides.home, others)} would move with it")
    if here.state == "follows" or home.state == "follows":
        return ("follows", "it follows at home" if here.state in ("read", "seen") else "")
    if here.state == "open":
        return ("open", f"it is open on {sides.here_name}")
    if here.state == "carried":
        return ("carried", f"nobody read or saw it on {sides.here_name}: it is of {here.page}")
    return None


def _why_check(sides: Sides, scope: Scope, declared: Declared, taken: set[str]) -> str | None:
    """Return why a check measure stays, empty where it concerns no chosen piece; None if it goes.

    It goes with the pieces it measures where all that they rest on goes.
    """
    here, home = (page.by_spot.get(declared.owner) for page in (sides.here, sides.home))
    assert home is not None
    measured = home.gap or (home.height or ())[:1]
    if not set(measured) & set(scope.pieces):
        return ""
    if here is None or (here.gap, here.height) != (home.gap, home.height):
        return f"{sides.here_name} does not have this check; measure it again"
    rest = {part for piece in measured for part in rests_on(sides.home, piece)}
    if set(measured) <= set(scope.pieces) and rest <= taken:
        return None
    return "it also measures what stays as it was; measure it again"


def _adopted_setting(sides: Sides, new: Page, declared: Declared) -> Setting:
    """Return the setting as the new home carries it: of the page of its reading, and as sure.

    The new home has the old home's instruments: where the same word means another instrument
    there, how sure the reading is, and what an angle was read from, stand on its line.
    """
    setting = carried_on(sides.here.setting(declared.key), sides.here_name)
    changes: dict[str, object] = {}
    u = u_of_place(setting, declared.quantity, sides.here)
    if u is None and u_of_place(setting, declared.quantity, new) is not None:
        # Not known on the page is not known at home either: no instrument there vouches for it.
        changes = {
            "using": None,
            "note": f"read with {str(setting.using)[:60]}; how sure, nobody says",
        }
    elif u != u_of_place(setting, declared.quantity, new):
        changes = {"u": u}
    reference = read_from(setting, declared.quantity, sides.here)
    changed = setting.model_copy(update=changes)
    if reference != read_from(changed, declared.quantity, new):
        changed = changed.model_copy(update={"read_from": reference})
    return changed


def _same(a: Setting, b: Setting) -> bool:
    if a.value is None or b.value is None:
        return a.value is b.value
    return same_value(a.value, b.value)


def _names(page: Page, parts: tuple[str, ...]) -> str:
    return ", ".join(page.by_id[part].name for part in parts)


def _told(sides: Sides, scope: Scope, declared: Declared, setting: Setting) -> AdoptedSetting:
    here = sides.here.setting(declared.key)
    assert setting.value is not None
    return AdoptedSetting(
        setting=declared.key,
        part=declared.owner,
        part_name=owner_names(sides.home)[declared.owner],
        name=declared.name,
        quantity=declared.quantity,
        state=here.state,
        value=setting.value,
        reading_page=setting.page or sides.here_name,
        before=sides.home.setting(declared.key).value,
        u=setting.u if setting.u != here.u else None,
        read_from=setting.read_from if setting.read_from != here.read_from else None,
        shared=declared.owner in scope.shared,
    )


def _left(sides: Sides, declared: Declared, why: WhyLeft, told: str) -> LeftSetting:
    here = sides.here.setting(declared.key)
    return LeftSetting(
        setting=declared.key,
        part=declared.owner,
        part_name=owner_names(sides.home)[declared.owner],
        name=declared.name,
        quantity=declared.quantity,
        why=why,
        words=told,
        state=here.state,
        value=here.value,
        home=sides.home.setting(declared.key).value,
    )


def _slopes(sides: Sides, settings: list[tuple[str, Setting]], new: Page) -> Iterator[LeftSetting]:
    """Yield the riser's slopes where they differ and an adopted angle was read from gravity."""
    by_level = any(
        read_from(setting, new.declared[key].quantity, new) == "gravity"
        for key, setting in settings
    )
    for key in SLOPES if by_level else ():
        a, b = (page.setting(key).value or 0.0 for page in (sides.here, sides.home))
        if not same_value(a, b):
            told = "the floor is the house's: angles that a level read mean another lean on it"
            yield _left(sides, new.declared[key], "floor", told)


def _moved(sides: Sides, scope: Scope, adopted: list[AdoptedSetting]) -> Iterator[MovedPiece]:
    """Yield the pieces that were not chosen and rest on an adopted value that is new."""
    by: dict[str, list[str]] = {}
    for setting in adopted:
        if setting.before is None or not same_value(setting.value, setting.before):
            for piece in scope.shared.get(setting.part, ()):
                by.setdefault(piece, []).append(setting.setting)
    for piece in sides.home.by_id:
        if piece in by:
            name = sides.home.by_id[piece].name
            yield MovedPiece(piece=piece, name=name, by=tuple(by[piece]))


def _kept(sides: Sides, scope: Scope) -> Iterator[KeptDetail]:
    for part in (*scope.own, *scope.shared):
        unlike = [*told_otherwise(sides.here, sides.home, part)]
        if part in scope.shared:
            unlike += sized_otherwise(sides.here, sides.home, part)
        for found in unlike:
            yield KeptDetail(
                part=part,
                part_name=sides.home.by_id[part].name,
                field=found.field,
                page=words(found.one),
                home=words(found.other),
            )
