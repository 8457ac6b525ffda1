"""What stands in the way of a place is named, with the part and the numbers; the rest goes on.

Every case is one rig with one thing wrong. A pad on a stand of its own is in every rig, and its
place must be there whatever else is wrong; the messages are in one golden text.
"""

from __future__ import annotations

import pytest

from model.rig.page import Mark, Page
from model.space.positions import Positions
from tests.goldens import same_as_golden
from tests.rigs_bad import (
    BOWED,
    LEGS,
    PAD_AT,
    Case,
    between,
    curved,
    on_post,
    on_stand,
    straight,
)
from tests.rigs_small import (
    answer_of,
    bar,
    disc,
    kind_of,
    mount,
    piece,
    post,
    remade,
    standing,
)

SHORTER = {**BOWED, "grip_b": 970.0}

CASES = {
    "a bar that cannot reach": between(
        "cannot-reach", "part.bar", straight(900.0), values={"grip_a": 0.0, "grip_b": 900.0}
    ),
    "a curved bar that cannot reach": between(
        "cannot-reach",
        "part.bar",
        curved(chord=950.0, sagitta=100.0),
        values={**BOWED, "grip_b": 970.0},
    ),
    "posts nearer than the standoffs": between(
        "cannot-pass",
        "part.bar.side",
        straight(side=("left", "right")),
        apart=250.0,
        clamp="wide-clamp",
        values={"grip_a": 100.0, "grip_b": 350.0},
    ),
    "beyond end B": on_post("beyond-end", "record.clamp.height", 650.0),
    "beyond end A": on_post("beyond-end", "record.clamp.height", -30.0),
    "beyond end A, read from B": on_post(
        "beyond-end", "record.clamp.height", 610.0, **{"from": "B"}
    ),
    "above the inner tube": on_post("beyond-end", "record.clamp.height", -10.0, rail="inner"),
    "below the inner tube": on_post("beyond-end", "record.clamp.height", 510.0, rail="inner"),
    "a grip beyond the bar": between(
        "beyond-end", "part.bar", straight(1050.0), values={"grip_a": 100.0, "grip_b": 1100.0}
    ),
    "grips reversed": between(
        "grips-reversed", "part.bar.on", straight(), values={"grip_a": 1100.0, "grip_b": 100.0}
    ),
    "no grip": Case(
        "no-grip",
        "part.bar.on",
        (bar("bar", "bar-in-one-clamp", "pad-stand", length=500.0),),
        {"bar.grip": 100.0, "bar.slope": 0.0},
        lost=("bar",),
    ),
    "a bar on the floor": Case(
        "no-grip",
        "part.bar.on",
        (bar("bar", "bar-in-one-clamp", "floor", length=500.0),),
        {"bar.grip": 100.0, "bar.slope": 0.0},
        lost=("bar",),
    ),
    "a sagitta over half the chord": between(
        "deep-sagitta", "part.bar.curve", curved(chord=1000.0, sagitta=510.0), values=BOWED
    ),
    "an arc shorter than its chord": between(
        "short-arc",
        "part.bar.curve",
        curved(length=990.0, along="arc", chord=1000.0),
        values=BOWED,
    ),
    "a curve that is not known": between(
        "unknown-curve", "part.bar.curve", curved(length=1000.0, sagitta=100.0), values=BOWED
    ),
    "tapes that do not meet": Case(
        "tapes-apart",
        "record.stool.from_1",
        (piece("stool", kind="floor-seat", marks=("zero", "ahead"), marks_side="left"),),
        {"stool.from_1": 300.0, "stool.from_2": 400.0, "stool.height": 500.0},
        marks=(Mark(id="ahead", x=0.0, y=1000.0),),
        lost=("stool",),
    ),
    "a level that no turn can show": on_stand(
        "no-such-turn",
        "record.stand.tilt",
        values={"stand.tilt": 95.0},
        read_from={"stand.tilt": "gravity"},
    ),
    "a level that no turn of a steep axis can show": on_stand(
        "no-such-turn",
        "record.shaft.spin",
        parts=(
            mount("stand", "floor-stand"),
            mount("shaft", "extension-shaft", "stand"),
            disc("ride", "shaft"),
        ),
        values={"shaft.slide": 50.0, "shaft.spin": 30.0},
        read_from={"shaft.spin": "gravity"},
    ),
    "a level round a post": Case(
        "no-such-turn",
        "record.boom.spin",
        (post("post"), mount("boom", "boom-on-clamp", "post"), disc("ride", "boom")),
        {
            **standing("post", 0.0, 0.0),
            "boom.place": 800.0,
            "boom.spin": 30.0,
            "boom.tilt": 2,
            "boom.reach": 300.0,
            "boom.lean": 0.0,
        },
        read_from={"boom.spin": "gravity"},
        lost=("ride",),
        kept=("post", "boom"),
    ),
    "an outlet that is not there": on_stand(
        "no-such-outlet",
        "part.ride.at",
        parts=(mount("stand", "floor-stand"), disc("ride", "stand", at="left")),
    ),
    "a ring": Case(
        "cycle",
        "part.arm-2.on",
        (
            mount("arm-1", "extension-shaft", "arm-2"),
            mount("arm-2", "extension-shaft", "arm-1"),
            disc("ride", "arm-2"),
        ),
        {"arm-1.slide": 0.0, "arm-1.spin": 0.0, "arm-2.slide": 0.0, "arm-2.spin": 0.0},
        lost=("ride",),
    ),
    "a kind that is not there": Case(
        "no-such-kind",
        "part.arm.kind",
        (mount("arm", "gone", "pad-stand"), disc("ride", "arm")),
        {},
        lost=("ride",),
    ),
    "not three legs": Case(
        "not-three-legs",
        "part.tom.kind",
        (piece("tom", kind="two-legs"),),
        {**standing("tom", 0.0, 0.0), "tom.leg_1": 200.0, "tom.leg_2": 200.0},
        kinds=(remade(kind_of("two-legs", *LEGS), fits="piece"),),
        lost=("tom",),
    ),
}


def places_of(page: Page) -> dict[str, object]:
    """Return every place that the answer knows, by part."""
    answer = answer_of(page)
    known = {key: found.centre for key, found in answer.pieces.items() if found.centre}
    return {**known, **answer.clamps, **answer.bars, **answer.posts}


@pytest.mark.parametrize("name", CASES)
def test_the_fault_is_named_and_the_rest_is_placed(name: str) -> None:
    case = CASES[name]
    page = case.page()
    faults = answer_of(page).faults
    assert [(fault.code, fault.key) for fault in faults] == [(case.code, case.key)]
    places = places_of(page)
    assert places["pad"] == pytest.approx(PAD_AT)
    assert not set(case.lost) & places.keys()
    assert set(case.kept) <= places.keys()


def test_the_messages() -> None:
    texts = []
    for name, case in CASES.items():
        problems = Positions(case.page()).faults()
        texts.append(f"# {name}\n" + "\n".join(problem.text() for problem in problems))
    same_as_golden("space_bad_input.txt", "\n\n".join(texts) + "\n")
