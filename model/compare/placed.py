"""Two pages with where everything of them is, and joint by joint as far as both were measured."""

from __future__ import annotations

from dataclasses import dataclass

from model.compare.joints import is_same_joint
from model.compare.marks import at_same_marks, earlier
from model.compare.spread import Names, Pages
from model.rig.page import Page
from model.rig.setting import Setting
from model.rig.surety import read_from
from model.space.as_read import joint_settings, plain_page
from model.space.positions import Positions


@dataclass(frozen=True, slots=True)
class Placed:
    """Two pages, ``names`` theirs, worked out in two ways.

    ``positions`` are of the pages as they were read, what stands at the same mark at one value: how
    sure a move is comes from them. ``own`` are of the pages in their joints' own values, with the
    joints ``unmeasured`` on one of the nights at one value on both: what moved, and by what, comes
    from them. ``keys`` are the joints that can be put back from the first onto the second.
    ``wanted`` says that the first page is a home: what it carries counts as measured.
    """

    pages: Pages
    names: Names
    wanted: bool
    positions: tuple[Positions, Positions]
    own: tuple[Positions, Positions]
    keys: tuple[str, ...]
    unmeasured: frozenset[str]


def placed_pages(pages: Pages, names: Names, *, wanted: bool = False) -> Placed:
    """Work both pages out."""
    as_read = Positions(pages[0]), Positions(pages[1])
    marked = at_same_marks((as_read[0].places, as_read[1].places), names)
    positions = (
        as_read[0] if marked[0] is pages[0] else Positions(marked[0]),
        as_read[1] if marked[1] is pages[1] else Positions(marked[1]),
    )
    plain = (
        plain_page(marked[0], positions[0].places),
        plain_page(marked[1], positions[1].places),
    )
    keys = tuple(key for key in joint_settings(plain[1]) if _is_common(plain, key))
    unmeasured = {
        key: held
        for key in keys
        if number(plain[0], key) != number(plain[1], key)
        and (held := _held_on_both(plain, key, wanted=wanted)) is not None
    }
    even = plain[0].with_settings(unmeasured), plain[1].with_settings(unmeasured)
    own = Positions(even[0]), Positions(even[1])
    return Placed(pages, names, wanted, positions, own, keys, frozenset(unmeasured))


def number(page: Page, key: str) -> float | int | None:
    """Return what a setting counts with, in mm, degrees or teeth; an open one as is assumed."""
    setting = page.setting(key)
    if setting.state == "open":
        return page.declared[key].assumed
    if setting.state == "follows" or isinstance(setting.value, str):
        return None
    return setting.value


def is_unmeasured(setting: Setting, *, wanted: bool = False) -> bool:
    """Tell what was neither measured nor seen on its night. With ``wanted`` it is a home's."""
    return setting.state == "open" or (setting.state == "carried" and not wanted)


def _is_common(pages: Pages, key: str) -> bool:
    """Tell a joint whose number means the same on both pages."""
    if key not in pages[0].declared:
        return False
    if any(number(page, key) is None for page in pages) or not is_same_joint(pages, key):
        return False
    return _measured(pages[0], key) == _measured(pages[1], key)


def _measured(page: Page, key: str) -> tuple[object, ...]:
    declared, setting = page.declared[key], page.setting(key)
    part = page.by_id[declared.owner]
    source = read_from(setting, declared.quantity, page)
    source = "joint" if setting.state == "open" and declared.quantity == "angle" else source
    return part.measured_from, part.edge, part.marks, part.marks_side, source


def _held_on_both(pages: Pages, key: str, *, wanted: bool) -> Setting | None:
    """Return what a joint that was not measured on one of the nights counts as on both."""
    a, b = pages[0].setting(key), pages[1].setting(key)
    unmeasured = is_unmeasured(a, wanted=wanted), is_unmeasured(b)
    if unmeasured == (False, False):
        return None
    if unmeasured == (True, True):
        return (a, b)[earlier(pages)]
    return b if unmeasured[0] else a
