"""What building must not lose in silence: readings, sizes, comments, order; and what it flags."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from model.book.built import built
from model.book.edits import SettingEdit
from model.book.page_file import changed, open_page
from model.book.read import parse_page
from model.errors import CannotDo
from model.readings.quantity import Refusal
from model.rig.building.changes import Changes
from model.rig.building.copying import copied
from model.rig.building.fields import with_field
from model.rig.building.grips import BarWish, gripped
from model.rig.building.kit import read_kit
from model.rig.building.naming import LONGEST_NAME, shortened
from model.rig.building.own_kind import kind_changed, kind_from
from model.rig.building.reverse import between
from model.rig.building.spots import gap_added, mark_placed
from model.rig.building.steps import Wish, added, hung, ordered, other_kind, removed
from model.rig.building.steps import changed as set_of
from model.rig.kind import Kind
from model.rig.part import NOT_HUNG
from model.rig.setting import Setting, taken
from tests.building import KINDS, Bench, empty_rig
from tests.shapes import PAGE


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(empty_rig(tmp_path))


@pytest.fixture
def by_hand(tmp_path: Path) -> Bench:
    path = tmp_path / "page.toml"
    path.write_text(PAGE, "utf-8")
    return Bench(open_page(path))


def two_posts(bench: Bench) -> tuple[str, str, str]:
    left, right = (
        bench.do(added(bench.page, Wish(name, "foot-post"), KINDS, pair=bench.pair))
        for name in ("Left post", "Right post")
    )
    wish = BarWish("Front bar", (left, right))
    return left, right, bench.do(gripped(bench.page, wish, KINDS, pair=bench.pair))


def read(bench: Bench, key: str, value: float, using: str = "tape") -> None:
    edit = SettingEdit(key, taken(bench.page.setting(key), value, using=using, by="AK"))
    bench.file = changed(bench.file, edit)


def refused(answer: Changes | Refusal | Kind) -> str:
    assert isinstance(answer, Refusal)
    assert answer.right
    return answer.why


def test_a_tooth_is_never_taken_for_a_degree(bench: Bench) -> None:
    _, _, bar = two_posts(bench)
    double = bench.do(added(bench.page, Wish("Double", "double-post", on=(bar,)), KINDS))
    arm = bench.do(added(bench.page, Wish("Arm", "ratchet-arm", on=(double,)), KINDS))
    read(bench, f"{arm}.tilt", 3, "teeth")
    read(bench, f"{arm}.slide", 85.0)
    bench.do(other_kind(bench.page, arm, "ball-arm", KINDS))
    assert bench.said == "Arm is now: L-arm with ball; gone: Arm tilt"
    assert bench.page.setting(f"{arm}.tilt").state == "open"
    assert bench.page.setting(f"{arm}.slide").value == 85.0
    read(bench, f"{arm}.tilt", 7.5, "level")
    bench.do(other_kind(bench.page, arm, "ratchet-arm", KINDS))
    assert bench.page.setting(f"{arm}.tilt").state == "open"


def test_what_goes_with_a_dial_or_a_bar_is_told(bench: Bench) -> None:
    left, right, bar = two_posts(bench)
    bench.do(set_of(bench.page, left, {"dial.lug": "Hz"}))
    key = f"{left}.dial.lug"
    bench.file = changed(bench.file, SettingEdit(key, taken(bench.page.setting(key), 84.0)))
    bench.do(set_of(bench.page, left, {"dial.lug": "mm"}))
    assert bench.said.endswith("; gone: Left post lug")
    clamps = bench.page.by_id[bar].on
    bench.do(hung(bench.page, bar, (NOT_HUNG,)))
    assert bench.said == "Front bar is not hung"
    seen = Setting(state="seen", value=12.0, page="2026-01-01-built")
    bench.file = changed(bench.file, SettingEdit(f"{clamps[0]}.spin", seen))
    bench.do(hung(bench.page, bar, clamps))
    assert "; gone: Front bar's clamp, Left post spin" in bench.said
    assert right


def test_a_bar_is_held_by_as_many_clamps_as_its_kind_says(bench: Bench) -> None:
    left, _, bar = two_posts(bench)
    clamps = bench.page.by_id[bar].on
    assert "two clamps hold" in refused(hung(bench.page, bar, clamps[:1]))
    side = bench.do(gripped(bench.page, BarWish("Side", (left,)), KINDS, pair=bench.pair))
    assert "one clamp hold" in refused(hung(bench.page, side, clamps))
    assert "two clamps hold" in refused(other_kind(bench.page, side, "bar-in-two-clamps", KINDS))


def test_another_size_keeps_the_bell_and_what_is_not_known(by_hand: Bench) -> None:
    text = by_hand.file.text.replace(
        "disc = { diameter = 508.0 }", "disc = { diameter = 508.0, bell = 22.0, hammered = true }"
    )
    assert text != by_hand.file.text
    by_hand.file.path.write_text(text, "utf-8")
    bench = Bench(open_page(by_hand.file.path))
    bench.do(set_of(bench.page, "ride", {"size": "disc 20in"}))
    bench.do(set_of(bench.page, "ride", {"weight": "2.4"}))
    assert "disc = { diameter = 508.0, bell = 22.0, hammered = true }" in bench.file.text
    bench.do(set_of(bench.page, "ride", {"bell": "none"}))
    assert "hammered = true" in bench.file.text
    bench.do(set_of(bench.page, "bar", {"curve": "chord 900, sagitta 60"}))
    curve = bench.page.by_id["bar"].curve  # type: ignore[union-attr]
    assert curve is not None
    assert (curve.length, curve.chord, curve.sagitta) == (None, 900.0, 60.0)


@pytest.mark.parametrize(
    ("word", "typed"),
    [
        ("weight", "9" * 400),
        ("curve", "10\n20, 30"),
        ("stem", "a\x1b[31mb, c"),
        ("size", "disc " + "9" * 300),
        ("offset", "1, 2, " + "9" * 300),
    ],
)
def test_odd_values_are_refused_and_end_nothing(by_hand: Bench, word: str, typed: str) -> None:
    for part in ("ride", "bar"):
        answer = with_field(by_hand.page.by_id[part], word, typed, "mm")
        assert isinstance(answer, Refusal)
        assert "\x1b" not in answer.text()


@pytest.mark.parametrize("own", ["A.b", "", "x" * 65, "é", "floor", "left post"])
def test_an_id_of_ones_own_is_an_id(bench: Bench, own: str) -> None:
    assert refused(added(bench.page, Wish("Post", "foot-post", id=own), KINDS))
    left, right, _ = two_posts(bench)
    assert refused(gap_added(bench.page, left, right, own_id=own))


def test_names_made_from_others_are_as_long_as_one_may_be(bench: Bench) -> None:
    name = "x" * LONGEST_NAME
    post = bench.do(added(bench.page, Wish(name, "foot-post"), KINDS, pair=bench.pair))
    bench.do(copied(bench.page, (post, post), pair=bench.pair))
    bench.do(gripped(bench.page, BarWish("y" * LONGEST_NAME, (post,)), KINDS, pair=bench.pair))
    other = bench.page.parts[1].id
    bench.do(gap_added(bench.page, post, other, pair=bench.pair))
    assert all(len(part.name) <= LONGEST_NAME for part in bench.page.parts)
    assert shortened("abc def", 5) == "abc…"
    assert refused(mark_placed("ahead", 0, 1200, "a\x1b[31m\nb"))


def test_two_in_one_outlet_and_what_is_not_hung_are_flagged(bench: Bench) -> None:
    _, _, bar = two_posts(bench)
    double = bench.do(added(bench.page, Wish("Double", "double-post", on=(bar,)), KINDS))
    wish = Wish("Arm", "ball-arm", on=(double,), at="left")
    arm = bench.do(added(bench.page, wish, KINDS))
    bench.do(added(bench.page, Wish("Other", "ball-arm", on=(double,), at="left"), KINDS))
    (flag,) = bench.file.problems
    assert (flag.code, flag.what) == ("one-outlet", "Arm and Other are both in Double, left")
    bench.undo()
    bench.do(copied(bench.page, (arm,), pair=bench.pair))
    assert bench.page.parts[-1].at == "right"
    bench.do(hung(bench.page, arm, (NOT_HUNG,)))
    assert [(flag.code, flag.what) for flag in bench.file.problems] == [
        ("not-hung", "Arm is not hung yet")
    ]


def test_a_drum_holds_a_mount_and_nothing_else(bench: Bench) -> None:
    kick = bench.do(added(bench.page, Wish("Kick", "floor-kick"), KINDS))
    arm = bench.do(added(bench.page, Wish("Arm", "ball-arm", on=(kick,)), KINDS))
    assert bench.page.by_id[arm].at is None, "its own playing surface holds nothing"
    fields = {"size": "disc 20in"}
    ride = bench.do(added(bench.page, Wish("R", type="piece", on=(arm,), fields=fields), KINDS))
    for sort, on, why in (
        ("bar", kick, "holds no bar"),
        ("post", kick, "a post stands on the floor"),
        ("piece", kick, "it holds a mount, which holds"),
        ("piece", ride, "is a piece"),
    ):
        wish = Wish("X", type=sort, on=(on,))  # type: ignore[arg-type]
        assert why in refused(added(bench.page, wish, KINDS))
    assert "holds nothing" in refused(added(bench.page, Wish("A", "ball-arm", on=(ride,)), KINDS))
    assert "hangs there already" in refused(hung(bench.page, arm, (kick,)))


def test_what_is_hardly_meant_is_flagged(bench: Bench) -> None:
    tom = Wish("Tom", type="piece", on=(NOT_HUNG,), fields={"size": "12x8"})
    bench.do(added(bench.page, tom, KINDS))
    post = bench.do(added(bench.page, Wish("Post", "foot-post"), KINDS))
    bar = bench.do(gripped(bench.page, BarWish("Bar", (post,), curved=True), KINDS))
    flags = {flag.code: flag.what for flag in bench.file.problems}
    assert flags["odd-size"] == "Tom is 12 mm across"
    assert flags["no-curve"] == "Bar is of a curved kind, and its curve was not given"
    bench.do(set_of(bench.page, bar, {"curve": "arc 900, sagitta 60"}))
    assert "no-curve" not in {flag.code for flag in bench.file.problems}


def test_the_rigs_title_stays_above_the_parts(tmp_path: Path) -> None:
    bench = Bench(empty_rig(tmp_path, crew=()))
    for name in ("One", "Two"):
        bench.do(added(bench.page, Wish(name, "foot-post"), KINDS, pair=bench.pair), None)
    lines = bench.file.text.split("\n")
    places = [lines.index(next(x for x in lines if x.startswith(start))) for start in (
        "# ---- the rig", "[part.one", "[part.two", "# ---- the record", "[record]", "one-",
    )]  # fmt: skip
    assert places == sorted(places)
    assert lines[places[1] - 1] == ""


def test_whoever_builds_first_gets_a_line_of_their_own(bench: Bench) -> None:
    bench.do(added(bench.page, Wish("Post", "foot-post"), KINDS, pair=bench.pair), "ZZ")
    assert bench.file.text.count("# added on this page by ZZ") == 2
    bench.do(added(bench.page, Wish("Post 2", "foot-post"), KINDS, pair=bench.pair), "ZZ")
    assert bench.file.text.count("# added on this page by ZZ") == 2


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not there")
def test_two_peoples_parts_merge_by_their_own_lines(tmp_path: Path, by_hand: Bench) -> None:
    """Source: git-merge-file(1)."""
    base, file = by_hand.file.text, by_hand.file
    for name, crew in (("here", "AK"), ("there", "JM")):
        by_hand.file = file
        wish = Wish(f"{crew}'s boom", "boom-on-clamp", on=("bar",))
        by_hand.do(added(by_hand.page, wish, KINDS, pair=by_hand.pair), crew)
        (tmp_path / name).write_text(by_hand.file.text, "utf-8", newline="")
    (tmp_path / "base").write_text(base, "utf-8", newline="")
    command = ["git", "merge-file", "-p", "here", "base", "there"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, check=False)
    assert done.returncode == 0
    merged = parse_page(done.stdout.decode(), "merged").page
    assert merged is not None
    assert {"AK's boom", "JM's boom"} <= {part.name for part in merged.parts}


def test_tables_that_stand_apart_are_not_moved_in_silence(by_hand: Bench) -> None:
    text = by_hand.file.text.replace(
        "\n# added on this page by AK",
        "\n[part.ride.own]\nkey = 1\n\n# added on this page by AK",
        1,
    )
    by_hand.file.path.write_text(text, "utf-8")
    file = open_page(by_hand.file.path)
    for step in (ordered(file.page, "ride", before="post-l"), removed(file.page, "ride")):
        assert isinstance(step, Changes)
        with pytest.raises(CannotDo, match="no lines of its own"):
            built(file, step)


def test_a_step_is_taken_back_beside_what_another_did(bench: Bench) -> None:
    left, right, bar = two_posts(bench)
    now, then = bench.page, bench.done[-1].page_before
    bench.do(added(bench.page, Wish("Theirs", "foot-post"), KINDS, pair=bench.pair))
    back = between(bench.page, now, then, "back")
    assert isinstance(back, Changes)
    bench.do(back)
    names = {part.name for part in bench.page.parts}
    assert "Theirs" in names
    assert "Front bar" not in names
    again = between(bench.page, then, now, "again")
    assert isinstance(again, Changes)
    bench.do(again)
    assert bench.page.by_id[bar] == now.by_id[bar]
    bench.do(set_of(bench.page, bar, {"tube": "38"}))
    assert "someone else changed Front bar" in refused(between(bench.page, now, then, "back"))
    assert (left, right)[0]


def test_a_kit_list_from_a_spreadsheet() -> None:
    kit = read_kit('\ufeffrole, type, diameter\ntom 1, drum, "10"""\nride, cymbal, "20"""\n', "kit")
    assert kit.problems == ()
    assert [dict(piece.fields)["size"] for piece in kit.pieces] == ['shell 10"', 'disc 20"']


KIND_WORDS = {
    "tilt.teeth": "24",
    "tilt.limit": "-2..6",
    "slide.before": "0, 55, -2",
    "spin.loosen": "hex key",
    "swivel": "turns -z",
    "bracket": "none",
    "end.tip": "0, 0, 60",
    "end.jaw": "beside 45",
    "body": "35",
    "name": "Swivel arm",
    "slide.assumed": "0",
    "tilt.tooth_zero": "",
}


def test_a_kind_is_changed_joint_by_joint(bench: Bench) -> None:
    made = kind_from(KINDS["ball-arm"], "Own arm", set(KINDS), bench.pair)
    assert isinstance(made, Kind)
    words = {word: typed for word, typed in KIND_WORDS.items() if word != "tilt.tooth_zero"}
    kind = kind_changed(made, words)
    assert isinstance(kind, Kind)
    assert [joint.id for joint in kind.joints] == ["slide", "spin", "tilt", "ball_spin", "swivel"]
    assert (kind.by_joint["tilt"].teeth, kind.by_joint["tilt"].limit) == (24, (-2.0, 6.0))
    assert kind.by_joint["slide"].before == (0.0, 55.0, -2.0)
    assert {outlet.id: outlet.holds for outlet in kind.outlets} == {"tip": None, "jaw": "beside"}
    bench.do(Changes("made", kinds=(kind,)))
    assert bench.page.by_kind[kind.id] == kind
    fresh = kind_from(None, "From nothing", set(KINDS), bench.pair)
    assert isinstance(fresh, Kind)
    built_up = kind_changed(
        fresh, {"place": "slides rail", "spin": "turns rail", "end.tip": "0,0,9"}
    )
    assert isinstance(built_up, Kind)
    assert built_up.on_rail


@pytest.mark.parametrize(
    ("word", "typed"),
    [
        ("tilt.teeth", "many"),
        ("tilt.limit", "6"),
        ("tilt.limit", "6..-2"),
        ("nobody.limit", "0..1"),
        ("tilt.colour", "red"),
        ("Swivel", "turns z"),
        ("swivel", "wobbles z"),
        ("swivel", "none"),
        ("slide.teeth", "24"),
        ("end.tip", "0, 0"),
        ("body", "thick"),
        ("name", ""),
        ("note", "slides z"),
        ("spin.loosen", "a\x1b[2J"),
        ("slide.assumed", "nearly"),
        ("end.jaw", "beside far"),
    ],
)
def test_what_a_kind_cannot_be_is_refused(bench: Bench, word: str, typed: str) -> None:
    made = kind_from(KINDS["ball-arm"], "Own arm", set(KINDS), bench.pair)
    assert isinstance(made, Kind)
    why = refused(kind_changed(made, {word: typed}))
    assert why
    assert "\x1b" not in why
