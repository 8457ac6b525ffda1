"""Uncertainty of places against the GUM's examples, another library's propagation, exact figures.

The law of propagation is the same everywhere: J·U·Jᵀ (JCGM 100:2008, 5.1.2 and F.1.2.3).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import uncertainties as un  # type: ignore[import-untyped]
from uncertainties import umath

from model.book.generic import generic_kinds
from model.rig.kind import Joint, Kind, Outlet
from model.rig.page import Page
from model.space.frames import Array
from model.space.inputs import Input
from model.space.positions import Positions
from model.space.sureness import COVER_95, Influence, Sureness
from tests.rigs_small import (
    centre_of,
    disc,
    kind_of,
    mount,
    piece,
    post,
    remade,
    small_page,
    standing,
)

RIGHT, AHEAD, UP = 0, 1, 2


def sureness(page: Page, piece_id: str) -> Sureness:
    found = Positions(page).sureness[piece_id]
    assert found.unsure == ()
    return found


# JCGM 100:2008, table H.2: V in volts, I in mA, φ in radians. The readings are from memory; their
# means, u and correlations are those that the GTC library's documentation gives for the example,
# and it notes that the GUM's own figures were rounded on the way: u(X) unrounded is 0.2956, printed
# 0.295. So the results of tables H.3 and H.4 hold to one unit of their last digit.
PRINTED = 1.01e-3
VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
MILLIAMPERES = (19.663, 19.639, 19.640, 19.685, 19.678)
RADIANS = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)
RESULTS = ((127.732, 0.071), (219.847, 0.295), (254.260, 0.236))
CORRELATIONS = {(0, 1): -0.588, (0, 2): -0.485, (1, 2): 0.993}


def check_h2(values: Array, covariance: Array) -> None:
    u = np.sqrt(np.diag(covariance))
    for number, (value, spread) in enumerate(RESULTS):
        assert values[number] == pytest.approx(value, abs=PRINTED)
        assert u[number] == pytest.approx(spread, abs=PRINTED)
    for (one, other), wanted in CORRELATIONS.items():
        assert covariance[one, other] / u[one] / u[other] == pytest.approx(wanted, abs=PRINTED)


def test_gum_h2_with_the_step_of_the_program() -> None:
    """The program's inputs are independent: the three that are not become three that are.

    U = L·Lᵀ (Cholesky), so that inputs of u 1 that move the outputs by the columns of J·L are the
    same measurement: J·L·Lᵀ·Jᵀ = J·U·Jᵀ.
    """
    readings = np.array([VOLTS, np.array(MILLIAMPERES) / 1000.0, RADIANS])
    v, i, phi = readings.mean(axis=1)
    of_means = np.cov(readings) / len(VOLTS)
    r, x, z = v / i * math.cos(phi), v / i * math.sin(phi), v / i
    jacobian = np.array([[r / v, -r / i, -x], [x / v, -x / i, r], [z / v, -z / i, 0.0]])
    by = jacobian @ np.linalg.cholesky(of_means)
    influence = Influence(Input("readings", 1.0, 3), by, np.zeros_like(by))
    check_h2(np.array([r, x, z]), influence.covariance())


def test_gum_h2_with_the_library_used_below() -> None:
    readings = np.array([VOLTS, np.array(MILLIAMPERES) / 1000.0, RADIANS])
    of_means = np.cov(readings) / len(VOLTS)
    v, i, phi = un.correlated_values(readings.mean(axis=1), of_means)
    results = (v / i * umath.cos(phi), v / i * umath.sin(phi), v / i)
    check_h2(np.array([q.nominal_value for q in results]), np.array(un.covariance_matrix(results)))


VALUES = {
    **standing("post", 412.0, -317.0, 25.0),
    "boom.place": 931.0,
    "boom.spin": 48.0,
    "boom.tilt": 22.0,
    "boom.reach": 365.0,
    "boom.lean": -37.0,
}
SPREADS = {
    "post.x": 0.011,
    "post.y": 0.017,
    "post.turn": 0.003,
    "boom.place": 0.013,
    "boom.spin": 0.005,
    "boom.tilt": 0.004,
    "boom.reach": 0.019,
    "boom.lean": 0.007,
}
HARDWARE_U = 0.01


def boom_kind() -> Kind:
    """Return the generic boom with a tilt that is not toothed, and hardware as sure as stated."""
    kind = generic_kinds()["boom-on-clamp"]
    joints = tuple(
        joint.model_copy(update={"teeth": None, "before_u": HARDWARE_U})
        if joint.id == "tilt"
        else joint
        for joint in kind.joints
    )
    tip = kind.outlets[0].model_copy(update={"offset_u": HARDWARE_U})
    return remade(kind, id="plain-boom", joints=joints, outlets=(tip,))


def test_a_boom_against_uncertainties() -> None:
    """The tip as a formula: with e = d(turn + spin), f = d(turn + spin + 90), tilt t, lean s:

    (x, y, place) + (0, 60, 0) + reach·(e cos t + z sin t) + 25·(-e sin(t + s) + z cos(t + s)),
    offsets along f, e, z and f, (e cos + z sin), (-e sin + z cos).
    """
    page = small_page(
        post("post"),
        mount("boom", "plain-boom", "post"),
        disc("crash", "boom"),
        kinds=[boom_kind()],
        values=VALUES,
        u=SPREADS,
    )
    q = {key: un.ufloat(value, SPREADS[key]) for key, value in VALUES.items()}
    jaw = [un.ufloat(value, HARDWARE_U) for value in (0.0, 60.0, 0.0)]
    tip = [un.ufloat(value, HARDWARE_U) for value in (0.0, 0.0, 25.0)]
    turn = umath.radians(q["post.turn"] + q["boom.spin"])
    t = umath.radians(q["boom.tilt"])
    ts = umath.radians(q["boom.tilt"] + q["boom.lean"])
    out = jaw[1] + q["boom.reach"] * umath.cos(t) + tip[1] * umath.cos(ts) - tip[2] * umath.sin(ts)
    aside = jaw[0] + tip[0]
    up = jaw[2] + q["boom.reach"] * umath.sin(t) + tip[1] * umath.sin(ts) + tip[2] * umath.cos(ts)
    normal = (-umath.sin(turn) * umath.sin(ts), -umath.cos(turn) * umath.sin(ts), umath.cos(ts))
    formula = (
        q["post.x"] + out * umath.sin(turn) + aside * umath.cos(turn),
        q["post.y"] + out * umath.cos(turn) - aside * umath.sin(turn),
        q["boom.place"] + up,
        umath.degrees(umath.atan2(normal[1], normal[2])),
        umath.degrees(umath.asin(normal[0])),
    )
    wanted = np.array(un.covariance_matrix(formula))
    assert centre_of(page, "crash") == pytest.approx([f.nominal_value for f in formula[:3]])
    found = sureness(page, "crash")
    assert {i.source.key for i in found.influences} == {
        *VALUES,
        "boom.tilt:before",
        "boom.tip:offset",
    }
    # The u are small, so that terms of second order do not reach the sixth digit.
    scale = np.sqrt(np.outer(np.diag(wanted), np.diag(wanted)))
    assert np.abs((found.covariance - wanted) / scale).max() < 1e-6


def within_four_rectangulars(half: float) -> float:
    """Return P(|S| ≤ half), S the sum of four rectangular quantities of u 1 (Irwin and Hall)."""
    s = (half / math.sqrt(3.0) + 4.0) / 2.0
    terms = ((-1.0) ** k * math.comb(4, k) * (s - k) ** 4 for k in range(math.floor(s) + 1))
    return 2.0 * math.fsum(terms) / math.factorial(4) - 1.0


def test_the_sum_of_four_rectangulars() -> None:
    """JCGM 101:2008, 9.2.3: u is 2.00, the GUM's 95 % are ±3.92, and ±3.88 are exact."""
    names = [f"slide_{number}" for number in range(4)]
    kind = kind_of(
        "stack",
        *(Joint(id=name, slides="z") for name in names),
        outlets=[Outlet(id="top")],
    )
    page = small_page(
        mount("stack", "stack"),
        piece("pad", "stack"),
        kinds=[kind],
        values={f"stack.{name}": 200.0 for name in names},
    )
    found = sureness(page, "pad")
    assert math.sqrt(found.covariance[UP, UP]) == pytest.approx(2.0, abs=1e-9)
    u95 = found.u95()
    assert u95 is not None
    assert u95[UP] == pytest.approx(3.92, abs=0.0051)
    assert u95[UP] == pytest.approx(2.0 * COVER_95)
    assert within_four_rectangulars(3.88) == pytest.approx(0.95, abs=5e-4)
    assert 0.95 < within_four_rectangulars(u95[UP]) < 0.955
