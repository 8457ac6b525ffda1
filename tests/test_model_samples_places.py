"""The sample rigs' own geometry: the written golden places, and pieces where a player has them."""

from __future__ import annotations

import math

import pytest

from model.rig.part import Piece
from tests.samples.drawing import read_drawing
from tests.samples.geometry import (
    UP,
    Arc,
    Line,
    Vec,
    add,
    chord_between,
    clamp_frame,
    cross,
    grips_on_posts,
    heading,
    radius_of,
    radius_of_arc,
    scaled,
    size,
    square_to,
    sub,
    turned,
    unit,
)
from tests.samples.placing import Placed
from tests.samples.truth import solved, with_joint_leans

# The figures are the conventions' golden cases, computed there by an independent program.


def _near(v: Vec, wanted: Vec, within: float = 0.005) -> bool:
    return math.dist(v, wanted) <= within * math.sqrt(3.0)


def test_a_clamp_on_a_turned_post() -> None:
    frame = clamp_frame(Line((-600.0, 900.0, 0.0), UP, heading(15.0)), 812.0 - 20.0, 90.0)
    assert _near(add(frame.at, frame.y, 245.0), (-363.35, 836.59, 792.0))


def test_the_jaw_of_a_clamp_on_a_rising_bar() -> None:
    along = unit((0.0, 1.0, 0.1))
    frame = clamp_frame(Line((0.0, 0.0, 0.0), along, square_to(UP, along)), 0.0, 35.0)
    assert _near(frame.y, (-0.574, -0.082, 0.815), 0.0005)


def test_a_bar_beside_two_posts() -> None:
    first, second = grips_on_posts((0.0, 0.0, 800.0), (0.0, 1000.0, 850.0), 45.0, 45.0)
    assert _near(first, (45.0, 0.0, 800.0))
    assert _near(second, (45.0, 1000.0, 850.0))
    end_a = add(first, unit(sub(second, first)), -60.0)
    assert _near(end_a, (45.0, -59.925, 797.004), 0.0005)
    one, other = grips_on_posts((0.0, 0.0, 800.0), (0.0, 1000.0, 800.0), 50.0, -50.0)
    assert size(sub(other, one)) == pytest.approx(994.99, abs=0.005)
    assert math.degrees(math.asin((one[0] - other[0]) / 994.99)) == pytest.approx(5.74, abs=0.005)


def test_a_curved_bar_between_two_grips() -> None:
    radius = radius_of(1000.0, 100.0)
    first, second = (-500.0, 200.0, 800.0), (-350.0, 1040.0, 830.0)
    along = unit(sub(second, first))
    bulge = turned(unit(cross(along, UP)), along, -30.0)
    half = chord_between(radius, 60.0, 930.0) / 2.0
    middle = scaled(add(first, second), 0.5)
    centre = add(middle, bulge, -math.sqrt(radius * radius - half * half))
    arc = Arc(centre, radius, bulge, along, 495.0)
    length = 2.0 * radius * math.asin(500.0 / radius)
    assert _near(arc.at(length / 2.0), (-360.66, 625.73, 851.61))
    assert _near(arc.at(0.0), (-527.72, 148.25, 787.53))
    assert size(sub(second, first)) - 2.0 * half == pytest.approx(-0.04, abs=0.005)
    assert radius_of_arc(length, 100.0) == pytest.approx(radius)


@pytest.mark.parametrize("name", ["harbour_dance", "pit_percussion"])
def test_every_piece_is_where_a_player_reaches_it(name: str) -> None:
    drawing = read_drawing(name)
    parts = {part.id: part for part in (*drawing.parts, *drawing.later)}
    true = with_joint_leans(parts, drawing.kinds, solved(drawing, drawing.true, parts.values()))
    placed = Placed(parts, drawing.kinds, true)
    seat = placed.surface("stool" if "stool" in parts else "throne").at
    for part in parts.values():
        if not isinstance(part, Piece):
            continue
        surface = placed.surface(part.id)
        x, y, z = surface.at
        assert (x - seat[0]) ** 2 + (y - seat[1]) ** 2 <= 1000.0**2, part.id
        assert 0.0 <= z <= 1300.0, part.id
        if part.kind == "floor-kick":
            assert surface.z[1] < -0.9, f"{part.id} does not face the player"
        else:
            assert surface.z[2] > 0.9, f"{part.id} does not face up"
