"""Labels never overlap and stay within their frame, however many name the same point."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from model.picture.boxes import Box, cross, cuts
from model.picture.ink import Ink
from model.picture.labels import GAP, Foot, Placed, Spot, Want, frame, place
from model.picture.text import cut, known, width
from tests.sizes import examples

coordinate = st.floats(0, 120)
point = st.tuples(coordinate, coordinate)


@st.composite
def wants(draw: st.DrawFn) -> list[Want]:
    shared = draw(st.lists(point, min_size=1, max_size=4))
    found: list[Want] = []
    for i in range(draw(st.integers(1, examples(24, 80)))):
        x, y = draw(st.one_of(st.sampled_from(shared), point))
        spots = (Spot(x, y),) if draw(st.booleans()) else ()
        wide, stop = draw(st.floats(1, 40)), draw(st.sampled_from([0.0, 1.5]))
        found.append(Want(str(i), wide, 3.1, (Foot(x, y),), spots, stop, stop))
    return found


def apart(placed: tuple[Placed, ...]) -> None:
    for one, other in combinations(placed, 2):
        assert not one.box.near(other.box, GAP - 1e-9)


@settings(max_examples=examples(25, 100))
@given(wants(), st.lists(st.tuples(point, point), max_size=30))
def test_no_two_labels_overlap(
    listed: list[Want], lines: list[tuple[tuple[float, float], tuple[float, float]]]
) -> None:
    drawing = Box(0, 0, 120, 120)
    placed = place(listed, Ink((line, 1.0) for line in lines), drawing)
    apart(placed)
    whole = frame(placed, drawing)
    assert whole.holds(drawing)
    for want, label in zip(listed, placed, strict=True):
        assert label.key == want.key
        assert abs(label.box.width - want.width) < 1e-6
        assert whole.holds(label.box)
        if label.leader:
            (x, y), _ = label.leader
            assert label.box.grown(1e-6).holds(Box(x, y, x, y))


def test_eighty_labels_at_one_point_all_find_a_place() -> None:
    listed = [Want(str(i), 18.0, 3.1, (Foot(50, 50),)) for i in range(80)]
    placed = place(listed, Ink(), Box(0, 0, 100, 100), again=0)
    apart(placed)
    assert len(placed) == 80


def test_the_same_labels_have_the_same_places_every_time() -> None:
    listed = [Want(str(i), 12.0, 3.1, (Foot(5.0 * i, 50),)) for i in range(20)]
    assert place(listed, Ink()) == place(listed, Ink())


def test_where_there_is_room_a_label_lies_on_no_line_and_no_leader_cuts_a_label() -> None:
    lines = [(((0.0, y), (100.0, y)), 1.0) for y in (40.0, 50.0, 60.0)]
    ink = Ink(lines)
    listed = [Want(str(i), 14.0, 3.1, (Foot(15.0 * i, 50),)) for i in range(7)]
    placed = place(listed, ink)
    for label in placed:
        for (a, b), _ in lines:
            assert not cuts((a, b), label.box)
        for other in placed:
            if other.leader and other is not label:
                assert not cuts(other.leader, label.box)
                assert not (label.leader and cross(other.leader, label.leader))


def test_ink_is_the_length_of_line_under_a_box() -> None:
    ink = Ink([(((0.0, 10.0), (100.0, 10.0)), 2.0)])
    assert abs(ink.under(Box(20, 5, 40, 15)) - 40) <= 4
    assert ink.under(Box(20, 20, 40, 30)) == 0
    assert ink.under(Box(-900, -900, -800, -800)) == 0
    assert abs(ink.under(Box(-900, -900, 900, 900)) - 200) < 1e-6


@given(st.text(max_size=200), st.floats(2, 20), st.booleans())
def test_a_cut_text_is_no_wider_than_it_may_be(said: str, longest: float, bold: bool) -> None:
    assert width(cut(said, longest, bold=bold), bold=bold) <= longest


def test_wide_characters_count_one_em_and_a_whole_text_is_left_alone() -> None:
    assert width("鼓") == 1.08
    assert width("") == 0
    assert cut("snare", 20) == "snare"
    assert cut("a" * 1000, 10).endswith("…")
    assert known("Höhe, naïve")
    assert not known("鼓")
