"""Homes of the sample rigs with all of it known, and fill-ins that move what they please."""

from __future__ import annotations

import random
from collections.abc import Collection
from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from pathlib import Path

from model.book.read import parse_page
from model.readings.instruments import Instrument
from model.rig.declared import AnyPart
from model.rig.page import Head, Page
from model.rig.part import Bar, Disc, Mount, Piece
from model.rig.setting import FOLLOWS, Setting
from model.space.as_read import is_joint, plain_page, read_page
from model.space.positions import Positions
from tests.hall import Hall
from tests.hall_screws import kind_of, loops_of

ROOT = Path(__file__).parent.parent / "sample_rigs"
HOMES = (
    "harbour-dance/2026-03-08-soundcheck",
    "fly-rack/2026-05-09-soundcheck",
    "pit-percussion/2026-04-15-soundcheck",
)


@cache
def sample(name: str) -> Page:
    """Return a page of a sample book, such that every place of it can be known.

    A hired rack has no pieces: its empty tips get a disc each. What a bar's nominal length is
    along, where nobody said, is taken as the chord.
    """
    read = parse_page((ROOT / f"{name}.toml").read_text("utf-8"))
    assert read.page is not None
    page = read.page
    discs = [
        Piece(
            id=f"disc-{part.id}",
            name=f"Disc of {part.name}",
            role=f"disc of {part.id}",
            on=(part.id,),
            disc=Disc(diameter=300.0),
            offset=(0.0, 60.0, 20.0),
        )
        for part in page.parts
        if isinstance(part, Mount)
        and not any(part.id in other.on for other in page.parts)
        and all(outlet.holds is None for outlet in kind_of(page, part).outlets)
    ]
    parts = [_with_its_curve(part) for part in page.parts]
    return _with(page, parts=(*parts, *discs))


def _with_its_curve(part: AnyPart) -> AnyPart:
    curve = part.curve if isinstance(part, Bar) else None
    if curve is None or curve.chord is not None or curve.along != "unknown":
        return part
    return part.model_copy(update={"curve": curve.model_copy(update={"along": "chord"})})


def _with(page: Page, **changes: object) -> Page:
    fields = {name: getattr(page, name) for name in Page.model_fields}
    return Page.model_validate({**fields, **changes})


def exact(instrument: Instrument) -> Instrument:
    """Return an instrument without any uncertainty."""
    zero = {"u_mm": 0.0, "u_deg": 0.0, "u_teeth": 0.0, "same_mm": 0.0, "same_deg": 0.0}
    return Instrument.model_validate({**dict(instrument), **zero})


def home_of(name: str, rng: random.Random, *, unknown: bool = False, sure: bool = False) -> Page:
    """Return a home as it was read: all of it read that night, and such as real tubes can be.

    What the page leaves open is given a value, or stays open where ``unknown``. With ``sure`` the
    instruments keep their uncertainties.
    """
    page = sample(name)
    if not sure:
        page = _with(page, instruments=tuple(exact(held) for held in page.instruments))
    settings: dict[str, Setting] = {}
    for key, declared in page.declared.items():
        held = page.setting(key)
        if held.state == "follows":
            settings[key] = FOLLOWS
        elif declared.is_spot:
            settings[key] = Setting(state="open")
        elif held.state == "open":
            if is_joint(declared) and not unknown:
                settings[key] = _given(page, key, rng)
        elif isinstance(held.value, float | int):
            value = held.value if isinstance(held.value, int) else round(held.value, 1)
            settings[key] = _read(held, value)
        else:
            settings[key] = _read(held, held.value)
    return closed(page.with_settings(settings))


def _read(held: Setting, value: float | int | str | None) -> Setting:
    return Setting(
        state="read",
        value=value,
        using=held.using,
        read_from=held.read_from,
        limit=held.limit,
    )


def _given(page: Page, key: str, rng: random.Random) -> Setting:
    """Return a reading for what was open: within its limits, and on its tube."""
    declared = page.declared[key]
    low, high = page.setting(key).limit or declared.limit or (-30.0, 30.0)
    part = page.by_id[declared.owner]
    if isinstance(page.by_id.get(part.on[0]), Bar) and declared.name == "place":
        low, high = 250.0, 550.0
    third = (high - low) / 3.0
    value = rng.uniform(low + third, high - third)
    teeth = declared.quantity == "teeth"
    return Setting(
        state="read", value=round(value) if teeth else round(value, 1), using=declared.usually
    )


def closed(page: Page) -> Page:
    """Return the page with every bar's second grip where the tube really passes its clamp."""
    for loop in loops_of(page):
        bar = page.by_id[loop.bar]
        assert isinstance(bar, Bar)
        for _ in range(12):
            closure = Positions(page).places.hung(bar).closure
            assert closure is not None
            held = page.setting(loop.grips[1])
            assert isinstance(held.value, float)
            page = page.with_setting(loop.grips[1], _read(held, held.value + float(closure[0])))
    return page


def plain_of(page: Page) -> Page:
    """Return a page in its joints' own values: what the hall keeps."""
    return plain_page(page)


def tells_all(hall: Hall, now: Page) -> bool:
    """Tell whether a page says where everything stands: of two turns that a level shows alike it
    means the smaller, and what stands the other way is not told by it."""
    again = plain_page(now)
    for key in hall.by_key:
        value = again.setting(key).value
        assert isinstance(value, float | int), key
        if abs((value - hall.own(key) + 180.0) % 360.0 - 180.0) > 1e-6:
            return False
    return True


def read_on(plain: Page, like: Page, day: int = 1) -> Page:
    """Return what the instruments show of a hall, on a page of another night."""
    head = dict(like.head)
    head |= {
        "date": like.head.date + timedelta(days=day),
        "began": like.head.began + timedelta(days=day),
        "moment": "after fill-in",
        "venue": "Another hall",
    }
    page = read_page(plain, like)
    fields = {name: getattr(page, name) for name in Page.model_fields}
    return Page.model_construct(**{**fields, "head": Head.model_validate(head)})


@dataclass(frozen=True, slots=True)
class FillIn:
    """What somebody did to a rig: what was let go, and what was moved by hand."""

    screws: tuple[str, ...]


def fill_in(hall: Hall, rng: random.Random, most: int, leave: Collection[str] = ()) -> FillIn:
    """Let a few screws go and set what they free anew, as a fill-in does; tighten all.

    What is in ``leave`` is put as it was.
    """
    screws = list(hall.screws.values())
    wanted = rng.sample(screws, min(len(screws), rng.randint(1, most)))
    hands = [screw for screw in wanted if screw.by_hand]
    loosen = {screw.id for screw in wanted if not screw.by_hand}
    moved = {screw.part for screw in wanted}
    for loop in hall.loops.all:
        if moved & {*loop.clamps, *loop.posts}:
            loosen |= {f"{clamp}.clamp" for clamp in loop.clamps}
    before = hall.page
    hall.loosen(sorted(loosen))
    for screw in hands:
        hall.take_in_hand(screw.id)
    keep = rng.random() * 0.8
    for key in sorted(hall.free()):
        was = before.setting(key).value
        assert isinstance(was, float | int)
        hall.put(key, was if key in leave or rng.random() < keep else _anew(hall, rng, key, was))
    hall.tighten()
    hall.loosenings = 0
    return FillIn(tuple(sorted(loosen | {screw.id for screw in hands})))


def _anew(hall: Hall, rng: random.Random, key: str, was: float | int) -> float | int:
    """Return another value of a joint, near enough to be one that people use."""
    part, joint = hall.part_and_joint(key)
    low, high = hall.room(key)
    if joint is not None and joint.teeth is not None:
        near = range(max(int(low), int(was) - 2), min(int(high), int(was) + 2) + 1)
        return rng.choice([teeth for teeth in near if teeth != was])
    far = 8.0 if hall.screws[hall.by_key[key]].by_hand else 40.0
    if isinstance(part, Bar):
        far = 10.0
    least, most = max(low, was - far), min(high, was + far)
    return round(rng.uniform(least, most), 1) if least < most else was
