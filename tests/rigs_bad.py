"""Rigs with one thing wrong, each with a pad on a stand of its own that is well."""

from __future__ import annotations

from dataclasses import dataclass, field

from model.readings.angles import ReadFrom
from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind
from model.rig.page import Mark, Page
from model.rig.part import Bar, Curve
from tests.rigs_small import (
    bar,
    changed_kind,
    disc,
    mount,
    post,
    small_page,
    standing,
)

PAD = (disc("pad", "pad-stand"), mount("pad-stand", "floor-stand"))
PAD_VALUES = {**standing("pad-stand", 300.0, 400.0), "pad-stand.height": 700.0, "pad-stand.tilt": 0}
PAD_AT = (300.0, 400.0, 725.0)


@dataclass(frozen=True)
class Case:
    """A rig with one thing wrong: the code and key of its fault, and what is unknown for it."""

    code: str
    key: str
    parts: tuple[AnyPart, ...]
    values: dict[str, float]
    kinds: tuple[Kind, ...] = ()
    marks: tuple[Mark, ...] = ()
    read_from: dict[str, ReadFrom] = field(default_factory=dict)
    lost: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()

    def page(self) -> Page:
        return small_page(
            *PAD,
            *self.parts,
            values={**PAD_VALUES, **self.values},
            kinds=self.kinds,
            marks=self.marks,
            read_from=self.read_from,
        )


def between(
    code: str,
    key: str,
    held: Bar,
    *,
    apart: float = 1000.0,
    clamp: str = "cross-clamp",
    values: dict[str, float],
) -> Case:
    """Return the case of a bar between two posts that stand ``apart`` from each other."""
    return Case(
        code,
        key,
        (
            post("post-1", length=1100.0),
            post("post-2", length=1100.0),
            mount("clamp-1", clamp, "post-1"),
            mount("clamp-2", clamp, "post-2"),
            held,
            mount("on-bar", "side-clamp", "bar"),
        ),
        {
            **standing("post-1", 0.0, 0.0),
            **standing("post-2", apart, 0.0),
            "clamp-1.height": 800.0,
            "clamp-2.height": 800.0,
            "on-bar.height": 100.0,
            **{f"bar.{name}": value for name, value in values.items()},
        },
        kinds=(changed_kind("side-clamp", "wide-clamp", standoff=150.0),),
        lost=("bar", "on-bar"),
        kept=("post-1", "post-2", "clamp-1", "clamp-2"),
    )


def on_post(code: str, key: str, height: float, **fields: object) -> Case:
    """Return the case of a clamp on a post with an inner tube; another clamp is well."""
    return Case(
        code,
        key,
        (
            post("post", "telescoping-post", length=600.0, inner_length=500.0),
            mount("clamp", "side-clamp", "post", **fields),
            mount("other", "side-clamp", "post"),
        ),
        {
            **standing("post", 0.0, 0.0),
            "post.height": 1000.0,
            "clamp.height": height,
            "other.height": 500.0,
        },
        lost=("clamp",),
        kept=("post", "other"),
    )


def on_stand(code: str, key: str, **given: object) -> Case:
    """Return the case of a disc on a stand, something of which is wrong."""
    fields = {"code": code, "key": key, "lost": ("ride",), **given}
    fields.setdefault("parts", (mount("stand", "floor-stand"), disc("ride", "stand")))
    values = {**standing("stand", 0.0, 500.0), "stand.height": 900.0, "stand.tilt": 10.0}
    fields["values"] = {**values, **fields.pop("values", {})}  # type: ignore[dict-item]
    return Case(**fields)  # type: ignore[arg-type]


def straight(length: float = 1200.0, **fields: object) -> Bar:
    return bar("bar", "bar-in-two-clamps", "clamp-1", "clamp-2", length=length, **fields)


def curved(**curve: object) -> Bar:
    return bar(
        "bar",
        "curved-bar-in-two-clamps",
        "clamp-1",
        "clamp-2",
        curve=Curve.model_validate(curve),
    )


BOWED = {"grip_a": 10.0, "grip_b": 1000.0, "bow": 0.0}
LEGS = (
    Joint(id="x", slides="x"),
    Joint(id="y", slides="y"),
    Joint(id="turn", turns="-z"),
    Joint(id="leg_1", slides="leg", before=(0.0, 200.0, 0.0), after="turn"),
    Joint(id="leg_2", slides="leg", before=(0.0, -200.0, 0.0), after="turn"),
)
