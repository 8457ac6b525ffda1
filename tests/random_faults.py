"""Random rigs with one fault: what hangs on it is unknown, and nothing else."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

from model.rig.page import Page
from model.rig.part import Bar, Curve, Post
from model.rig.setting import Setting
from tests.second_bars import arc_of
from tests.second_places import SecondPlaces
from tests.second_turns import UP, Unknown

Fault = Callable[[random.Random, Page], Page | None]


def _changed(page: Page, part_id: str, **fields: object) -> Page:
    """Return the page with fields of one part replaced."""
    parts = tuple(p.model_copy(update=fields) if p.id == part_id else p for p in page.parts)
    return Page(**{**{name: getattr(page, name) for name in Page.model_fields}, "parts": parts})


def _one(rng: random.Random, found: list[str]) -> str | None:
    return rng.choice(found) if found else None


def off_the_tube(rng: random.Random, page: Page) -> Page | None:
    """Put a clamp where there is no tube, by far or by little, or by little where there is."""
    places = SecondPlaces(page)
    clamps = [p for p in page.parts if places.kind(p).on_rail and p.rail != "inner"]
    if not clamps:
        return None
    clamp = rng.choice(clamps)
    host = page.by_id[clamp.on[0]]
    try:
        length = arc_of(host).length if isinstance(host, Bar) else places.rail(host.id).length
    except Unknown:
        return None
    if length is None:
        return None
    at = rng.choice([-5000.0, -0.01, 0.01, length - 0.01, length + 0.01, length + 5000.0])
    joint = next(j for j in places.kind(clamp).joints if j.slides == "rail")
    page = _changed(page, clamp.id, measured_from="A", edge=None, rail=None)
    return page.with_setting(f"{clamp.id}.{joint.id}", Setting(state="read", value=at))


def no_level_reads_so(rng: random.Random, page: Page) -> Page | None:
    """Let a level read more than upright, or what the joint cannot reach."""
    places = SecondPlaces(page)
    places.work_through()
    keys = [key for key in places.hinges if not key.endswith(".turn")]
    if not keys:
        return None
    key = rng.choice(keys)
    hinge = places.hinges[key][0]
    source = rng.choice(["gravity", "riser"])
    mean, cos, sin = hinge.wave(hinge.hand, places.gravity if source == "gravity" else UP)
    most = mean + math.hypot(cos, sin)
    value = rng.choice([90.5, -120.0])
    if most < 0.95 and rng.random() < 0.5:
        value = math.degrees(math.asin(most)) + 1.0
    setting = Setting.model_validate({"state": "read", "value": value, "read_from": source})
    return page.with_setting(key, setting)


def level_round_a_post(rng: random.Random, page: Page) -> Page | None:
    """Read a spin round an upright post from a level."""
    keys = [
        f"{part.id}.spin"
        for part in page.parts
        if isinstance(page.by_id.get(part.on[0]), Post)
        and page.setting(f"{part.id}.spin").state == "read"
    ]
    key = _one(rng, keys)
    if key is None:
        return None
    setting = Setting.model_validate({"state": "read", "value": 10.0, "read_from": "gravity"})
    return page.with_setting(key, setting)


def too_short(rng: random.Random, page: Page) -> Page | None:
    """Cut a bar so that it reaches its two clamps just so, or just not."""
    places = SecondPlaces(page)
    bars = [p for p in page.parts if isinstance(p, Bar) and len(p.on) == 2 and p.length]
    if not bars:
        return None
    bar = rng.choice(bars)
    try:
        run = places.run(bar)
    except Unknown:
        return None
    if run.closure is None:
        return None
    slides = [joint for joint in places.kind(bar).joints if joint.slides == "rail"]
    if len(slides) != 2 or slides[1].end == "B":
        return None
    a, b = (page.setting(f"{bar.id}.{joint.id}").value for joint in slides)
    apart = float(b) - float(a) + run.closure  # type: ignore[arg-type]
    length = apart - rng.choice([9.99, 10.01])
    # Its grips go to its two ends, so that the one thing wrong is its length.
    values = {slides[0].id: 0.0, slides[1].id: length}
    grips = {f"{bar.id}.{name}": Setting(state="read", value=v) for name, v in values.items()}
    return _changed(page, bar.id, length=length).with_settings(grips)


def no_such_arc(rng: random.Random, page: Page) -> Page | None:
    """Tell a curve that cannot be, or too little of it."""
    bar = _one(rng, [p.id for p in page.parts if isinstance(p, Bar) and p.curve])
    if bar is None:
        return None
    curve = rng.choice(
        [
            Curve(chord=400.0, sagitta=200.01),
            Curve(length=900.0, along="arc", chord=900.5),
            Curve(length=900.0, along="arc", chord=500.0),
            Curve(length=900.0, along="unknown", chord=800.0),
            Curve(length=900.0, along="chord", chord=900.0),
            Curve(length=900.0, along="arc", sagitta=400.0),
            Curve(sagitta=100.0),
        ]
    )
    return _changed(page, bar, curve=curve)


def face_of_no_tube(rng: random.Random, page: Page) -> Page | None:
    bars = [p.id for p in page.parts if isinstance(p, Bar) and p.curve and p.curve.face != "axis"]
    bar = _one(rng, bars)
    return None if bar is None else _changed(page, bar, tube=None)


def tapes_too_short(rng: random.Random, page: Page) -> Page | None:
    part = _one(rng, [part.id for part in page.parts if part.marks])
    if part is None:
        return None
    return page.with_setting(f"{part}.from_{rng.choice([1, 2])}", Setting(state="read", value=20.0))


def hangs_on_nothing(rng: random.Random, page: Page) -> Page | None:
    """Name what is not there: a part, an outlet, a kind, a mark, a clamp to measure from."""
    part = rng.choice(page.parts)
    how = rng.choice(["on", "at", "kind", "marks", "from", "itself"])
    if how == "on":
        return _changed(page, part.id, on=("nothing",) * len(part.on))
    host = page.by_id.get(part.on[0])
    if how == "at" and host is not None and host.kind is not None:
        return _changed(page, part.id, at="nowhere")
    if how == "kind":
        return _changed(page, part.id, kind="no-such-kind")
    if how == "marks" and part.marks:
        return _changed(page, part.id, marks=("zero", "nowhere"))
    clamped = part.kind is not None and page.by_kind[part.kind].on_rail and part.rail != "inner"
    if how == "from" and clamped:
        return _changed(page, part.id, measured_from="nothing")
    if how == "itself" and clamped:
        return _changed(page, part.id, measured_from=part.id)
    return None


FAULTS: tuple[Fault, ...] = (
    off_the_tube,
    no_level_reads_so,
    level_round_a_post,
    too_short,
    no_such_arc,
    face_of_no_tube,
    tapes_too_short,
    hangs_on_nothing,
)
