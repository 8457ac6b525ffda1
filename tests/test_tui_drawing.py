"""The drawing beside the rows: dots, signs, views, the chosen part, and what an edit does."""

from __future__ import annotations

import asyncio
import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.book.page_file import open_page
from model.book.read import parse_page
from model.book.take import Hand
from model.picture.scene import VIEWS, Disc, Scene, Tube, View
from model.rig.part import Piece
from model.rig.tree import rig_tree
from model.space.positions import Positions
from model.space.scene import scene_of
from tests.goldens import same_as_golden
from tests.rack_stage import keyed, rack_on, small_book
from tests.test_tui_pilot import app_on, rack_of
from tui.looks.choice import draws_braille
from tui.screens.rack.beside import effect_words, pane_lines, piece_words, typed_page
from tui.screens.rack.drawing import drawing_lines
from tui.screens.rack.state import RackState, start
from tui.widgets.line import line_text
from tui.widgets.raster import Raster

SAMPLE = Path(__file__).parent.parent / "sample_rigs" / "harbour-dance"
SOUNDCHECK = SAMPLE / "2026-03-21-soundcheck.toml"


def text_of(raster: Raster) -> list[str]:
    return [line_text(row, raster.width) for row in raster.rows()]


@pytest.mark.parametrize(
    ("dot", "char"),
    [((0, 0), "⠁"), ((0, 1), "⠂"), ((0, 2), "⠄"), ((1, 0), "⠈"),
     ((1, 1), "⠐"), ((1, 2), "⠠"), ((0, 3), "⡀"), ((1, 3), "⢀")],
)  # fmt: skip
def test_each_dot_is_the_one_that_unicode_names(dot: tuple[int, int], char: str) -> None:
    # Source: The Unicode Standard, Braille Patterns, U+2800: dots 1 to 8 are bits 0 to 7, dots 1,
    # 2, 3 and 7 down the left column, 4, 5, 6 and 8 down the right.
    raster = Raster(1, 1)
    raster.line(dot, dot, "text")
    assert text_of(raster) == [char]


def test_without_braille_lines_have_signs_that_every_console_has() -> None:
    raster = Raster(5, 3, braille=False)
    raster.line((0, 0), (4, 0), "text")
    raster.line((0, 0), (0, 5), "text")
    assert text_of(raster) == ["-----", "|    ", "|    "]
    assert all(ord(char) < 128 for row in text_of(raster) for char in row)


points = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


@given(st.lists(st.tuples(points, points), max_size=6), st.booleans())
def test_no_line_leaves_the_raster(
    lines: list[tuple[tuple[float, float], tuple[float, float]]], braille: bool
) -> None:
    raster = Raster(9, 4, braille=braille)
    for begin, end in lines:
        raster.line(begin, end, "text")
    assert [len(row) for row in text_of(raster)] == [9, 9, 9, 9]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("braille", [True, False])
def test_the_sample_from_three_sides(view: View, braille: bool) -> None:
    scene = scene_of(Positions(open_page(SOUNDCHECK).page), "")
    rows = drawing_lines(scene, view, frozenset({"ride"}), (46, 26), braille=braille)
    text = "\n".join(line_text(row, 46).rstrip() for row in rows)
    same_as_golden(f"drawing_{view}_{'braille' if braille else 'plain'}.txt", text + "\n")


def test_a_drawing_is_in_true_scale() -> None:
    """A square of four bars is as wide as it is high, in dots, whatever the pane's shape."""
    corners = [(0.0, 0.0, 0.0), (800.0, 0.0, 0.0), (800.0, 800.0, 0.0), (0.0, 800.0, 0.0)]
    tube = Tube("bar", "Bar", "bar", (*corners, corners[0]))
    for size in ((40, 8), (12, 20)):
        scene = Scene("", tubes=(tube,), zero_line=(corners[0], corners[0]))
        rows = drawing_lines(scene, "above", frozenset(), size, braille=True)
        text = [line_text(row, size[0]) for row in rows]
        # A cell is two dots wide and four high.
        filled = [(x, y) for y, row in enumerate(text) for x, char in enumerate(row) if char != " "]
        wide = max(x for x, _ in filled) - min(x for x, _ in filled) + 1
        high = max(y for _, y in filled) - min(y for _, y in filled) + 1
        assert abs(wide * 2 - high * 4) <= 4


def test_a_level_disc_is_round_from_above_and_a_line_from_the_front() -> None:
    disc = Disc("d", "D", (0.0, 0.0, 500.0), (0.0, 0.0, 1.0), 200.0)
    scene = Scene("", discs=(disc,), zero_line=((0.0, 0.0, 500.0), (0.0, 0.0, 500.0)))
    front = drawing_lines(scene, "front", frozenset(), (20, 10), braille=True)
    assert sum(bool(line_text(row, 20).strip()) for row in front) == 1


def test_nothing_known_is_said() -> None:
    rows = drawing_lines(Scene(""), "above", frozenset(), (30, 4), braille=True)
    assert "no place is known yet" in line_text(rows[0], 30)


@pytest.mark.parametrize(
    ("environ", "dots"),
    [
        ({"TERM": "xterm-256color", "LANG": "en_GB.UTF-8"}, True),
        ({"TERM": "tmux-256color", "LC_ALL": "C.utf8"}, True),
        ({"TERM": "linux", "LANG": "C.UTF-8"}, False),
        ({"TERM": "xterm", "LANG": "C"}, False),
        ({"TERM": "xterm", "LC_ALL": "POSIX", "LANG": "en_GB.UTF-8"}, False),
        ({}, False),
    ],
)
def test_braille_only_where_the_console_has_it(environ: dict[str, str], dots: bool) -> None:
    assert draws_braille(environ) is dots


def rack_at(row: str) -> RackState:
    file = open_page(SOUNDCHECK)
    head = file.page.head.model_copy(update={"closed": False})
    page = file.page.model_copy(update={"head": head})
    file = replace(file, page=page)
    return start(file, Hand(unit="mm", by="KD"), None, ()).shown_row(row)


def test_the_view_key_goes_round(tmp_path: Path) -> None:
    state = rack_on(small_book(tmp_path / "book"))
    seen = []
    for _ in range(4):
        state = keyed(state, "v")
        seen.append(state.view)
    assert seen == ["above", "front", "left", None]


def test_what_is_typed_moves_the_piece_before_enter() -> None:
    state = keyed(rack_at("ride-boom.place"), "910.1")
    typed = typed_page(state)
    assert typed is not None
    now = Positions(state.page)
    picked = frozenset(rig_tree(state.page).below("ride-boom"))
    words = effect_words(now, Positions(typed, now), "mm", picked)
    # The boom's clamp goes up its upright post by 10 mm, and nothing else does.
    assert words == "Ride: 10 mm up"
    assert typed_page(keyed(state, "x")) is None


def test_a_turn_swings_the_piece_round_its_post() -> None:
    """5° of the boom's spin: the ride's middle goes round the post by r·5°, its tilt goes along."""
    state = keyed(rack_at("ride-boom.spin"), "191")
    now = Positions(state.page)
    typed = typed_page(state)
    assert typed is not None
    after = Positions(typed, now)
    at, to = (p.pieces["ride"].first.at[0] for p in (now, after))
    post = (663.575, 835.025)
    arm = math.dist(at[:2], post)
    assert math.dist(to[:2], post) == pytest.approx(arm)
    assert math.dist(at[:2], to[:2]) == pytest.approx(2 * arm * math.sin(math.radians(2.5)))
    words = effect_words(now, after, "mm", frozenset({"ride"}))
    assert words.startswith("Ride: ")
    assert "tilt" in words


def test_the_pane_tells_the_chosen_piece() -> None:
    state = replace(rack_at("ride-boom.place"), view="above")
    positions = Positions(state.page)
    lines = pane_lines(state, positions, scene_of(positions, ""), (34, 19), braille=True)
    text = [line_text(line, 34).strip() for line in lines]
    assert text[0] == "from above, ahead is up"
    assert text[-4:] == [
        "Ride",
        "436 mm right, 651 mm ahead",
        "942 mm up, leans 14.5° to 231°",
        "near 881 mm, far 1003 mm",
    ]
    whole = replace(state, cursor="post-fr")
    lines = pane_lines(whole, positions, scene_of(positions, ""), (34, 19), braille=True)
    assert "pieces hang on it" in line_text(lines[-1], 34)


def test_the_pane_tells_what_the_floor_carries_and_nothing_of_a_group() -> None:
    floor = replace(rack_at("floor"), view="above")
    positions = Positions(floor.page)
    all_pieces = sum(isinstance(part, Piece) for part in floor.page.parts)
    words = [f"{all_pieces} pieces stand or hang on it"]
    assert piece_words(floor, positions, frozenset({"floor"})) == words
    setting = floor.shown_row("floor.slope_ahead")
    assert piece_words(setting, positions, frozenset({"floor"})) == words
    spot = floor.shown_row("ride-splash")
    assert spot.row.owner == "ride-splash"
    assert piece_words(spot, positions, frozenset({"ride-splash"})) == []


def test_why_there_is_no_place_takes_the_lines_it_needs() -> None:
    state = replace(rack_at("tom-2.turn"), view="above")
    text_of_page = state.file.text.replace("sagitta = 53.975", "sagitta = 539.75")
    page = parse_page(text_of_page).page
    assert page is not None
    positions = Positions(page)
    lines = pane_lines(state, positions, scene_of(positions, ""), (34, 19), braille=True)
    text = [line_text(line, 34).rstrip() for line in lines]
    assert text[-4:] == [
        " Tom 2",
        " place not known",
        " Front bar, right: its sagitta of",
        "   539.75 mm is over half its",
    ]


def test_the_drawing_comes_beside_the_rows_and_follows_an_edit(tmp_path: Path) -> None:
    async def scene() -> None:
        app = app_on(tmp_path / "tour")
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = rack_of(app)
            assert rack.bench.positions is None, "nothing is worked out before it is asked for"
            await pilot.press("v")
            await settle(pilot)
            assert rack.pane.size.width == 34
            assert rack.grid.size.width == 46
            assert "from above" in line_text(rack.pane.lines[0], 34)
            before = list(rack.pane.lines)
            rack.state = rack.state.shown_row("throne.x")
            await pilot.press("6", "0", "0", "m", "m")
            await settle(pilot)
            assert rack.pane.lines != before, "it follows what is typed"
            assert "Throne" in rack.bench.effect
            await pilot.press("enter")
            await settle(pilot)
            assert "Throne" in rack.bench.effect
            await pilot.press("v", "v", "v")
            await settle(pilot)
            assert rack.grid.size.width == 80

    asyncio.run(scene())


async def settle(pilot: object) -> None:
    """Wait until the work beside the screen is done."""
    for _ in range(40):
        await asyncio.sleep(0.05)
        await pilot.pause()  # type: ignore[attr-defined]
        bench = rack_of(pilot.app).bench  # type: ignore[attr-defined]
        if bench.positions is not None and bench.is_idle:
            return


def test_a_part_without_a_piece_is_marked_as_well() -> None:
    scene = scene_of(Positions(open_page(SOUNDCHECK).page), "")
    for part in ("ride", "hat-stand", "post-wl"):
        rows = drawing_lines(scene, "front", frozenset({part}), (46, 26), braille=True)
        assert sum(line_text(row, 46).count("◆") for row in rows) == 1, part


def test_a_far_mark_costs_nothing() -> None:
    raster = Raster(20, 10)
    raster.line((-1e9, 3.0), (1e9, 3.0), "text")
    raster.line((5.0, -1e9), (5.0, 1e9), "text", dash=3)
    raster.line((-9.0, -9.0), (-5.0, 80.0), "text")
    assert text_of(raster)[0].strip()
