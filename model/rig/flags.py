"""What is odd about a page and does not stop it from opening: flagged, with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from model.clean import clean
from model.errors import Problem
from model.rig.declared import Declared
from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Post
from model.rig.setting import Setting
from model.rig.tree import DEEPEST

ENDS = ("A", "B")


def _flag(code: str, key: str, what: str, why: str = "", right: str = "") -> Problem:
    return Problem(code=code, key=key, what=what, why=why, right=right, grave=False)


def page_flags(page: Page) -> Iterator[Problem]:
    """Yield every flag of a page: what hangs on nothing, unknown settings, limits, odd texts."""
    yield from _ids(page)
    yield from _hanging(page)
    yield from _cycles(page)
    yield from _kinds(page)
    yield from _spots(page)
    yield from _record(page)
    yield from _texts(page)


def _ids(page: Page) -> Iterator[Problem]:
    """Two people's merge may give one id to a part and a spot: the record cannot tell them."""
    for spot in page.spots:
        if spot.id in page.by_id or spot.id == FLOOR:
            yield _flag(
                "same-id",
                f"spot.{spot.id}",
                f"{spot.name} has the id of a part, and their lines of the record mix",
                right=f"[spot.{spot.id}-2], and its lines of the record the same",
            )
    if FLOOR in page.by_id:
        yield _flag(
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
            if on not in known:
                yield _flag(
                    "no-such-part",
                    f"part.{part.id}.on",
                    f"{part.name} is on {on}, and no part has that id",
                    "it opens as not hung",
                    f'on = "floor", or one of {_some(id_ for id_ in page.by_id if id_ != part.id)}',
                )
        start = part.measured_from
        if start is not None and start not in ENDS and start not in known:
            yield _flag(
                "no-such-part",
                f"part.{part.id}.from",
                f"{part.name} is measured from {start}, which is no end and no part",
                right='from = "B"',
            )
        for mark in part.marks or ():
            if mark not in marks:
                yield _flag(
                    "no-such-mark",
                    f"part.{part.id}.marks",
                    f"{part.name} is taped from {mark}, and the page has no such mark",
                    right="[mark.ahead] with x and y, or zero",
                )


def _some(names: Iterable[str], most: int = 8) -> str:
    """Name a few of what there is; a hostile page may have thousands."""
    first = list(islice(names, most + 1))
    return ", ".join(first if len(first) <= most else [*first[:most], "…"]) or "none yet"


def _cycles(page: Page) -> Iterator[Problem]:
    for part in page.parts:
        chain: list[str] = []
        at = part.id
        while at in page.by_id and at not in chain and len(chain) <= DEEPEST:
            chain.append(at)
            at = page.by_id[at].on[0]
        if len(chain) > DEEPEST:
            yield _flag(
                "too-deep",
                f"part.{part.id}.on",
                f"{part.name} hangs more than {DEEPEST} parts above the floor",
                "it opens as not hung",
                'on = "floor" for what stands',
            )
        # A cycle is told once, at the first of its parts by id.
        elif at == part.id and part.id == min(chain):
            yield _flag(
                "cycle",
                f"part.{part.id}.on",
                f"{' on '.join([*chain, at])}: they hang on each other",
                "none of them reaches the floor; they open as not hung",
                'on = "floor" for the one that stands',
            )


def _kinds(page: Page) -> Iterator[Problem]:
    for part in page.parts:
        if part.kind is not None and part.kind not in page.by_kind:
            yield _flag(
                "no-such-kind",
                f"part.{part.id}.kind",
                f"the page has no kind {part.kind}",
                "its settings are not known",
                f"[kind.{part.kind}]",
            )
            continue
        kind = page.by_kind.get(part.kind or "")
        if kind is not None and kind.fits is not None and kind.fits != part.type:
            yield _flag(
                "odd-kind",
                f"part.{part.id}.kind",
                f"{kind.name} is a kind of {kind.fits}, and {part.name} is a {part.type}",
                right=f'type = "{kind.fits}"',
            )
        carrier = page.by_id.get(part.on[0])
        if part.at is None or carrier is None or isinstance(carrier, Post | Bar):
            continue
        outlets = page.by_kind.get(carrier.kind or "")
        names = [outlet.id for outlet in outlets.outlets] if outlets else []
        if part.at not in names:
            yield _flag(
                "no-such-outlet",
                f"part.{part.id}.at",
                f"{carrier.name} has no outlet {part.at}",
                right=f'at = "{names[0]}"' if names else "leave at out",
            )


def _spots(page: Page) -> Iterator[Problem]:
    for spot in page.spots:
        pieces = spot.gap or (spot.height or ("",))[:1]
        for piece in pieces:
            if piece not in page.by_id:
                yield _flag(
                    "no-such-part",
                    f"spot.{spot.id}",
                    f"{spot.name} measures {piece}, and no part has that id",
                    right='gap = ["ride", "splash"]',
                )


def _record(page: Page) -> Iterator[Problem]:
    owners = {FLOOR, *page.by_id, *page.by_spot}
    names: dict[str, list[str]] = {}
    for known in page.declared.values():
        names.setdefault(known.owner, []).append(known.name)
    for key, setting in page.record:
        declared = page.declared.get(key)
        if declared is None:
            yield _unknown_setting(page, key, names)
            continue
        if setting.using is not None and setting.using not in page.by_instrument:
            yield _flag(
                "no-such-instrument",
                f"record.{key}.using",
                f"the page has no instrument {setting.using}",
                "how sure the reading is, is not known",
                f"one of {_some(page.by_instrument)}",
            )
        if flag := limit_flag(key, setting, declared):
            yield flag
    for owner, _ in page.remarks:
        if owner not in owners:
            yield _flag(
                "unknown-setting",
                f"record.{owner}.note",
                f"there is no part {owner} to note this on",
                "the line is kept",
                f"one of {_some([FLOOR, *page.by_id])}",
            )


def _unknown_setting(page: Page, key: str, names: dict[str, list[str]]) -> Problem:
    owner = key.split(".", 1)[0]
    if owner not in page.by_id and owner not in page.by_spot and owner != FLOOR:
        return _flag(
            "unknown-setting",
            f"record.{key}",
            f"there is no part {owner}",
            "the line is kept and not used",
            f"one of {_some([FLOOR, *page.by_id])}",
        )
    own = names.get(owner)
    return _flag(
        "unknown-setting",
        f"record.{key}",
        f"{owner} has no such setting",
        "the line is kept and not used",
        f"one of {_some(own)}" if own else "a kind that has it; the part has none",
    )


def limit_flag(key: str, setting: Setting, declared: Declared) -> Problem | None:
    """Return the flag of a value outside its limits; it is recorded all the same."""
    limit = setting.limit or declared.limit
    value = setting.value
    if limit is None or not isinstance(value, int | float):
        return None
    low, high = limit
    if low <= value <= high:
        return None
    guess = declared.limit_guess and setting.limit is None
    return _flag(
        "outside-limit",
        f"record.{key}",
        f"{value:.10g} is outside {low:g} to {high:g}; it is recorded all the same",
        "the limit is a guess, from memory" if guess else "the limit is the kind's or your own",
        f"{low:g} to {high:g}, or a limit = [LOW, HIGH] of its own on the line",
    )


def _texts(page: Page) -> Iterator[Problem]:
    head = page.head
    texts = [("rig", head.rig), ("moment", head.moment), ("venue", head.venue)]
    for part in page.parts:
        texts += [
            (f"part.{part.id}.{name}", text)
            for name in ("name", "mark", "colour", "care", "serial", "role")
            if (text := getattr(part, name, None)) is not None
        ]
    texts += [(f"spot.{spot.id}.name", spot.name) for spot in page.spots]
    texts += [(f"notes.{crew}", note) for crew, note in page.crew]
    texts += [(f"record.{owner}.note", remarks.note) for owner, remarks in page.remarks]
    texts += [
        (f"record.{key}", text)
        for key, setting in page.record
        for text in (setting.value, setting.note, setting.by)
        if isinstance(text, str)
    ]
    for key, text in texts:
        if clean(text) != text:
            yield _flag(
                "control-characters",
                key,
                f"the text has control or invisible characters: {text}",
                "they are shown by stand-ins, and kept in the file",
                "the text without them",
            )
