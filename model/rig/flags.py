"""What is odd about a page and does not stop it from opening: flagged, with its reason."""

from __future__ import annotations

from collections.abc import Iterator

from model.errors import Problem
from model.rig.declared import AnyPart
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG, Bar, Piece, Post
from model.rig.record_flags import flag_of, record_flags, some_of, text_flags
from model.rig.tree import DEEPEST

ENDS = ("A", "B")
SMALLEST = 60.0
"""Millimetres: hardly a drum or a cymbal is narrower (common practice, no source)."""


def page_flags(page: Page) -> Iterator[Problem]:
    """Yield every flag of a page: what hangs on nothing, unknown settings, limits, odd texts."""
    yield from _ids(page)
    yield from _hanging(page)
    yield from _cycles(page)
    yield from _kinds(page)
    yield from _crowded(page)
    yield from _sizes(page)
    yield from _spots(page)
    yield from record_flags(page)
    yield from text_flags(page)


def _ids(page: Page) -> Iterator[Problem]:
    """Two people's merge may give one id to a part and a spot: the record cannot tell them."""
    for spot in page.spots:
        if spot.id in page.by_id or spot.id == FLOOR:
            yield flag_of(
                "same-id",
                f"spot.{spot.id}",
                f"{spot.name} has the id of a part, and their lines of the record mix",
                right=f"[spot.{spot.id}-2], and its lines of the record the same",
            )
    if FLOOR in page.by_id:
        yield flag_of(
            "same-id",
            f"part.{FLOOR}",
            f"{FLOOR} is the floor's own id, and their lines of the record mix",
            right="[part.rug-edge], or another id",
        )


def _hanging(page: Page) -> Iterator[Problem]:
    known = {FLOOR, *page.by_id}
    marks = {"zero", *(mark.id for mark in page.marks)}
    for part in page.parts:
        for on in part.on:
            if on == NOT_HUNG:
                yield not_hung(part)
            elif on not in known:
                others = (id_ for id_ in page.by_id if id_ != part.id)
                yield flag_of(
                    "no-such-part",
                    f"part.{part.id}.on",
                    f"{part.name} is on {on}, and no part has that id",
                    "it opens as not hung",
                    f'on = "floor", or one of {some_of(others)}',
                )
        start = part.measured_from
        if start is not None and start not in ENDS and start not in known:
            yield flag_of(
                "no-such-part",
                f"part.{part.id}.from",
                f"{part.name} is measured from {start}, which is no end and no part",
                right='from = "B"',
            )
        for mark in part.marks or ():
            if mark not in marks:
                yield flag_of(
                    "no-such-mark",
                    f"part.{part.id}.marks",
                    f"{part.name} is taped from {mark}, and the page has no such mark",
                    right="[mark.ahead] with x and y, or zero",
                )


def _cycles(page: Page) -> Iterator[Problem]:
    for part in page.parts:
        chain = _chain(page, part.id, part.on[0])
        if len(chain) > DEEPEST + 1:  # itself, and what it hangs on
            yield flag_of(
                "too-deep",
                f"part.{part.id}.on",
                f"{part.name} hangs more than {DEEPEST} parts above the floor",
                "it opens as not hung",
                'on = "floor" for what stands',
            )
        # A cycle is told once, at the first of its parts by id.
        elif chain[1:] and chain[-1] == part.id == min(chain):
            yield flag_of(
                "cycle",
                f"part.{part.id}.on",
                f"{' on '.join(chain)}: they hang on each other",
                "none of them reaches the floor; they open as not hung",
                'on = "floor" for the one that stands',
            )
        elif len(part.on) > 1:
            chain = _chain(page, part.id, part.on[1])
            if chain[1:] and chain[-1] == part.id and len(chain) <= DEEPEST + 1:
                yield flag_of(
                    "cycle",
                    f"part.{part.id}.on",
                    f"{' on '.join(chain)}: its second clamp hangs on itself",
                    "no place can be worked out for it",
                    "two clamps that reach the floor without it",
                )


def _chain(page: Page, begin: str, on: str) -> list[str]:
    """Return the ids from a part downward, until the floor, one that is there already, or deep."""
    chain = [begin]
    while on in page.by_id and len(chain) <= DEEPEST + 1:
        chain.append(on)
        if on in chain[:-1]:
            break
        on = page.by_id[on].on[0]
    return chain


def _kinds(page: Page) -> Iterator[Problem]:
    outlets = {kind.id: dict.fromkeys(o.id for o in kind.outlets) for kind in page.kinds}
    for part in page.parts:
        if part.kind is not None and part.kind not in page.by_kind:
            yield flag_of(
                "no-such-kind",
                f"part.{part.id}.kind",
                f"the page has no kind {part.kind}",
                "its settings are not known",
                f"[kind.{part.kind}]",
            )
            continue
        kind = page.by_kind.get(part.kind or "")
        if kind is not None and kind.fits is not None and kind.fits != part.type:
            yield flag_of(
                "odd-kind",
                f"part.{part.id}.kind",
                f"{kind.name} is a kind of {kind.fits}, and {part.name} is a {part.type}",
                right=f'type = "{kind.fits}"',
            )
        carrier = page.by_id.get(part.on[0])
        if part.at is None or carrier is None or isinstance(carrier, Post | Bar):
            continue
        names = outlets.get(carrier.kind or "", {})
        if part.at not in names:
            yield flag_of(
                "no-such-outlet",
                f"part.{part.id}.at",
                f"{carrier.name} has no outlet {part.at}",
                right=f'at = "{next(iter(names))}"' if names else "leave at out",
            )


def not_hung(part: AnyPart) -> Problem:
    """Return that a part hangs on nothing yet."""
    return flag_of(
        "not-hung",
        f"part.{part.id}.on",
        f"{part.name} is not hung yet",
        right="B on the rack, then h on it; or clampbook part BOOK hang",
    )


def no_curve(bar: Bar) -> Problem:
    """Return that a bar of a curved kind has no curve."""
    return flag_of(
        "no-curve",
        f"part.{bar.id}.curve",
        f"{bar.name} is of a curved kind, and its curve was not given",
        "which way it bulges cannot be worked out",
        'curve = { length = 1026.0, along = "arc", sagitta = 100.0 }',
    )


def _sizes(page: Page) -> Iterator[Problem]:
    """Yield sizes that are missing or hardly meant: a curve, a drum as wide as a coin."""
    for part in page.parts:
        kind = page.by_kind.get(part.kind or "")
        if isinstance(part, Bar) and part.curve is None and kind and "bow" in kind.by_joint:
            yield no_curve(part)
        round_one = (part.shell or part.disc) if isinstance(part, Piece) else None
        if round_one is not None and round_one.diameter < SMALLEST:
            yield flag_of(
                "odd-size",
                f"part.{part.id}",
                f"{part.name} is {round_one.diameter:g} mm across",
                "were inches meant?",
                '12", or --unit in',
            )


def _crowded(page: Page) -> Iterator[Problem]:
    """Yield where two things are in one outlet of a mount: unusual, and perhaps a slip."""
    seen: dict[tuple[str, str | None], str] = {}
    for part in page.parts:
        for on in part.on:
            carrier = page.by_id.get(on)
            if carrier is None or isinstance(carrier, Post | Bar | Piece):
                continue
            first = seen.setdefault((on, part.at if len(part.on) == 1 else None), part.name)
            if first != part.name:
                where = f"{carrier.name}, {part.at}" if part.at else carrier.name
                yield flag_of(
                    "one-outlet",
                    f"part.{part.id}.on",
                    f"{first} and {part.name} are both in {where}",
                    right="another outlet, or another mount for one of them",
                )


def _spots(page: Page) -> Iterator[Problem]:
    for spot in page.spots:
        pieces = spot.gap or (spot.height or ("",))[:1]
        for piece in pieces:
            if piece not in page.by_id:
                yield flag_of(
                    "no-such-part",
                    f"spot.{spot.id}",
                    f"{spot.name} measures {piece}, and no part has that id",
                    right='gap = ["ride", "splash"]',
                )
