"""Chains of joints against published arms and another library's rotations.

Axes are right-handed as in REP-103 and ISO 8855; there x points ahead and y to the left, here x to
the right and y ahead: the same hand, a quarter turn about z, so that every formula holds as it is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped]

from model.rig.kind import Joint, Outlet
from model.rig.page import Page
from model.space.frames import Array
from model.space.positions import Positions
from tests.rigs_small import centre_of, kind_of, mount, normal_of, piece, small_page
from tests.sizes import examples

Link = tuple[float, float, float, float]
"""A link by Denavit and Hartenberg: turn θ about z, slide d along z, slide a along x, turn α about
x; degrees and mm."""


def chain_page(
    joints: Sequence[Joint], values: dict[str, float], outlet: Outlet | None = None
) -> Page:
    """Return a page of one mount on the floor with a piece at its tip."""
    return small_page(
        mount("chain", "chain"),
        piece("tip", "chain"),
        kinds=[kind_of("chain", *joints, outlets=[outlet] if outlet else [])],
        values={f"chain.{name}": value for name, value in values.items()},
    )


def arm_page(links: Sequence[Link]) -> Page:
    joints: list[Joint] = []
    values: dict[str, float] = {}
    for number, link in enumerate(links, start=1):
        names = [f"{name}_{number}" for name in ("theta", "d", "a", "alpha")]
        joints += [
            Joint(id=names[0], turns="z"),
            Joint(id=names[1], slides="z"),
            Joint(id=names[2], slides="x"),
            Joint(id=names[3], turns="x"),
        ]
        values |= dict(zip(names, link, strict=True))
    return chain_page(joints, values)


def axes_of(page: Page) -> Array:
    """Return the axes (3, 3) of the piece at the tip, as columns."""
    axes: Array = Positions(page).pieces["tip"].surface.axes[0]
    return axes


TWISTS = (90.0, 0.0, -90.0, 90.0, -90.0, 0.0)


def puma(
    turns: Sequence[float], d3: float, d4: float, a2: float, a3: float
) -> list[tuple[float, float, float, float]]:
    d, a = (0.0, 0.0, d3, d4, 0.0, 0.0), (0.0, a2, a3, 0.0, 0.0, 0.0)
    return list(zip(turns, d, a, TWISTS, strict=True))


def test_the_puma_560_as_corke_has_it() -> None:
    # Corke's standard parameters of the Puma 560, metres (Robotics Toolbox, p560 at its nominal
    # pose qn): p = (.5963, -.1501, -.0144).
    page = arm_page(puma((0.0, 45.0, 180.0, 0.0, 45.0, 0.0), 150.05, 431.8, 431.8, 20.3))
    assert centre_of(page, "tip") == pytest.approx((596.3, -150.1, -14.4), abs=0.051)
    wanted = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]])
    assert axes_of(page) == pytest.approx(wanted, abs=1e-12)
    assert normal_of(page, "tip") == pytest.approx((1.0, 0.0, 0.0), abs=1e-9)


def test_the_puma_560_as_paul_and_zhang_have_it() -> None:
    # Paul and Zhang 1986, "Computationally efficient kinematics for manipulators with spherical
    # wrists", cm; the twists are those of Corke's frames.
    page = arm_page(puma((90.0, 90.0, -180.0, 90.0, 90.0, -90.0), 125.4, 431.8, 431.8, 19.1))
    assert centre_of(page, "tip") == pytest.approx((125.4, 431.8, 412.7), abs=1e-6)


def test_one_turn_about_a_slanting_axis() -> None:
    # Wikipedia, "Rotation matrix": this matrix is a turn of about 73.74° (cos = 7/25) about
    # (1, -2, -2)/3; from memory, multiplied out again here.
    page = chain_page([Joint(id="turn", turns=(1.0, -2.0, -2.0))], {"turn": 73.739795291688})
    wanted = np.array([[0.36, 0.48, -0.8], [-0.8, 0.6, 0.0], [0.48, 0.64, 0.6]])
    assert wanted @ wanted.T == pytest.approx(np.eye(3), abs=1e-15)
    assert (np.trace(wanted) - 1.0) / 2.0 == pytest.approx(7.0 / 25.0)
    assert axes_of(page) == pytest.approx(wanted, abs=1e-12)


def test_the_axes_are_right_handed() -> None:
    # REP-103: a positive turn about z takes x to y, about x takes y to z, about y takes z to x.
    for axis, from_, to in (("z", 0, 1), ("x", 1, 2), ("y", 2, 0)):
        page = chain_page([Joint.model_validate({"id": "turn", "turns": axis})], {"turn": 90.0})
        assert axes_of(page)[:, from_] == pytest.approx(np.eye(3)[to], abs=1e-12)
        other = chain_page([Joint.model_validate({"id": "t", "turns": f"-{axis}"})], {"t": 90.0})
        assert axes_of(other)[:, to] == pytest.approx(np.eye(3)[from_], abs=1e-12)


NAMED = {"x": (1, 0, 0), "y": (0, 1, 0), "z": (0, 0, 1)}
lengths = st.integers(-500_000, 500_000).map(lambda n: n / 1000.0)
angles = st.integers(-360_000, 360_000).map(lambda n: n / 1000.0)
offsets = st.one_of(st.just((0.0, 0.0, 0.0)), st.tuples(lengths, lengths, lengths))
parts_of_axis = st.integers(-9, 9).map(float)
axes = st.one_of(
    st.sampled_from(("x", "y", "z", "-x", "-y", "-z")),
    st.tuples(parts_of_axis, parts_of_axis, parts_of_axis).filter(any),
)
steps = st.tuples(st.booleans(), axes, offsets, angles, st.booleans())


def direction(axis: str | tuple[float, float, float]) -> Array:
    if isinstance(axis, str):
        named = np.array(NAMED[axis[-1]], dtype=float)
        return -named if axis.startswith("-") else named
    vector = np.array(axis)
    unit: Array = vector / math.sqrt(float(vector @ vector))
    return unit


@settings(max_examples=examples(100, 1000))
@given(
    st.lists(steps, min_size=1, max_size=9),
    offsets,
    st.none() | st.tuples(parts_of_axis, parts_of_axis, parts_of_axis).filter(any),
    angles,
)
def test_any_chain_against_scipy(
    chain: list[tuple[bool, str | tuple[float, float, float], Array, float, bool]],
    offset: tuple[float, float, float],
    turned_about: tuple[float, float, float] | None,
    turned: float,
) -> None:
    """Vectors for axes, offsets, slides, and branches that begin again at the root."""
    at, pose = np.zeros(3), Rotation.identity()
    joints, values = [], {}
    for number, (turns, axis, before, value, from_root) in enumerate(chain):
        if from_root:
            at, pose = np.zeros(3), Rotation.identity()
        name = f"j{number}"
        fields = {"id": name, "before": before, "turns" if turns else "slides": axis}
        joints.append(Joint.model_validate({**fields, "after": "root" if from_root else None}))
        values[name] = value
        at = at + pose.apply(before)
        if turns:
            pose = pose * Rotation.from_rotvec(direction(axis) * math.radians(value))
        else:
            at = at + pose.apply(direction(axis) * value)
    end = (*turned_about, turned) if turned_about else None
    page = chain_page(joints, values, Outlet(id="end", offset=offset, turned=end))
    at = at + pose.apply(offset)
    if turned_about:
        pose = pose * Rotation.from_rotvec(direction(turned_about) * math.radians(turned))
    surface = Positions(page).pieces["tip"].surface
    assert surface.at[0] == pytest.approx(at, abs=1e-9)
    assert surface.axes[0] == pytest.approx(pose.as_matrix(), abs=1e-12)
