"""The sheet: true scale, within the paper, clean, and the same every time."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import islice, pairwise
from xml.etree import ElementTree

import pytest

from model.errors import CannotDo
from model.picture.layout import scales
from model.picture.scalebar import blocks
from model.picture.scene import VIEWS, Disc, FloorMark, Scene, Slab, Tube, View
from model.picture.sheet import CAUTION, NOTHING, Paper, sheet
from model.picture.style import bar_style
from tests.goldens import same_as_golden
from tests.picture_scene import SVG, rack, shapes

# Sources: ISO 216 (A4 is 210 × 297 mm); US Letter is 8½ × 11 in, 215.9 × 279.4 mm.
SIZES: dict[Paper, tuple[float, float]] = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}
HOSTILE = [
    "<script>alert(1)</script>",
    "]]>&amp;<!-- ",
    "\x1b[31mred\x07\x00",
    "‮right to left‬",
    "a" * 1000,
    "\ud800 half",
    "two\nlines\r\u2028",
    "鼓鼓鼓鼓鼓",
    "'\" onload='x'",
]


def scale_of(svg: str) -> float:
    root = ElementTree.fromstring(svg)
    wide = float(root.attrib["width"].removesuffix("mm"))
    return float(root.attrib["viewBox"].split()[2]) / wide


def texts(svg: str) -> list[str]:
    root = ElementTree.fromstring(svg)
    return ["".join([e.text or "", *(c.tail or "" for c in e)]) for e in root.iter(SVG + "text")]


@pytest.fixture(scope="module")
def whole() -> str:
    return sheet(rack(), under=replace(rack(), title="11 March, Harbour hall"))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("views", [VIEWS, ("above",), ("front", "left")])
def test_everything_lies_within_the_margins(paper: Paper, views: tuple[View, ...]) -> None:
    svg = sheet(rack(), views, paper)
    root = ElementTree.fromstring(svg)
    wide, high = SIZES[paper]
    assert (root.attrib["width"], root.attrib["height"]) == (f"{wide:g}mm", f"{high:g}mm")
    scale = scale_of(svg)
    seen = [shape for shape in shapes(svg) if shape.inside]
    assert len(seen) > 50
    for shape in seen:
        for x, y in shape.points:
            assert 7.9 <= x / scale <= wide - 7.9
            assert 7.9 <= y / scale <= high - 7.9


def test_a_bar_that_is_seen_in_its_length_measures_it_in_user_units(whole: str) -> None:
    runs = [
        shape.points
        for shape in shapes(whole)
        if shape.element.tag == SVG + "polyline"
        and "view" in shape.inside
        and "bar" in shape.inside
        if shape.element.get("stroke") == bar_style(2).colour
    ]
    assert [round(sum(math.dist(*pair) for pair in pairwise(run)), 2) for run in runs] == [
        1200.0,
        1200.0,
    ]  # from above and from the front; from the left it is seen end-on


def test_user_units_are_the_rigs_millimetres_at_the_scale_it_says(whole: str) -> None:
    scale = scale_of(whole)
    assert scale in list(islice(scales(), 20))
    assert f"1:{scale:g} on A4, printed at full size" in texts(whole)


def test_the_standard_scales_are_among_those_tried() -> None:
    # Source: ISO 5455 recommends 1:2, 1:5, 1:10, 1:20, 1:50, 1:100, 1:200, 1:500, 1:1000.
    tried = list(islice(scales(), 40))
    assert {5, 10, 20, 50, 100, 200, 500, 1000} <= set(tried)
    assert tried == sorted(set(tried))


def test_it_says_which_view_is_which_and_what_is_not_there(whole: str) -> None:
    said = texts(whole)
    assert {"From above", "From the front (audience side)", "From the player’s left"} <= set(said)
    assert CAUTION in said
    assert "Not drawn, place not known: tambourine, fan" in said
    assert "Underneath, grey and dashed: 11 March, Harbour hall" in said
    for name in ("front bar", "post 1", "snare", "china", "cowbell"):
        assert name in said


def test_labels_on_the_sheet_do_not_overlap(whole: str) -> None:
    boxes = [
        shape.points
        for shape in shapes(whole)
        if shape.element.tag == SVG + "rect" and {"label", "letter"} & set(shape.inside)
    ]
    assert len(boxes) > 60
    for i, one in enumerate(boxes):
        for other in boxes[:i]:
            assert (
                one[2][0] <= other[0][0]
                or other[2][0] <= one[0][0]
                or one[2][1] <= other[0][1]
                or other[2][1] <= one[0][1]
            )


def test_it_is_the_same_every_time_and_needs_nothing_from_elsewhere(whole: str) -> None:
    assert whole == sheet(rack(), under=replace(rack(), title="11 March, Harbour hall"))
    assert re.findall(r"https?://[^\s\"]*", whole) == ["http://www.w3.org/2000/svg"]
    tags = {e.tag.removeprefix(SVG) for e in ElementTree.fromstring(whole).iter()}
    assert tags <= {
        "svg", "title", "desc", "g", "rect", "line", "polyline", "polygon", "path", "circle",
        "ellipse", "text",
    }  # fmt: skip
    assert not re.search(r"\d\.\d{3}", whole)


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_texts_come_out_clean_and_escaped(hostile: str) -> None:
    scene = rack()
    scene = replace(
        scene,
        title=hostile,
        tubes=tuple(replace(t, name=hostile, letter=hostile[:9]) for t in scene.tubes[:6]),
        discs=tuple(replace(disc, name=hostile) for disc in scene.discs[:4]),
        slabs=(Slab("s", hostile, (0, 0, 900)),),
        arrows=tuple(replace(arrow, words=hostile) for arrow in scene.arrows),
        marks=(FloorMark("m", hostile, (0, 900, 0)),),
        left_out=(hostile, hostile),
    )
    svg = sheet(scene, views=("above",), under=scene)
    root = ElementTree.fromstring(svg.encode("utf-8"))
    assert not [e for e in root.iter() if e.tag == SVG + "script"]
    assert not [key for e in root.iter() for key in e.attrib if key.startswith("on")]
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u202e\u202c]", svg)
    scale = scale_of(svg)
    for shape in shapes(svg):
        if shape.inside:
            assert all(7.9 * scale <= x <= 289.1 * scale for x, _ in shape.points)


def test_a_cut_name_is_whole_in_its_title() -> None:
    name = "the long and winding name of a cymbal that nobody could fit beside it"
    scene = replace(rack(), discs=(replace(rack().discs[8], name=name),))
    root = ElementTree.fromstring(sheet(scene, views=("above",)))
    cut = [e for e in root.iter(SVG + "text") if e.find(SVG + "title") is not None]
    assert [e.findtext(SVG + "title") for e in cut] == [name]
    assert "".join(c.tail or "" for c in cut[0]).endswith("…")


def test_an_empty_scene_says_so() -> None:
    svg = sheet(Scene("12 March", left_out=tuple(f"piece {i}" for i in range(90))))
    assert NOTHING in texts(svg)
    assert any(re.search(r"and \d+ more$", said) for said in texts(svg))
    assert CAUTION in texts(svg)


def test_a_disc_seen_edge_on_is_a_line() -> None:
    # Source: SVG 1.1, 9.4: an ellipse with a radius of zero is not rendered.
    scene = Scene("t", discs=(Disc("c", "crash", (0, 0, 900), (0, 0, 1), 200),))
    svg = sheet(scene, views=("front",))
    assert "<ellipse" not in svg
    lines = [s for s in shapes(svg) if "piece" in s.inside and s.element.tag == SVG + "line"]
    assert [round(math.dist(*s.points), 2) for s in lines] == [400.0]


def test_what_cannot_be_drawn_truly_is_refused_whole() -> None:
    nan = Tube("bar", "bar", "bar", ((0, 0, math.nan), (1, 1, 1)))
    flat = Disc("tom", "tom", (0, 0, 0), (0, 0, 2), 100)
    with pytest.raises(CannotDo) as refused:
        sheet(Scene("t", (nan,), discs=(flat,)))
    assert [problem.key for problem in refused.value.problems] == ["bar", "tom"]
    with pytest.raises(CannotDo):
        sheet(rack(), views=())


def test_far_away_things_still_fit() -> None:
    scene = replace(rack(), slabs=(Slab("far", "far", (900_000, 0, 0)),))
    scale = scale_of(sheet(scene, views=("above",)))
    assert scale > 3000


def test_where_names_do_not_fit_numbers_stand_for_them() -> None:
    discs = tuple(
        Disc(f"d{i}", f"bell number {i} of a long row", (40.0 * i, 0, 900), (0, 0, 1), 40)
        for i in range(45)
    )
    said = texts(sheet(Scene("bells", discs=discs)))
    assert said.count("bell number 7 of a long row") == 1
    assert said.count("8") == 4


def test_the_scale_bar_has_round_lengths() -> None:
    assert blocks(20, "mm") == (200, 5)
    block, number = blocks(20, "in")
    assert (block, number) == (12 * 25.4, 4)


@pytest.mark.parametrize("number", range(1, 57))
def test_no_two_bars_look_the_same(number: int) -> None:
    looks = {bar_style(i) for i in range(1, 57)}
    assert len(looks) == 56
    assert bar_style(number).cased == (bar_style(number).colour == "#F0E442")


def test_a_small_sheet() -> None:
    scene = Scene(
        "12 March, Harbour hall",
        (
            Tube("post", "post", "post", ((-300, 0, 0), (-300, 0, 900)), "P"),
            Tube("bar", "front bar", "bar", ((-300, 0, 800), (500, 0, 800)), "A", 1),
        ),
        discs=(Disc("crash", "crash", (300, 100, 1100), (0, -0.6, 0.8), 200),),
        left_out=("cowbell",),
    )
    same_as_golden("picture_small.svg", sheet(scene))
