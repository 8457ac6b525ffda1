"""Curved bars against a handbook's arcs: radius, chord, sagitta and length of circular segments.

Source: Machinery's Handbook, 31st edition: p. 79 (r = 60, h = 8 gives the chord 59.86; c = 16,
h = 6 gives r = 8 1/3), p. 78 (r = 35 and 60° give an arc of 36.65), p. 50 (a disc of 12 in radius
cut 2 in deep: chord 13.27, arc 14.06). The books' units are taken as millimetres times ten.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from model.rig.part import Bar, Curve
from model.space.rails import Bow, bow_of

SCALE = 10.0


def bow(**sizes: float | str) -> Bow:
    scaled = {k: v * SCALE if isinstance(v, float) else v for k, v in sizes.items()}
    curve = Curve.model_validate(scaled)
    found = bow_of(Bar(id="bar", name="Bar", curve=curve, tube=38.1), curve)
    assert isinstance(found, Bow), found
    return found


def test_radius_from_chord_and_sagitta() -> None:
    assert bow(chord=16.0, sagitta=6.0).radius / SCALE == pytest.approx(25.0 / 3.0)


def test_chord_from_radius_and_sagitta() -> None:
    found = bow(chord=59.86, sagitta=8.0)
    # The book cuts the chord off after two digits (59.8665): its radius comes back to 0.02.
    assert found.radius / SCALE == pytest.approx(60.0, abs=0.02)
    whole = found.chord(np.array([found.length]))[0]
    assert whole / SCALE == pytest.approx(59.86, abs=0.005)


def test_arc_from_radius_and_angle() -> None:
    chord = 2.0 * 35.0 * math.sin(math.radians(30.0))
    sagitta = 35.0 * (1.0 - math.cos(math.radians(30.0)))
    assert bow(chord=chord, sagitta=sagitta).length / SCALE == pytest.approx(36.65, abs=0.005)


def test_arc_of_a_cut_disc() -> None:
    found = bow(chord=13.27, sagitta=2.0)
    assert found.length / SCALE == pytest.approx(14.06, abs=0.005)
    assert found.radius / SCALE == pytest.approx(12.0, abs=0.01)


@pytest.mark.parametrize(("chord", "sagitta"), [(16.0, 6.0), (59.86, 8.0), (1.0, 0.5), (90.0, 0.1)])
def test_any_two_of_three_give_the_same_bar(chord: float, sagitta: float) -> None:
    by_both = bow(chord=chord, sagitta=sagitta)
    arc = by_both.length / SCALE
    for other in (
        bow(length=arc, along="arc", sagitta=sagitta),
        bow(length=arc, along="arc", chord=chord),
        bow(length=chord, along="chord", sagitta=sagitta),
    ):
        # An arc hardly longer than its chord tells its radius badly: 1e-6 of it, not 1e-12.
        assert other.radius == pytest.approx(by_both.radius, rel=1e-6)
        assert other.length == pytest.approx(by_both.length)


def test_a_face_has_the_same_opening_angle() -> None:
    axis = bow(chord=100.0, sagitta=10.0)
    outer = axis.radius + 19.05
    angle = axis.length / axis.radius
    found = bow(
        chord=2.0 * outer * math.sin(angle / 2.0) / SCALE,
        sagitta=outer * (1.0 - math.cos(angle / 2.0)) / SCALE,
        face="outer",
    )
    assert found.radius == pytest.approx(axis.radius)
    assert found.length == pytest.approx(axis.length)
