"""What can hang on what: the places of a part, the kinds that fit there, and why one does not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from model.readings.quantity import Refusal
from model.rig.declared import AnyPart
from model.rig.kind import Kind, Outlet
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG, Bar, Piece, Post
from model.rig.tree import DEEPEST

Kinds = Mapping[str, Kind]
SURFACE = "surface"
"""The outlet of a piece's kind where its own playing surface is: nothing hangs there."""


def missing(page: Page, *ids: str) -> Refusal | None:
    """Return that a part is not on the page any more; None where all of them are."""
    gone = next((id_ for id_ in ids if id_ not in page.by_id), None)
    if gone is None:
        return None
    return Refusal(f"{gone} is not on the page any more", "another part, or u to bring it back")


def is_rail(part: AnyPart) -> bool:
    """Whether things are clamped along it."""
    return isinstance(part, Post | Bar)


def outlets_of(page: Page, part_id: str) -> tuple[Outlet, ...]:
    """Return the outlets of a part; none for a rail, or where its kind is not known."""
    part = page.by_id.get(part_id)
    kind = page.by_kind.get(part.kind or "") if part is not None else None
    if kind is None or part is None or is_rail(part):
        return ()
    return tuple(outlet for outlet in kind.outlets if outlet.id != SURFACE)


def free_outlet(page: Page, part_id: str, *, holds_bar: bool = False) -> str | None:
    """Return the first outlet of a part that nothing is in, else its first; None for one alone."""
    outlets = [o.id for o in outlets_of(page, part_id) if (o.holds is not None) == holds_bar]
    taken = {part.at for part in page.parts if part.on[0] == part_id}
    if len(outlets) < 2:
        return None
    return next((id_ for id_ in outlets if id_ not in taken), outlets[0])


def kinds_for(page: Page, on: str, kinds: Kinds) -> tuple[Kind, ...]:
    """Return the kinds that can hang on a part, or on the floor, by name."""
    fitting = (kind for kind in kinds.values() if why_not_kind(page, on, kind) is None)
    return tuple(sorted(fitting, key=lambda kind: kind.name))


def why_not_kind(page: Page, on: str, kind: Kind) -> str | None:
    """Return why a kind cannot hang there; None where it can."""
    if on == NOT_HUNG:
        return None
    if on == FLOOR:
        return None if kind.on_floor else "it stands on no floor: it is held by something"
    part = page.by_id.get(on)
    if part is None:
        return "there is no such part"
    if is_rail(part):
        return None if kind.on_rail else f"it is not clamped along a tube, and {part.name} is one"
    if kind.on_rail:
        return f"it is clamped along a tube, and {part.name} is none"
    if kind.on_floor:
        return "it stands on the floor"
    return _why_no_outlet(page, part, is_bar=kind.fits == "bar")


def _why_no_outlet(page: Page, part: AnyPart, *, is_bar: bool) -> str | None:
    outlets = outlets_of(page, part.id)
    if isinstance(part, Piece):  # a drum may carry what is screwed to it
        if part.disc is not None:
            return f"{part.name} is a cymbal or a pad, and holds nothing"
        return f"{part.name} is a piece, and holds no bar" if is_bar else None
    if part.kind is not None and part.kind in page.by_kind and not outlets:
        return f"{part.name} has no outlet for anything"
    if is_bar and not any(outlet.holds for outlet in outlets):
        return f"{part.name} is no clamp that holds a bar"
    if not is_bar and outlets and all(outlet.holds for outlet in outlets):
        return f"{part.name} holds a bar, and nothing else"
    return None


def why_not_hang(page: Page, part: AnyPart, on: tuple[str, ...], at: str | None) -> Refusal | None:
    """Return why a part cannot hang so; None where it can, though it may be unusual."""
    if not on or (len(on) > 1 and not isinstance(part, Bar)):
        return Refusal("only a bar is held by two", "one part to hang on")
    if len(on) > 2 or len(set(on)) != len(on):
        return Refusal("a bar is held by one clamp, or by two different ones", "two clamps")
    for one in on:
        if one in (FLOOR, NOT_HUNG):
            if len(on) > 1:
                return Refusal("a bar is held by clamps", "one clamp, or two")
            kind = page.by_kind.get(part.kind or "")
            if kind is not None and (why := why_not_kind(page, one, kind)):
                return Refusal(why, _where(page, part))
            continue
        if one not in page.by_id:
            return Refusal(f"there is no part {one}", _some(page))
        if one == part.id or part.id in carriers(page, one):
            return Refusal(
                f"{page.by_id[one].name} is {part.name} itself, or hangs on it",
                "a part that does not hang on it",
            )
        if len(carriers(page, one)) + _depth_below(page, part.id) >= DEEPEST:
            return Refusal(f"it would hang more than {DEEPEST} parts above the floor", FLOOR)
        if refused := _why_not(page, part, one):
            return Refusal(refused, _where(page, part))
    return _why_not_grips(page, part, on) or _why_not_at(page, on[0], at)


def clamps_of(kind: Kind | None) -> int | None:
    """Return how many clamps hold a bar of a kind; None where it does not say."""
    if kind is None or kind.fits != "bar":
        return None
    return 2 if "grip_b" in kind.by_joint else 1


def _why_not_grips(page: Page, part: AnyPart, on: tuple[str, ...]) -> Refusal | None:
    wanted = clamps_of(page.by_kind.get(part.kind or ""))
    if wanted in (None, len(on)) or on == (NOT_HUNG,):
        return None
    words = {1: "one clamp", 2: "two clamps"}
    right = "the other one as well" if wanted == 2 else "one of them"
    return Refusal(f"{part.name} is of a kind that {words[wanted or 1]} hold", right)


def _why_not(page: Page, part: AnyPart, on: str) -> str | None:
    kind = page.by_kind.get(part.kind or "")
    if kind is not None:
        return why_not_kind(page, on, kind)
    carrier = page.by_id[on]
    if isinstance(part, Piece) and isinstance(carrier, Piece):
        return f"{carrier.name} is a piece: it holds a mount, which holds {part.name}"
    if isinstance(part, Post):
        return "a post stands on the floor, or on a bar by a kind of its own"
    if is_rail(carrier):
        return f"it has no clamp of its own, and {carrier.name} is a tube"
    return _why_no_outlet(page, carrier, is_bar=isinstance(part, Bar))


def _why_not_at(page: Page, on: str, at: str | None) -> Refusal | None:
    if at is None:
        return None
    known = [outlet.id for outlet in outlets_of(page, on)]
    if at in known:
        return None
    name = page.by_id[on].name if on in page.by_id else on
    return Refusal(f"{name} has no outlet {at}", " or ".join(known) or "leave it out")


def carriers(page: Page, part_id: str) -> frozenset[str]:
    """Return a part and all that it hangs on, by any of its clamps."""
    found: set[str] = set()
    left = [part_id]
    while left:
        at = left.pop()
        if at in page.by_id and at not in found:
            found.add(at)
            left += page.by_id[at].on
    return frozenset(found)


def hangers(page: Page, part_id: str) -> tuple[str, ...]:
    """Return what hangs on a part, on that too, and so on; not the part itself. In hand order."""
    found = {part_id}
    grown = True
    while grown:
        more = {p.id for p in page.parts if p.id not in found and found.intersection(p.on)}
        grown = bool(more)
        found |= more
    return tuple(part.id for part in page.parts if part.id in found and part.id != part_id)


def _depth_below(page: Page, part_id: str) -> int:
    """Return how many parts hang below one another on a part, with itself."""
    depth, level = 0, {part_id}
    while level and depth <= DEEPEST:
        depth += 1
        level = {part.id for part in page.parts if level.intersection(part.on)}
    return depth


def _where(page: Page, part: AnyPart) -> str:
    fits = (on for on in (FLOOR, *page.by_id) if on != part.id and _why_not_one(page, part, on))
    return " or ".join(_first(fits, 3)) or "hang something there first that holds it"


def _why_not_one(page: Page, part: AnyPart, on: str) -> bool:
    if on == FLOOR:
        kind = page.by_kind.get(part.kind or "")
        return kind is not None and kind.on_floor
    return part.id not in carriers(page, on) and _why_not(page, part, on) is None


def _some(page: Page) -> str:
    return " or ".join(_first(iter(page.by_id), 3)) or "a part of the page"


def _first(ids: Iterator[str], number: int) -> list[str]:
    return [id_ for id_, _ in zip(ids, range(number), strict=False)]
