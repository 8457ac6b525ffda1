"""Projection and ellipses, held against points of the circle that are projected one by one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.picture.boxes import within
from model.picture.figure import outline
from model.picture.scene import VIEWS, Disc, Vec, View
from model.picture.view import drum, ellipse, outer_sweep, project

views = st.sampled_from(VIEWS)
number = st.floats(-3000, 3000)
places = st.tuples(number, number, number)


@st.composite
def normals(draw: st.DrawFn) -> Vec:
    turn, up = draw(st.floats(0, math.tau)), draw(st.floats(-1, 1))
    out = math.sqrt(1 - up * up)
    axis = draw(st.sampled_from([0, 1, 2, 3]))
    if axis < 3:
        return tuple(float(i == axis) for i in range(3))  # type: ignore[return-value]
    return out * math.cos(turn), out * math.sin(turn), up


def circle(centre: Vec, normal: Vec, radius: float, count: int = 90) -> list[Vec]:
    """Points of a circle in the room, by two unit vectors across its normal."""
    nx, ny, nz = normal
    other = (1.0, 0.0, 0.0) if abs(nx) < 0.7 else (0.0, 1.0, 0.0)
    ux, uy, uz = (
        ny * other[2] - nz * other[1],
        nz * other[0] - nx * other[2],
        nx * other[1] - ny * other[0],
    )
    size = math.hypot(ux, uy, uz)
    ux, uy, uz = ux / size, uy / size, uz / size
    v = (ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux)
    found = []
    for i in range(count):
        c, s = radius * math.cos(math.tau * i / count), radius * math.sin(math.tau * i / count)
        found.append(
            (
                centre[0] + c * ux + s * v[0],
                centre[1] + c * uy + s * v[1],
                centre[2] + c * uz + s * v[2],
            )
        )
    return found


@pytest.mark.parametrize(
    ("view", "right", "ahead", "up"),
    [
        # y is down on the page. From above, right is right and ahead is up the page; from the
        # audience the player's right is on the left; from the player's left ahead is on the left.
        ("above", (1, 0), (0, -1), (0, 0)),
        ("front", (-1, 0), (0, 0), (0, -1)),
        ("left", (0, 0), (-1, 0), (0, -1)),
    ],
)
def test_which_way_is_which(
    view: View, right: tuple[int, int], ahead: tuple[int, int], up: tuple[int, int]
) -> None:
    assert project((1, 0, 0), view) == right
    assert project((0, 1, 0), view) == ahead
    assert project((0, 0, 1), view) == up


@given(places, normals(), st.floats(1, 600), views)
def test_the_ellipse_is_the_circle_as_it_is_seen(
    centre: Vec, normal: Vec, radius: float, view: View
) -> None:
    seen = ellipse(centre, normal, radius, view)
    assert -90 < seen.turn <= 90
    turn = math.radians(seen.turn)
    for point in circle(centre, normal, radius):
        x, y = project(point, view)
        dx, dy = x - seen.cx, y - seen.cy
        u, v = (
            dx * math.cos(turn) + dy * math.sin(turn),
            -dx * math.sin(turn) + dy * math.cos(turn),
        )
        # Where it lies along the long axis says how far out it must be along the short one.
        assert abs(u) <= radius + 1e-6
        assert abs(v) == pytest.approx(
            seen.ry * math.sqrt(max(0.0, 1 - (u / radius) ** 2)), abs=radius * 1e-4
        )
        assert seen.box().grown(1e-6).holds(type(seen.box())(x, y, x, y))


@given(places, normals(), st.floats(20, 400), st.floats(0, 600), views)
def test_a_drum_is_drawn_within_its_outline(
    centre: Vec, normal: Vec, radius: float, depth: float, view: View
) -> None:
    disc = Disc("drum", "drum", centre, normal, radius, depth)
    shape = outline(disc, view)
    seen = drum(disc, view)
    back: Vec = tuple(c - n * depth for c, n in zip(centre, normal, strict=True))  # type: ignore[assignment]
    assert {(round(e.cx, 6), round(e.cy, 6)) for e in (seen.near, seen.far)} == {
        (round(x, 6), round(y, 6)) for x, y in (project(centre, view), project(back, view))
    }
    if seen.sides is None or len(shape) < 3:
        return
    # Each side touches: nothing of either end lies beyond the line through it.
    (a, b), (c, d) = seen.sides
    middle = (a[0] + d[0]) / 2, (a[1] + d[1]) / 2
    for start, end in ((a, b), (c, d)):

        def beyond(x: float, y: float, start=start, end=end) -> float:  # type: ignore[no-untyped-def]
            return float(
                (end[0] - start[0]) * (y - start[1]) - (end[1] - start[1]) * (x - start[0])
            ) / math.dist(start, end)

        inward = math.copysign(1.0, beyond(*middle))
        for ring in (seen.near.ring(), seen.far.ring()):
            assert all(inward * beyond(*point) >= -1e-3 * radius for point in ring)


def test_the_middle_of_a_round_drum_is_inside_and_beyond_its_shell_is_not() -> None:
    shape = outline(Disc("kick", "kick", (0, 700, 280), (0, -1, 0), 280, 400), "above")
    assert within((0, -900), shape)
    assert not within((0, -1101), shape)
    assert not within((281, -900), shape)


def test_the_sweep_flag_says_on_which_side_the_arc_bulges() -> None:
    # Source: SVG 1.1, 8.3.8: sweep-flag 1 draws in the direction of growing angles, that is
    # clockwise on the screen: from the left over the top to the right.
    assert outer_sweep((-1, 0), (1, 0), (0, -1)) == 1
    assert outer_sweep((-1, 0), (1, 0), (0, 1)) == 0
