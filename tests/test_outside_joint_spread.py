"""How sure a joint's own difference is, against the ``uncertainties`` library.

Source: JCGM 100:2008, 5.1.2 (the law of propagation), as the library applies it to a formula that
is written here by hand, and to the second computation of places by ``uncertainties.wrap``. A
setting's two readings are one input, as uncertain as both together: it counts by what it does on
the second page, or where it does nothing there, on the first. The readings are given small u, so
that terms of second order do not reach the sixth digit; a reading that both pages rest on cancels.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest
import uncertainties as un  # type: ignore[import-untyped]
from uncertainties import umath

from model.book.page_file import open_page
from model.compare.joints import JointDifference, joint_differences
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.places import Places
from tests.second_places import SecondPlaces

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
NAMES = ("first", "second")
U = {"length": 0.013, "angle": 0.004, "teeth": 0.0}
"""Standard uncertainties of one reading, mm and degrees."""
SAME = 1e-6
NOTHING = 1e-9
STEP = {"length": 1e-2, "angle": 1e-3}

PAIRS = [
    ("harbour-dance", "2026-03-21-soundcheck", "2026-03-21-after-fill-in"),
    ("harbour-dance", "2026-03-21-after-fill-in", "2026-03-22-soundcheck"),
    ("harbour-dance", "2026-03-20-soundcheck", "2026-04-04-soundcheck"),
    ("pit-percussion", "2026-04-16-soundcheck", "2026-04-21-soundcheck"),
]
SLOPES = ("floor.slope_ahead", "floor.slope_right")


def pages(book: str, *names: str, shared: Sequence[str] = ()) -> tuple[Page, Page]:
    """Return two pages with every number read on its night, as sure as ``U``; ``shared`` ones are
    seen on the second at the mark of the first page's reading."""
    first, second = (open_page(SAMPLES / book / f"{name}.toml").page for name in names)
    first = first.with_settings(_read_tonight(first))
    settings = _read_tonight(second)
    for key in shared:
        told = {**dict(first.setting(key)), "state": "seen", "page": NAMES[0]}
        settings[key] = Setting.model_validate(told)
    return first, second.with_settings(settings)


def _read_tonight(page: Page) -> dict[str, Setting]:
    settings: dict[str, Setting] = {}
    for key, setting in page.record:
        quantity = page.declared[key].quantity
        if setting.state in ("read", "seen", "carried") and quantity in U:
            told = {"state": "read", "page": None, "u": U[quantity]}
            settings[key] = Setting.model_validate({**dict(setting), **told})
    return settings


def joints(of: tuple[Page, Page]) -> Mapping[str, JointDifference]:
    return joint_differences((Places(of[0]), Places(of[1])), NAMES)


def uncertain(page: Page, key: str, shared: Sequence[str] = ()) -> un.AffineScalarFunc | float:
    """Return a setting of a page, as uncertain as its two readings together."""
    setting = page.setting(key)
    if setting.state == "open":
        return 0.0  # a slope that nobody measured is taken as none
    assert isinstance(setting.value, int | float)
    if key in shared:
        return float(setting.value)
    u = math.hypot(*[U[page.declared[key].quantity]] * 2)
    return un.ufloat(float(setting.value), u, tag=key)


def together(first: un.AffineScalarFunc, second: un.AffineScalarFunc) -> float:
    """Return the standard uncertainty of the difference of two own values."""
    parts = {of.tag: c for of, c in first.error_components().items()}
    parts |= {of.tag: c for of, c in second.error_components().items() if abs(c) > NOTHING}
    return math.hypot(*parts.values())


def lean_by_hand(page: Page, boom: str, shared: Sequence[str]) -> un.AffineScalarFunc:
    """Return the own lean of a boom on an upright post whose level reads gravity, in degrees.

    The cymbal's hand points along φ = turn + spin and rises by P = tilt + lean; gravity's up is
    (sin r, sin a, √(1 - sin² r - sin² a)) for the riser's slopes right and ahead. Its rise by
    gravity is what the level shows: sin ρ = A cos P + B sin P, A = sin φ sin r + cos φ sin a.
    """
    post = page.by_id[boom].on[0]
    q = {
        key: umath.radians(uncertain(page, key, shared))
        for key in (f"{post}.turn", f"{boom}.spin", f"{boom}.lean", *SLOPES)
    }
    heading = q[f"{post}.turn"] + q[f"{boom}.spin"]
    ahead, right = (umath.sin(q[key]) for key in SLOPES)
    a = umath.sin(heading) * right + umath.cos(heading) * ahead
    b = umath.sqrt(1.0 - right**2 - ahead**2)
    pitch = umath.asin(umath.sin(q[f"{boom}.lean"]) / umath.sqrt(a**2 + b**2)) - umath.atan2(a, b)
    kind = page.by_kind[page.by_id[boom].kind or ""]
    tooth = kind.by_joint["tilt"].tooth_deg
    assert tooth is not None
    teeth = page.setting(f"{boom}.tilt").value
    assert isinstance(teeth, int)
    return umath.degrees(pitch) - teeth * tooth


BOOMS = {
    "harbour-dance": ("ride-boom", "crash-1-boom", "china-boom"),
    "pit-percussion": ("cymbal-boom", "splash-boom"),
}


@pytest.mark.parametrize(("book", "one", "two"), PAIRS)
def test_a_booms_lean_on_a_sloping_riser(book: str, one: str, two: str) -> None:
    told = 0
    for shared in ((), SLOPES):
        both = pages(book, one, two)
        if any(both[0].setting(key).state == "open" for key in shared):
            continue
        both = pages(book, one, two, shared=shared)
        found = joints(both)
        for boom in BOOMS[book]:
            joint = found[f"{boom}.lean"]
            before, after = (lean_by_hand(page, boom, shared) for page in both)
            assert joint.converted
            assert joint.after == pytest.approx(after.nominal_value, abs=1e-7)
            assert joint.difference == pytest.approx(
                after.nominal_value - before.nominal_value, abs=2e-6
            )
            assert joint.u == pytest.approx(together(before, after), rel=SAME)
            told += 1
    assert told >= len(BOOMS[book])


def own_by_second(page: Page, key: str, inputs: Sequence[str]) -> un.AffineScalarFunc:
    """Return a joint's own value by the second computation, as uncertain as what it rests on.

    ``uncertainties.wrap`` carries the uncertainties through, by central differences of it.
    """

    def own(*values: float) -> float:
        settings = {
            name: Setting.model_validate({**dict(page.setting(name)), "value": value})
            for name, value in zip(inputs, values, strict=True)
        }
        places = SecondPlaces(page.with_settings(settings))
        places.work_through()
        return places.hinges[key][1]

    def by(number: int):  # type: ignore[no-untyped-def]
        step = STEP[page.declared[inputs[number]].quantity]

        def derivative(*values: float) -> float:
            ends = [
                own(*values[:number], values[number] + way, *values[number + 1 :])
                for way in (2 * step, step, -step, -2 * step)
            ]
            return (8 * (ends[1] - ends[2]) - (ends[0] - ends[3])) / (12 * step)

        return derivative

    wrapped = un.wrap(own, [by(number) for number in range(len(inputs))])
    return wrapped(*(uncertain(page, name) for name in inputs))


def chain_inputs(page: Page, key: str) -> list[str]:
    """Return the numbers that a joint may rest on: its part's, and all that holds it, to the floor;
    the slopes."""
    owners: list[str] = []
    waiting = [key.partition(".")[0]]
    while waiting:
        owner = waiting.pop()
        if owner in page.by_id and owner not in owners:
            owners.append(owner)
            waiting += page.by_id[owner].on
    return [
        name
        for name, declared in page.declared.items()
        if (declared.owner in owners or name in SLOPES)
        and declared.quantity in STEP
        and not declared.name.startswith("dial.")
        and page.setting(name).state == "read"
    ]


@pytest.mark.parametrize(
    ("pair", "key"),
    [
        (PAIRS[0], "cowbell-boom.lean"),
        (PAIRS[0], "tom-2-arm.tilt"),
        (PAIRS[1], "hat-stand.tilt"),
        (PAIRS[3], "bell-arm.tilt"),
    ],
)
def test_a_level_at_the_end_of_a_chain(pair: tuple[str, str, str], key: str) -> None:
    both = pages(*pair)
    joint = joints(both)[key]
    inputs = chain_inputs(both[1], key)
    assert len(inputs) > 5
    before, after = (own_by_second(page, key, inputs) for page in both)
    assert joint.converted
    assert joint.after == pytest.approx(after.nominal_value, abs=1e-7)
    assert joint.u == pytest.approx(together(before, after), rel=SAME)
