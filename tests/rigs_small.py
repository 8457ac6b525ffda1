"""Small rigs for tests of places: a few parts, their values, and an instrument of known u."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime

from model.book.generic import generic_kinds
from model.readings.angles import ReadFrom
from model.readings.instruments import Instrument
from model.rig.declared import AnyPart, declared_settings
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Head, Mark, Page
from model.rig.part import Bar, Disc, Mount, Piece, Post
from model.rig.setting import FOLLOWS, OPEN, Setting
from model.space.answer import PagePositions, page_positions

HEAD = Head(
    rig="Small rig",
    date=date(2025, 3, 14),
    began=datetime(2025, 3, 14, 17, 0, tzinfo=UTC),
    moment="soundcheck",
)
GAUGE = Instrument(id="gauge", u_mm=1.0, u_deg=0.5, u_teeth=0.0)
"""What every value of a small rig is read with; it reads joints."""

Place = tuple[float, float, float]


def post(part_id: str, kind: str = "foot-post", **fields: object) -> Post:
    return Post.model_validate({"id": part_id, "name": part_id, "kind": kind, **fields})


def bar(part_id: str, kind: str, *on: str, **fields: object) -> Bar:
    return Bar.model_validate({"id": part_id, "name": part_id, "kind": kind, "on": on, **fields})


def mount(part_id: str, kind: str, on: str = "floor", **fields: object) -> Mount:
    given = {"id": part_id, "name": part_id, "kind": kind, "on": (on,), **fields}
    return Mount.model_validate(given)


def piece(part_id: str, on: str = "floor", **fields: object) -> Piece:
    return Piece.model_validate({"id": part_id, "name": part_id, "on": (on,), **fields})


def disc(part_id: str, on: str, diameter: float = 400.0, **fields: object) -> Piece:
    return piece(part_id, on, disc=Disc(diameter=diameter), **fields)


def standing(part_id: str, x: float, y: float, turn: float = 0.0) -> dict[str, float]:
    """Return the values of what stands on the floor."""
    return {f"{part_id}.x": x, f"{part_id}.y": y, f"{part_id}.turn": turn}


def arm(kind_id: str, length: float, *, body: float = 40.0) -> Kind:
    """Return a kind that clamps to a tube, its outlet ``length`` out along o and square to o."""
    return kind_of(
        kind_id,
        Joint(id="place", slides="rail"),
        Joint(id="spin", turns="rail"),
        outlets=(Outlet(id="tip", offset=(0.0, length, 0.0)),),
        body=body,
    )


def kind_of(
    kind_id: str, *joints: Joint, outlets: Sequence[Outlet] = (), body: float | None = None
) -> Kind:
    """Return a mount's kind."""
    return Kind(
        id=kind_id,
        name=kind_id,
        fits="mount",
        joints=joints,
        outlets=tuple(outlets),
        body=body,
    )


def changed_kind(kind_id: str, name: str, **changes: object) -> Kind:
    """Return a generic kind under another name, its first outlet changed (a jaw's standoff)."""
    kind = generic_kinds()[kind_id]
    first = Outlet.model_validate({**dict(kind.outlets[0]), **changes})
    return remade(kind, id=name, outlets=(first, *kind.outlets[1:]))


def remade(kind: Kind, **changes: object) -> Kind:
    """Return a kind with fields changed; a plain copy would keep what was worked out of the old."""
    fields = {name: getattr(kind, name) for name in Kind.model_fields}
    return Kind.model_validate({**fields, **changes})


def small_page(
    *parts: AnyPart,
    values: Mapping[str, float],
    kinds: Sequence[Kind] = (),
    slope: tuple[float, float] = (0.0, 0.0),
    read_from: Mapping[str, ReadFrom] | None = None,
    follows: Sequence[str] = (),
    marks: Sequence[Mark] = (),
    gauge: Instrument = GAUGE,
    u: Mapping[str, float] | None = None,
) -> Page:
    """Return a page: every value read with the gauge, open where none is given.

    ``slope`` is the riser's, ahead and right, in degrees; ``read_from`` and ``u`` go by setting.
    """
    known = {**generic_kinds(), **{kind.id: kind for kind in kinds}}
    used = {name: known[name] for name in {p.kind for p in parts} & known.keys() if name}
    given = dict(values)
    for key, degrees in zip(("floor.slope_ahead", "floor.slope_right"), slope, strict=True):
        if degrees:
            given[key] = degrees
    sources, sure = read_from or {}, u or {}
    record = []
    for declared in declared_settings(parts, used):
        setting = FOLLOWS if declared.key in follows else OPEN
        if declared.key in given:
            value = given.pop(declared.key)
            setting = Setting(
                state="read",
                value=int(value) if declared.quantity == "teeth" else float(value),
                using=gauge.id,
                read_from=sources.get(declared.key),
                u=sure.get(declared.key),
            )
        record.append((declared.key, setting))
    assert not given, f"nothing declares {sorted(given)}"
    return Page(
        head=HEAD,
        instruments=(gauge,),
        marks=tuple(marks),
        parts=parts,
        record=tuple(record),
        kinds=tuple(used[name] for name in sorted(used)),
    )


def answer_of(page: Page) -> PagePositions:
    """Return what ``clampbook positions`` says of a page."""
    return page_positions(page, "small")


def centre_of(page: Page, piece_id: str) -> Place:
    """Return where a piece's surface is; the rig must be without a fault."""
    answer = answer_of(page)
    assert answer.faults == ()
    at = answer.pieces[piece_id].centre
    assert at is not None
    return at


def normal_of(page: Page, piece_id: str) -> Place:
    """Return a surface's normal."""
    normal = answer_of(page).pieces[piece_id].normal
    assert normal is not None
    return normal
