"""Random hardware: kinds as trees of joints, parts of all four sorts, instruments."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

from model.book.generic import generic_kinds
from model.book.into_values import known_keys
from model.readings.angles import READ_FROM
from model.readings.instruments import GENERIC_INSTRUMENTS, Instrument
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind, Outlet
from model.rig.part import PART_TYPES, Curve, Dial, Disc, Shell, Slab, Weight
from tests.strategies_values import (
    extras,
    maybe,
    numbers,
    pairs,
    pick,
    picks,
    sizes,
    spreads,
    texts,
    upto,
    vectors,
)

AXES = ("x", "y", "z", "-x", "-y", "-z", "rail", "chord", "leg")
JOINTS = ("x", "y", "height", "place", "spin", "tilt", "grip_a", "from_1", "id", "extra", "joints")
OUTLETS = ("left", "right", "rear", "tip", "jaw", "offset")
OWN_KINDS = ("own-arm", "zz", "1-post", "foot-post")
UNITS = ("word", "mm", "deg", "turns", "", 'quo"te')


def joint(draw: st.DrawFn, name: str, before: Sequence[str]) -> Joint:
    """Draw one joint, after any that stands before it in the chain."""
    turns = draw(st.booleans())
    vector = maybe(draw, vectors())
    return Joint.model_validate(
        {
            "id": name,
            "turns" if turns else "slides": vector if vector and any(vector) else pick(draw, AXES),
            "before": draw(vectors()),
            "before_u": draw(spreads()),
            "after": pick(draw, (None, "root", *before)),
            "end": pick(draw, (None, "A", "B")),
            "zero": draw(texts()),
            "plus": draw(texts()),
            "measured": maybe(draw, texts()) or "",
            "limit": maybe(draw, pairs()),
            "limit_guess": draw(st.booleans()),
            "teeth": maybe(draw, st.integers(2, 400)) if turns else None,
            "tooth_zero": maybe(draw, texts()) or "",
            "loosen": maybe(draw, texts()) or "",
            "usually": pick(draw, ("", "eye", "tape")),
            "level": pick(draw, (None, *AXES[:6], (0.0, 1.0, 1.0))),
            "assumed": maybe(draw, numbers(10)),
            "follows": draw(st.booleans()),
            "extra": extras(draw, flat=True),
        }
    )


def outlet(draw: st.DrawFn, name: str, joint_ids: Sequence[str]) -> Outlet:
    """Draw one named end."""
    turned = st.tuples(numbers(1), numbers(1), numbers(1), numbers(180))
    return Outlet(
        id=name,
        offset=draw(vectors()),
        offset_u=maybe(draw, spreads()) or 0.0,
        after=pick(draw, (None, "root", *joint_ids)),
        turned=draw(turned) if draw(upto(3)) == 3 else None,
        holds=pick(draw, (None, "through", "beside", "end")),
        standoff=maybe(draw, spreads()),
        reach=maybe(draw, spreads()),
        u_mm=maybe(draw, spreads()) or 0.0,
        extra=extras(draw, flat=True),
    )


def own_kind(draw: st.DrawFn, name: str) -> Kind:
    """Draw a kind that nobody shipped: a tree of joints with outlets anywhere along it."""
    ids = picks(draw, JOINTS, 4)
    return Kind(
        id=name,
        name=draw(texts()),
        fits=pick(draw, (None, "post", "bar", "mount", "piece")),
        joints=tuple(joint(draw, joint_id, ids[:at]) for at, joint_id in enumerate(ids)),
        outlets=tuple(outlet(draw, end, ids) for end in picks(draw, OUTLETS, 2)),
        body=maybe(draw, sizes(100)),
        inner_after=pick(draw, (None, *ids)),
        stem=maybe(draw, vectors()),
        extra=extras(draw),
    )


def kinds(draw: st.DrawFn) -> tuple[Kind, ...]:
    """Draw generic kinds and own ones, by id; an own one may bear a generic one's id."""
    own = [own_kind(draw, name) for name in picks(draw, OWN_KINDS, 2)]
    names = [name for name in generic_kinds() if name not in {kind.id for kind in own}]
    shipped = [generic_kinds()[name] for name in picks(draw, names, 8)]
    return tuple(sorted((*own, *shipped), key=lambda kind: kind.id))


def dials(draw: st.DrawFn) -> tuple[Dial, ...]:
    """Draw a part's dials: words, lengths, angles, and units of the user's own."""
    names = picks(draw, ("beater_angle", "note", "dial", "x"), 2) if draw(upto(3)) == 3 else ()
    return tuple(Dial(id=name, unit=pick(draw, UNITS)) for name in names)


def part(
    draw: st.DrawFn, part_id: str, earlier: Sequence[str], page_kinds: Sequence[Kind]
) -> AnyPart:
    """Draw a part on the floor, on any earlier part or outlet, or on one that is not there."""
    kind = pick(draw, (*page_kinds, *page_kinds, None))
    kind_id = kind.id if kind else pick(draw, (None, "no-such-kind"))
    sort = kind.fits if kind and kind.fits and draw(upto(4)) < 4 else pick(draw, tuple(PART_TYPES))
    grips = 2 if sort == "bar" and draw(st.booleans()) else 1
    is_taped = draw(upto(5)) == 5
    fields = {
        "id": part_id,
        "name": draw(texts()),
        "kind": kind_id,
        "on": tuple(pick(draw, ("floor", *earlier, *earlier, "nowhere")) for _ in range(grips)),
        "at": pick(draw, (None, "left", "rear", "odd outlet")),
        "rail": pick(draw, (None, None, "outer", "inner")),
        "edge": pick(draw, (None, "near", "centre", "far", "top", "bottom")),
        "from": pick(draw, (None, None, "A", "B", *earlier)),
        "marks": ("zero", draw(texts())) if is_taped else None,
        "marks_side": pick(draw, ("left", "right")) if is_taped else None,
        **{name: maybe(draw, texts()) for name in ("serial", "mark", "colour", "care")},
        "weight": Weight(kg=draw(sizes(50)), guess=True) if draw(upto(2)) else None,
        "dials": dials(draw),
        "extra": extras(draw, also=_ELSEWHERE[sort]),
        **_OWN[sort](draw, grips),
    }
    return PART_TYPES[sort].model_validate(fields)


def _post(draw: st.DrawFn, _: int) -> dict[str, object]:
    names = ("tube", "inner_tube", "length", "inner_length")
    return {"square": draw(st.booleans()), **{n: maybe(draw, sizes(500)) for n in names}}


def _mount(draw: st.DrawFn, _: int) -> dict[str, object]:
    return {name: maybe(draw, sizes(500)) for name in ("tube", "rod", "length")}


def _bar(draw: st.DrawFn, grips: int) -> dict[str, object]:
    curve = Curve(
        length=maybe(draw, sizes()),
        along=pick(draw, ("unknown", "arc", "chord")),
        chord=maybe(draw, sizes()),
        sagitta=maybe(draw, sizes()),
        face=pick(draw, ("axis", "outer", "inner")),
        extra=extras(draw, flat=True),
    )
    return {
        "tube": maybe(draw, sizes(500)),
        "length": maybe(draw, sizes()),
        "curve": pick(draw, (None, curve)),
        "side": pick(draw, ((), ("left", "right")[:grips], ("right", "right")[:grips])),
        "square": draw(st.booleans()),
    }


def _piece(draw: st.DrawFn, _: int) -> dict[str, object]:
    extra = extras(draw, flat=True)
    size, more = draw(sizes()), maybe(draw, sizes())
    surface: dict[str, object] = {
        "shell": Shell(diameter=size, depth=more, extra=extra),
        "disc": Disc(diameter=size, bell=more, extra=extra),
        "slab": Slab(width=size, depth=draw(sizes()), height=more, extra=extra),
    }
    return {
        "role": maybe(draw, texts()),
        **{name: surface[name] for name in picks(draw, tuple(surface), 2)},
        "offset": draw(vectors()),
        "offset_u": maybe(draw, spreads()) or 0.0,
        "stem": tuple(draw(texts()) for _ in range(draw(upto(2)))),
    }


_ELSEWHERE = {  # what another sort of part has, and the words of the values themselves
    sort: ("id", "extra", *sorted({"role", "rod", "side", "square"} - known_keys(model)))
    for sort, model in PART_TYPES.items()
}
_OWN = {"post": _post, "bar": _bar, "mount": _mount, "piece": _piece}


def instruments(draw: st.DrawFn) -> tuple[Instrument, ...]:
    """Draw some of the generic instruments, and perhaps one of the user's own."""
    some = picks(draw, GENERIC_INSTRUMENTS, 3)
    if draw(st.booleans()):
        return tuple(some)
    fields = {n: maybe(draw, spreads()) for n in ("u_mm", "u_deg", "u_teeth", "same_mm")}
    own = Instrument.model_validate(
        {
            "id": "laser",
            **fields,
            "from": pick(draw, (None, *READ_FROM)),
            "guess": draw(st.booleans()),
            "extra": extras(draw, flat=True),
        }
    )
    return (*some, own)
