"""Steps of building: what each changes on the page and in its text, and what cannot be."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from model.book.build import build
from model.book.built import built
from model.book.edits import SettingEdit
from model.book.new_rig import NewRig, new_book
from model.book.page_file import changed, open_page
from model.book.read import parse_page
from model.book.recording import record
from model.errors import CannotDo, NotSaved
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.copying import copied
from model.rig.building.grips import BarWish, gripped
from model.rig.building.hanging import kinds_for
from model.rig.building.naming import LONGEST_NAME, checked_name, free_name, slug_of
from model.rig.building.spots import gap_added, height_added, spot_removed
from model.rig.building.steps import (
    Wish,
    added,
    hung,
    limited,
    ordered,
    other_kind,
    removed,
)
from model.rig.building.steps import (
    changed as set_of,
)
from model.rig.part import NOT_HUNG, Bar, Piece
from model.rig.setting import taken
from model.rig.tree import rig_tree
from tests.building import KINDS, Bench, empty_rig
from tests.shapes import PAGE


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(empty_rig(tmp_path))


def two_posts(bench: Bench) -> tuple[str, str, str]:
    """Build two posts and a curved bar on them; return their ids."""
    left = bench.do(added(bench.page, Wish("Left post", "foot-post"), KINDS, pair=bench.pair))
    right = bench.do(added(bench.page, Wish("Right post", "foot-post"), KINDS, pair=bench.pair))
    curve = (("curve", "arc 1026, sagitta 100"),)
    wish = BarWish("Front bar", (left, right), "right", True, curve)
    return left, right, bench.do(gripped(bench.page, wish, KINDS, pair=bench.pair))


def test_a_new_book_is_a_page_with_nothing_on_it(tmp_path: Path) -> None:
    file = empty_rig(tmp_path)
    assert file.page.parts == ()
    assert [key for key, _ in file.page.record] == [
        "floor.rug", "floor.heading", "floor.slope_ahead", "floor.slope_right",
    ]  # fmt: skip
    assert file.problems == ()
    assert (file.path.parent / "book.toml").is_file()
    with pytest.raises(CannotDo, match="is a book already"):
        empty_rig(tmp_path)


@pytest.mark.parametrize("name", ["", "  ", "x" * 81, "a\x1b[2J", "a\u202eb", "a\nb"])
def test_a_book_has_a_name(tmp_path: Path, name: str) -> None:
    file = empty_rig(tmp_path)
    wish = NewRig(name, file.page.head.date, file.page.head.began)
    with pytest.raises(CannotDo, match="the rig's name"):
        new_book(tmp_path / "other", wish)
    assert not (tmp_path / "other").exists()


def test_a_bar_on_two_posts_comes_with_its_clamps(bench: Bench) -> None:
    left, right, bar = two_posts(bench)
    part = bench.page.by_id[bar]
    assert isinstance(part, Bar)
    assert [bench.page.by_id[on].on for on in part.on] == [(left,), (right,)]
    assert part.side == ("right", "right")
    assert part.curve is not None
    assert (part.curve.length, part.curve.along, part.curve.sagitta) == (1026.0, "arc", 100.0)
    assert {bench.page.setting(f"{on}.spin").state for on in part.on} == {"follows"}
    assert {kind.id for kind in bench.page.kinds} == {
        "foot-post", "side-clamp", "curved-bar-in-two-clamps",
    }  # fmt: skip
    assert bench.file.problems == ()
    assert bench.said == "added Front bar on Left post and Right post, beside it"


def test_each_way_a_bar_is_held_has_its_clamp_and_its_kind(bench: Bench) -> None:
    left, right, bar = two_posts(bench)
    for number, (rails, grip, curved, clamp, kind) in enumerate((
        ((left,), "left", False, "side-clamp", "bar-in-one-clamp"),
        ((left,), "right", True, "side-clamp", "curved-bar-in-one-clamp"),
        ((left,), "through", False, "cross-clamp", "bar-in-one-clamp"),
        ((left,), "end", False, "t-clamp", "bar-by-its-end"),
        ((left, right), "through", False, "cross-clamp", "bar-in-two-clamps"),
        ((bar,), "left", False, "bar-to-bar-clamp", "bar-in-one-clamp"),
    )):  # fmt: skip
        wish = BarWish(f"Bar {number}", rails, grip, curved)  # type: ignore[arg-type]
        at = bench.do(gripped(bench.page, wish, KINDS, pair=bench.pair))
        part = bench.page.by_id[at]
        assert part.kind == kind
        assert {bench.page.by_id[on].kind for on in part.on} == {clamp}
    assert [(flag.code, flag.key) for flag in bench.file.problems] == [
        ("no-curve", f"part.{next(p.id for p in bench.page.parts if p.name == 'Bar 1')}.curve")
    ]


@pytest.mark.parametrize(
    ("rails", "grip", "curved", "why"),
    [
        (("left", "right"), "end", False, "held at its end by one clamp"),
        (("left",), "end", True, "held at its end by one clamp"),
        (("bar",), "end", False, "no clamp on a bar holds another"),
        ((), "right", False, "on one tube, or on two different ones"),
        (("left", "left"), "right", False, "on one tube, or on two different ones"),
        (("nobody",), "right", False, "there is no part nobody"),
        (("clamp",), "right", False, "is no post and no bar"),
    ],
)
def test_a_bar_that_nothing_holds_so_is_refused(
    bench: Bench, rails: tuple[str, ...], grip: str, curved: bool, why: str
) -> None:
    left, right, bar = two_posts(bench)
    ids = {"left": left, "right": right, "bar": bar, "clamp": bench.page.by_id[bar].on[0]}
    wish = BarWish("Bar", tuple(ids.get(r, r) for r in rails), grip, curved)  # type: ignore[arg-type]
    answer = gripped(bench.page, wish, KINDS)
    assert isinstance(answer, Refusal)
    assert why in answer.why
    assert answer.right


def hanging_rig(bench: Bench) -> dict[str, str]:
    """Build a post, a bar, a double post on it with an arm and a drum; return ids by word."""
    left, right, bar = two_posts(bench)
    ids = {"left": left, "right": right, "bar": bar}
    for word, wish in (
        ("double", Wish("Double post", "double-post", on=(bar,))),
        ("arm", Wish("Arm", "ball-arm", on=("double",))),
        ("tom", Wish("Tom 1", type="piece", on=("arm",), fields={"size": "shell 10 in x 7 in"})),
        ("boom", Wish("Boom", "boom-on-clamp", on=(left,))),
    ):
        on = tuple(ids.get(held, held) for held in wish.on)
        ids[word] = bench.do(added(bench.page, replace(wish, on=on), KINDS, pair=bench.pair))
    return ids


@pytest.mark.parametrize(
    ("part", "on", "why"),
    [
        ("left", "left", "is Left post itself, or hangs on it"),
        ("left", "tom", "is Left post itself, or hangs on it"),
        ("double", "arm", "is Double post itself, or hangs on it"),
        ("arm", "bar", "it is not clamped along a tube"),
        ("arm", "floor", "it stands on no floor"),
        ("boom", "arm", "it is clamped along a tube"),
        ("tom", "bar", "it has no clamp of its own"),
        ("tom", "nobody", "there is no part nobody"),
        ("arm", "clamp", "holds a bar, and nothing else"),
        ("right", "boom", "it stands on the floor"),
    ],
)
def test_what_cannot_hang_so_is_refused_with_where_it_can(
    bench: Bench, part: str, on: str, why: str
) -> None:
    ids = hanging_rig(bench)
    ids["clamp"] = bench.page.by_id[ids["bar"]].on[0]
    answer = hung(bench.page, ids[part], (ids.get(on, on),))
    assert isinstance(answer, Refusal)
    assert why in answer.why
    assert answer.right


def test_a_kind_without_outlets_holds_no_piece(bench: Bench) -> None:
    bare = KINDS["extension-shaft"].model_copy(update={"id": "bare-rod", "outlets": ()})
    ids = hanging_rig(bench)
    kinds = {**KINDS, "bare-rod": bare}
    rod = bench.do(added(bench.page, Wish("Rod", "bare-rod", on=(ids["double"],)), kinds))
    answer = added(bench.page, Wish("Cymbal", type="piece", on=(rod,)), kinds)
    assert isinstance(answer, Refusal)
    assert answer.why == "Rod has no outlet for anything"


def test_an_outlet_is_chosen_or_the_first_free_one_taken(bench: Bench) -> None:
    ids = hanging_rig(bench)
    assert bench.page.by_id[ids["arm"]].at == "left"
    second = bench.do(added(bench.page, Wish("Arm 2", "ball-arm", on=(ids["double"],)), KINDS))
    assert bench.page.by_id[second].at == "right"
    rear = Wish("Arm 3", "ball-arm", on=(ids["double"],), at="rear")
    third = bench.do(added(bench.page, rear, KINDS))
    assert bench.page.by_id[third].at == "rear"
    answer = added(bench.page, replace(rear, at="top"), KINDS)
    assert isinstance(answer, Refusal)
    assert (answer.why, answer.right) == ("Double post has no outlet top", "left or right or rear")


def test_what_hung_on_a_removed_part_is_not_hung_and_never_gone(bench: Bench) -> None:
    ids = hanging_rig(bench)
    before = bench.page
    bench.do(removed(bench.page, ids["bar"]))
    assert bench.said == "took Front bar off; not hung now: Double post"
    assert set(before.by_id) - set(bench.page.by_id) == {ids["bar"]}
    assert bench.page.by_id[ids["double"]].on == (NOT_HUNG,)
    assert bench.page.by_id[ids["arm"]].on == (ids["double"],)
    loose = {part.id for part in rig_tree(bench.page).not_hung}
    assert loose == {ids["double"], ids["arm"], ids["tom"]}
    assert f"{ids['bar']}." not in bench.file.text
    assert {bench.page.setting(f"{on}.spin").state for on in before.by_id[ids["bar"]].on} == {
        "open"
    }
    bench.undo()
    assert bench.page == before


def test_a_clamps_reading_stays_a_check_when_a_bar_comes_and_a_reading_when_it_goes(
    bench: Bench,
) -> None:
    _, _, bar = two_posts(bench)
    clamps = bench.page.by_id[bar].on
    bench.do(removed(bench.page, bar))
    key = f"{clamps[0]}.spin"
    read = SettingEdit(key, taken(bench.page.setting(key), 44.0, using="eye", by="AK"))
    bench.file = changed(bench.file, read)
    wish = Wish("Bar", "bar-in-two-clamps", on=clamps)
    again = bench.do(added(bench.page, wish, KINDS))
    assert (bench.page.setting(key).state, bench.page.setting(key).value) == ("follows", 44.0)
    bench.do(removed(bench.page, again))
    assert (bench.page.setting(key).state, bench.page.setting(key).value) == ("read", 44.0)


def test_copying_a_side_copies_what_hangs_on_it_alone(bench: Bench) -> None:
    ids = hanging_rig(bench)
    bench.do(set_of(bench.page, ids["tom"], {"role": "tom 1", "serial": "T-1"}))
    before = len(bench.page.parts)
    bench.do(copied(bench.page, (ids["left"],), pair=bench.pair))
    names = [part.name for part in bench.page.parts[before:]]
    assert names == ["Left post 2", "Front bar's clamp, Left post 2", "Boom 2"]
    bench.undo()
    bench.do(copied(bench.page, (ids["left"], ids["right"]), pair=bench.pair))
    copies = bench.page.parts[before:]
    assert len(copies) == before
    tom = next(part for part in copies if part.name == "Tom 2")
    assert isinstance(tom, Piece)
    assert (tom.role, tom.serial, tom.shell) == (None, None, bench.page.by_id[ids["tom"]].shell)  # type: ignore[union-attr]
    bar = next(part for part in copies if isinstance(part, Bar))
    assert set(bar.on) < {part.id for part in copies}
    new = {part.id for part in copies}
    states = {s.state for key, s in bench.page.record if key.split(".")[0] in new}
    assert states == {"open", "follows"}
    assert bench.file.problems == ()


def test_a_copy_may_hang_elsewhere(bench: Bench) -> None:
    ids = hanging_rig(bench)
    at = bench.do(copied(bench.page, (ids["boom"],), (ids["right"],), bench.pair))
    assert bench.page.by_id[at].on == (ids["right"],)
    assert isinstance(copied(bench.page, (ids["boom"],), (ids["arm"],)), Refusal)
    assert isinstance(copied(bench.page, (ids["boom"], ids["tom"]), (ids["right"],)), Refusal)


def test_another_kind_keeps_the_settings_that_both_have(bench: Bench) -> None:
    ids = hanging_rig(bench)
    for joint, value in (("place", 700.0), ("reach", 200.0)):
        key = f"{ids['boom']}.{joint}"
        edit = SettingEdit(key, taken(bench.page.setting(key), value, using="tape"))
        bench.file = changed(bench.file, edit)
    before = bench.page
    bench.do(other_kind(bench.page, ids["boom"], "rod-clamp", KINDS))
    own = {key.split(".")[1] for key in bench.page.settings if key.startswith(ids["boom"])}
    assert own == {"place", "spin", "jaw", "rod", "rod_spin"}
    assert bench.page.setting(f"{ids['boom']}.place").value == 700.0
    bench.undo()
    assert bench.page == before
    for kind, why in (("foot-post", "no post"), ("ball-arm", "not clamped"), ("none", "no kind")):
        answer = other_kind(bench.page, ids["boom"], kind, KINDS)
        assert isinstance(answer, Refusal)
        assert why in answer.why


def test_a_drum_comes_to_stand_on_legs(bench: Bench) -> None:
    tom = bench.do(added(bench.page, Wish("Floor tom", type="piece", on=(NOT_HUNG,)), KINDS))
    bench.do(hung(bench.page, tom, ("floor",), None, "floor-legs", KINDS))
    part = bench.page.by_id[tom]
    assert (part.on, part.kind) == (("floor",), "floor-legs")
    assert f"{tom}.leg_1" in bench.page.settings


FIELDS = [
    ("post", "tube", "1 1/2 in", {"tube": 38.1}),
    ("post", "inner-tube", "31.8", {"inner_tube": 31.8}),
    ("post", "length", "1100", {"length": 1100.0}),
    ("post", "square", "yes", {"square": True}),
    ("post", "colour", "green", {"colour": "green"}),
    ("post", "name", "Left  post A", {"name": "Left post A"}),
    ("post", "care", "Two people.", {"care": "Two people."}),
    ("bar", "side", "l, r", {"side": ("left", "right")}),
    ("bar", "side", "left", {"side": ("left", "left")}),
    ("bar", "side", "none", {"side": ()}),
    ("mount", "edge", "bottom", {"edge": "bottom"}),
    ("mount", "rail", "inner", {"rail": "inner"}),
    ("mount", "from", "B", {"measured_from": "B"}),
    ("mount", "rod", "12.7", {"rod": 12.7}),
    ("piece", "offset", "0, -150, 30", {"offset": (0.0, -150.0, 30.0)}),
    ("piece", "stem", "felt, sleeve", {"stem": ("felt", "sleeve")}),
    ("piece", "role", "ride", {"role": "ride"}),
]


@pytest.mark.parametrize(("sort", "word", "typed", "fields"), FIELDS)
def test_what_can_be_set_of_a_part(
    bench: Bench, sort: str, word: str, typed: str, fields: dict[str, object]
) -> None:
    ids = hanging_rig(bench)
    part_id = {"post": ids["left"], "bar": ids["bar"], "mount": ids["boom"]}.get(sort, ids["tom"])
    before = bench.page
    bench.do(set_of(bench.page, part_id, {word: typed}))
    part = bench.page.by_id[part_id]
    assert {name: getattr(part, name) for name in fields} == fields
    bench.undo()
    assert bench.page == before


@pytest.mark.parametrize(
    ("word", "typed", "why"),
    [
        ("tube", "thick", "not a number"),
        ("tube", "900", "less than or equal to 500"),
        ("weight", "heavy", "no weight in kg"),
        ("size", "disc 20", "a post has no size"),
        ("edge", "upper", "is none"),
        ("name", "", "a name is needed"),
        ("name", "x" * (LONGEST_NAME + 1), "81 characters"),
        ("name", "\x1b]0;t\x07", "do not show"),
        ("colour", "\u202egreen", "do not show"),
        ("dial.", "mm", "no dial's name"),
        ("dial.gap", "none", "has no dial gap"),
        ("bulk", "1", "a post has no bulk"),
    ],
)
def test_what_cannot_be_set_is_refused(bench: Bench, word: str, typed: str, why: str) -> None:
    left, _, _ = two_posts(bench)
    answer = set_of(bench.page, left, {word: typed})
    assert isinstance(answer, Refusal)
    assert why in answer.why
    assert answer.right


@pytest.mark.parametrize(
    "name", ["[/x] [bold]", "كاسة", "טום 1", "Zoë's “ride”", "太鼓", "a=b # c"]
)
def test_any_letters_may_stand_in_a_name(bench: Bench, name: str) -> None:
    at = bench.do(added(bench.page, Wish(name, "foot-post"), KINDS))
    assert bench.page.by_id[at].name == name
    assert parse_page(bench.file.text, "page").page == bench.page


def test_dials_come_and_go(bench: Bench) -> None:
    ids = hanging_rig(bench)
    bench.do(set_of(bench.page, ids["tom"], {"dial.lug_1": "Hz", "dial.head": "word"}))
    assert bench.page.setting(f"{ids['tom']}.dial.lug_1").state == "open"
    lines = bench.file.text.split("\n")
    note = lines.index(f'{ids["tom"]}.note = ""')
    assert lines[note - 2] == f"{ids['tom']}.dial.head = {{ open = true }}"
    bench.do(set_of(bench.page, ids["tom"], {"dial.lug_1": "none"}))
    assert f"{ids['tom']}.dial.lug_1" not in bench.page.settings


def test_limits_and_spots(bench: Bench) -> None:
    ids = hanging_rig(bench)
    key = f"{ids['boom']}.reach"
    bench.do(limited(bench.page, key, (0.0, 300.0)))
    assert bench.page.setting(key).limit == (0.0, 300.0)
    bench.do(limited(bench.page, key, None))
    assert bench.page.setting(key).limit is None
    assert isinstance(limited(bench.page, key, (2.0, 1.0)), Refusal)
    gap = bench.do(gap_added(bench.page, ids["tom"], ids["boom"], pair=bench.pair))
    height = bench.do(height_added(bench.page, ids["tom"], "far", pair=bench.pair))
    assert [spot.name for spot in bench.page.spots] == ["Tom 1 to Boom", "Tom 1, far edge"]
    assert f"{gap}.gap" in bench.page.settings
    bench.do(spot_removed(bench.page, height))
    assert list(bench.page.by_spot) == [gap]
    assert isinstance(height_added(bench.page, ids["boom"]), Refusal)
    assert isinstance(height_added(bench.page, ids["tom"], "upper"), Refusal)
    assert isinstance(gap_added(bench.page, ids["tom"], ids["tom"]), Refusal)


def test_hand_order_is_the_files_order(bench: Bench) -> None:
    ids = hanging_rig(bench)
    before = bench.page
    bench.do(ordered(bench.page, ids["tom"], before=ids["left"]))
    assert next(iter(bench.page.by_id)) == ids["tom"]
    assert bench.page.by_id == before.by_id
    bench.do(ordered(bench.page, ids["tom"]))
    assert list(bench.page.by_id)[-1] == ids["tom"]
    assert isinstance(ordered(bench.page, ids["tom"], before="nobody"), Refusal)


def test_kinds_for_a_place_are_those_that_can_hang_there(bench: Bench) -> None:
    ids = hanging_rig(bench)
    on_floor = {kind.id for kind in kinds_for(bench.page, "floor", KINDS)}
    assert {"foot-post", "floor-kick", "floor-seat", "floor-stand"} <= on_floor
    assert "ball-arm" not in on_floor
    assert "ball-arm" in {kind.id for kind in kinds_for(bench.page, ids["double"], KINDS)}
    assert "boom-on-clamp" in {kind.id for kind in kinds_for(bench.page, ids["left"], KINDS)}
    clamp = bench.page.by_id[ids["bar"]].on[0]
    assert {kind.fits for kind in kinds_for(bench.page, clamp, KINDS)} == {"bar"}


def test_comments_unknown_keys_and_the_crews_lines_stay(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    path.write_text(PAGE.replace("[part.ride]", "# the loud one\n[part.ride]"), "utf-8")
    bench = Bench(open_page(path))
    before = bench.file.text
    bench.do(added(bench.page, Wish("China boom", "boom-on-clamp", on=("bar",)), KINDS), "JM")
    lines = bench.file.text.split("\n")
    rest = iter(lines)
    assert all(line in rest for line in before.split("\n")), "a line went, or moved"
    mark = [i for i, line in enumerate(lines) if line == "# added on this page by JM"]
    assert any(line.startswith("[part.china-boom") for line in lines[mark[0] - 8 : mark[0]])
    bench.do(removed(bench.page, "ride"), "JM")
    assert "# the loud one" not in bench.file.text
    assert "# measured: the old tube" in bench.file.text
    bench.undo()
    bench.undo()
    assert bench.file.text == before


@pytest.mark.parametrize("end", ["\r\n", "\n"])
def test_line_ends_and_the_byte_order_mark_stay(tmp_path: Path, end: str) -> None:
    path = tmp_path / "page.toml"
    path.write_text("\ufeff" + PAGE.replace("\n", end), "utf-8", newline="")
    bench = Bench(open_page(path))
    bench.do(added(bench.page, Wish("China boom", "boom-on-clamp", on=("bar",)), KINDS), "JM")
    bench.do(removed(bench.page, "ride"))
    bench.do(ordered(bench.page, "tom-arm", before="post-l"))
    assert bench.file.text.startswith("\ufeff")
    assert bench.file.text.count("\r\n") == (bench.file.text.count("\n") if end == "\r\n" else 0)
    assert parse_page(bench.file.text, "page").page == bench.page


def test_a_part_that_is_written_otherwise_is_left_to_an_editor(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    inline = 'part = { gong = { type = "piece", name = "Gong", on = "floor" } }'
    head, rest = PAGE.split("[notes]", 1)
    rig, record_on = rest.split("[part.", 1)[0], rest.split("[record]", 1)[1]
    kinds = record_on[record_on.index("[kind.") :]
    path.write_text(f"{head}{inline}\n\n[notes]{rig}[record]\n\n{kinds}", "utf-8")
    file = open_page(path)
    assert list(file.page.by_id) == ["gong"]
    with pytest.raises(CannotDo, match="no lines of its own"):
        built(file, removed(file.page, "gong"))  # type: ignore[arg-type]


def test_a_step_is_on_the_disk_and_refused_on_a_closed_page(tmp_path: Path) -> None:
    from model.book.edits import ClosedEdit

    file = empty_rig(tmp_path)

    def step(page: object) -> Changes | Refusal:
        return added(page, Wish("Left post", "foot-post"), KINDS)  # type: ignore[arg-type]

    made = build(file, step, "AK")
    assert not isinstance(made, Refusal)
    after, edit = made
    assert edit.what == "added Left post on the floor"
    assert open_page(file.path).page == after.page
    closed = record(after, ClosedEdit(closed=True))
    with pytest.raises(CannotDo, match="closed for the show"):
        build(closed, step, "AK")
    with pytest.raises(NotSaved, match="someone else changed"):
        build(file, step, "AK")


def test_names_and_ids() -> None:
    assert slug_of("Zoë's Ride 20″") == "zoe-s-ride-20"
    assert slug_of("太鼓") == "part"
    assert free_name("Tom", {"Tom"}) == "Tom 2"
    assert free_name("Tom 2", {"Tom", "Tom 2", "Tom 3"}) == "Tom 4"
    assert checked_name(" a  b ") == "a b"
