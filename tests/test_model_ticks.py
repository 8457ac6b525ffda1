"""The put-back's ticks: a file of its own, one line a move; a tick changes that line and no other.

The golden text is what a technician would see of files that cannot be read; read it when it
changes.
"""

from __future__ import annotations

import re
import threading
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.book.heads import list_book
from model.book.ticks import (
    Tick,
    Ticks,
    TicksFile,
    new_ticks,
    read_ticks,
    renewed,
    tick,
    ticks_path,
    with_readings_page,
    with_tick,
)
from model.book.ticks_text import parse_ticks, write_ticks
from model.clean import clean_lines
from model.disk.lock import LOCK_NAME
from model.errors import CannotDo, NotSaved, UnreadableFile
from model.frozen import Unfit
from model.readings.quantity import Value
from tests.goldens import same_as_golden
from tests.shapes import SHAPES
from tests.sizes import examples
from tests.strategies import CREW, values
from tests.strategies_values import extras, pick, picks, texts

NOW, WANTED = "2026-03-21-after-fill-in", "2026-03-08-soundcheck"
NAME = f"{NOW}--{WANTED}.putback"
MOVES = (
    Tick(key="ride-boom.reach", start=381.0, to=365.125, done=False),
    Tick(key="ride-boom.tilt", start=3, to=-2, done=False),
    Tick(key="kick-pedal.dial.beater_angle", start="second notch", to="third notch", done=False),
    Tick(key="snare-stand.height", to=620.0, done=False),
    Tick(key="put.pad-boom", done=False),
    Tick(key="ask.bell", done=False),
    Tick(key="hang.tamb-clamp", start="Front bar, left", to="Wing bar, left", done=True, by="MO"),
)
TICKS = Ticks(now=NOW, wanted=WANTED, moves=MOVES)
TEXT = """\
# Clampbook put-back: which moves a hand has made. A ticked move is not a reading: its setting \
stays carried until it is read.
format = 1
now = "2026-03-21-after-fill-in"
wanted = "2026-03-08-soundcheck"
readings = ""

[move]

ride-boom.reach = { from = 381.0, to = 365.125, done = false }

ride-boom.tilt = { from = 3, to = -2, done = false }

kick-pedal.dial.beater_angle = { from = "second notch", to = "third notch", done = false }

snare-stand.height = { to = 620.0, done = false }

put.pad-boom = { done = false }

ask.bell = { done = false }

hang.tamb-clamp = { from = "Front bar, left", to = "Wing bar, left", done = true, by = "MO" }
"""


@pytest.fixture
def file(tmp_path: Path) -> TicksFile:
    return new_ticks(ticks_path(tmp_path, NOW, WANTED), TICKS)


def differing(a: str, b: str) -> list[tuple[str, str]]:
    """Return the lines that differ between two texts of as many lines."""
    pairs = zip(a.split("\n"), b.split("\n"), strict=True)
    return [pair for pair in pairs if pair[0] != pair[1]]


def ticks_of(text: str) -> Ticks:
    """Read a text that must be fit."""
    ticks, problems, _ = parse_ticks(text, NAME)
    assert ticks is not None, problems
    return ticks


KEYS = [
    f"{owner}.{name}"
    for owner in ("ride-boom", "put", "hang", "0", "x_1")
    for name in ("reach", "dial.to", "done", "from", "pad-boom", "0")
]


def _is_a_file(name: str) -> bool:
    return name[:1] != "." and not any(char in "/\\" or char < " " for char in name)


@st.composite
def any_tick(draw: st.DrawFn, key: str) -> Tick:
    quantity = pick(draw, (None, "length", "teeth", "word"))
    start: Value | None = draw(st.none() | values(quantity))
    to: Value | None = draw(st.none() | values(quantity))
    return Tick(
        key=key,
        start=start,
        to=to,
        done=draw(st.booleans()),
        by=pick(draw, (None, *CREW)),
        extra=extras(draw, flat=True, also=("key", "start", "extra", "id", "move")),
    )


@st.composite
def any_ticks(draw: st.DrawFn) -> Ticks:
    names = st.sampled_from((NOW, WANTED, "x", "zoë's")) | texts().filter(bool)
    return Ticks(
        now=draw(names),
        wanted=draw(names),
        readings=draw(st.none() | names.filter(_is_a_file)),
        moves=tuple(draw(any_tick(key)) for key in picks(draw, KEYS, 6)),
        extra=extras(draw, also=("key", "moves", "path")),
    )


@settings(max_examples=examples(200, 5_000))
@given(any_ticks())
def test_any_ticks_are_read_as_they_were_written(ticks: Ticks) -> None:
    text = write_ticks(ticks)
    again = ticks_of(text)
    assert again == ticks
    assert [type(move.start) for move in again.moves] == [type(m.start) for m in ticks.moves]
    assert write_ticks(again) == text
    assert again.done == {move.key for move in ticks.moves if move.done}


@settings(max_examples=examples(200, 5_000))
@given(any_ticks(), st.data())
def test_a_tick_changes_one_line_and_taking_it_away_brings_the_text_back(
    ticks: Ticks, data: st.DataObject
) -> None:
    if not ticks.moves:
        return
    key = data.draw(st.sampled_from(ticks.moves)).key
    text = write_ticks(ticks)
    file = TicksFile(Path(NAME), text, "", ticks, parse_ticks(text, NAME)[2])
    was = ticks.by_key[key]
    after = with_tick(file, key, not was.done, "KD")
    assert after.ticks == ticks_of(after.text)
    assert after.ticks.done ^ ticks.done == {key}
    assert len(differing(text, after.text)) == 1
    assert with_tick(after, key, not was.done, "ZZ") is after
    back = with_tick(after, key, was.done, was.by)
    if was.by is None or was.done:
        assert back.text == text


def test_the_layout_is_one_move_a_line_with_a_blank_line_between(file: TicksFile) -> None:
    assert file.path.name == NAME
    assert file.path.read_text("utf-8") == file.text == TEXT
    assert read_ticks(file.path) == file


def test_it_is_no_page_of_the_book(file: TicksFile) -> None:
    (file.path.parent / "book.toml").write_text('title = "Tour"\n')
    listing = list_book(file.path.parent)
    assert (listing.pages, listing.unreadable) == ((), ())


def test_a_tick_is_on_the_disk_with_who_made_it(file: TicksFile) -> None:
    after = tick(file, "ride-boom.reach", True, "KD")
    line = 'ride-boom.reach = { from = 381.0, to = 365.125, done = true, by = "KD" }'
    assert [pair[1] for pair in differing(TEXT, after.text)] == [line]
    assert read_ticks(file.path) == after
    assert after.ticks.done == {"ride-boom.reach", "hang.tamb-clamp"}
    without = tick(after, "put.pad-boom", True, None)
    assert "put.pad-boom = { done = true }\n" in without.text
    assert tick(without, "put.pad-boom", False, "KD").text == after.text
    assert {path.name for path in file.path.parent.iterdir()} == {NAME, LOCK_NAME}


@pytest.mark.parametrize(
    "shape", [s for s in SHAPES if "sub-tables" not in s and "record" not in s]
)
def test_comments_order_and_unknown_keys_stay_in_any_shape(tmp_path: Path, shape: str) -> None:
    odd = TEXT.replace(
        "{ to = 620.0, done = false }",
        '{ to = 620.0, done = false, torque = [1, 2] }  # { "done" = true } #',
    ).replace("[move]", 'crew = "both"\n\n# left side first\n[move]')
    text = SHAPES[shape](odd + "\n[van]\nseat = { done = 1 }\n")
    path = tmp_path / NAME
    path.write_bytes(text.encode())
    after = tick(read_ticks(path), "snare-stand.height", True, "KD")
    (pair,) = differing(text, after.text)
    assert pair[1] == pair[0].replace("done = false", 'done = true, by = "KD"', 1)
    assert after.ticks.by_key["snare-stand.height"].extra == (("torque", "[1, 2]"),)
    assert ("crew", '"both"') in after.ticks.extra
    assert path.read_bytes() == after.text.encode()


def test_values_are_frozen_and_say_what_they_are_asked_for() -> None:
    assert TICKS.done == frozenset({"hang.tamb-clamp"})
    more = TICKS.ticked("ask.bell", "KD")
    assert more.done == {"ask.bell", "hang.tamb-clamp"}
    assert more.by_key["ask.bell"].by == "KD"
    assert more.ticked("ask.bell", "ZZ") is more
    assert more.unticked("ask.bell") == TICKS
    assert TICKS.unticked("ask.bell") is TICKS
    assert TICKS.done == frozenset({"hang.tamb-clamp"})
    with pytest.raises(CannotDo, match="no such move"):
        TICKS.ticked("ask.nobody", "KD")
    with pytest.raises(CannotDo, match="no such move"):
        TICKS.unticked("ride-boom")


def test_moves_that_would_share_a_line_are_refused() -> None:
    with pytest.raises(ValueError, match="twice") as twice:
        Ticks(now=NOW, wanted=WANTED, moves=(MOVES[0], MOVES[0]))
    with pytest.raises(ValueError, match="inside the move"):
        Ticks(now=NOW, wanted=WANTED, moves=(Tick(key="a.b"), Tick(key="a.b.c")))
    assert isinstance(twice.value.errors()[0]["ctx"]["error"], Unfit)  # type: ignore[attr-defined]


def test_two_people_with_the_file_in_hand_lose_no_tick(file: TicksFile) -> None:
    """Each holds what was read at the beginning, or what an own tick gave, and never looks."""
    ours = theirs = file
    for left, right in zip(MOVES[0:6:2], MOVES[1:6:2], strict=True):
        ours = tick(ours, left.key, True, "KD")
        theirs = tick(theirs, right.key, True, "MO")
    last = read_ticks(file.path)
    assert last.ticks.done == {move.key for move in MOVES}
    assert [move.by for move in last.ticks.moves] == ["KD", "MO"] * 3 + ["MO"]
    assert [move.key for move in last.ticks.moves] == [move.key for move in MOVES]


def test_two_writers_at_once_lose_no_tick(tmp_path: Path) -> None:
    keys = [f"part-{number}.reach" for number in range(60)]
    moves = tuple(Tick(key=key, start=1.0, to=2.0) for key in keys)
    first = new_ticks(ticks_path(tmp_path, NOW, WANTED), Ticks(now=NOW, wanted=WANTED, moves=moves))
    failed: list[Exception] = []

    def work(by: str, own: list[str]) -> None:
        held = first
        try:
            for key in own:
                held = tick(held, key, True, by)
        except Exception as error:
            failed.append(error)

    writers = [threading.Thread(target=work, args=(by, keys[at::2])) for at, by in enumerate("AB")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert not failed
    assert [move.by for move in read_ticks(first.path).ticks.moves] == ["A", "B"] * 30


def test_a_move_that_both_tick_is_done_and_stays_the_first_ones(file: TicksFile) -> None:
    tick(file, "ask.bell", True, "MO")
    after = tick(file, "ask.bell", True, "KD")
    assert after.ticks.by_key["ask.bell"].by == "MO"
    assert read_ticks(file.path) == after
    assert tick(file, "ask.bell", False, "KD").ticks.done == TICKS.done


def test_a_change_of_the_list_underneath_is_told(file: TicksFile) -> None:
    file.path.write_text(TEXT.replace("to = 365.125", "to = 350.0"))
    with pytest.raises(CannotDo, match=r"goes to 350.0 now.*it went to 365.125"):
        tick(file, "ride-boom.reach", True, "KD")
    assert tick(file, "ask.bell", True, "KD").ticks.by_key["ride-boom.reach"].to == 350.0
    file.path.write_text(TEXT.replace("ask.bell = { done = false }\n\n", ""))
    with pytest.raises(CannotDo, match="not there any more"):
        tick(file, "ask.bell", True, "KD")
    assert "ask.bell" not in file.path.read_text()
    file.path.write_text(TEXT.replace("[move]", "<<<<<<< theirs\n[move]"))
    with pytest.raises(UnreadableFile, match="<<<<<<< theirs"):
        tick(file, "ask.bell", True, "KD")


def test_a_file_that_is_gone_is_told_and_not_made_again(file: TicksFile) -> None:
    file.path.unlink()
    for key in ("ask.bell", "hang.tamb-clamp"):  # one that changes a line, one that does not
        with pytest.raises(NotSaved, match="is gone"):
            tick(file, key, True, "KD")
    assert not file.path.exists()


def test_what_is_ticked_already_is_said_only_of_the_file_as_it_is(file: TicksFile) -> None:
    file.path.write_text(TEXT.replace('done = true, by = "MO"', "done = false"))
    after = tick(file, "hang.tamb-clamp", True, "KD")
    assert after.ticks.by_key["hang.tamb-clamp"].by == "KD"
    assert read_ticks(file.path) == after


def test_a_put_back_is_begun_once(file: TicksFile) -> None:
    tick(file, "ask.bell", True, "KD")
    before = file.path.read_bytes()
    with pytest.raises(NotSaved, match="begun already") as refused:
        new_ticks(file.path, TICKS)
    assert "right: go on with its file" in refused.value.text()
    assert file.path.read_bytes() == before
    with pytest.raises(CannotDo, match="its name is of other pages"):
        new_ticks(file.path.with_name(f"{WANTED}--{NOW}.putback"), TICKS)


@pytest.mark.parametrize(
    "name", ["", "a/b", "..", ".x", " x", "a\\b", "a\x1b[2J", "a\x00", "\udce9"]
)
def test_what_names_no_page_names_no_file(tmp_path: Path, name: str, file: TicksFile) -> None:
    for now, wanted in ((name, WANTED), (NOW, name)):
        with pytest.raises(CannotDo) as refused:
            ticks_path(tmp_path, now, wanted)
        assert refused.value.text() == clean_lines(refused.value.text())
    with pytest.raises(CannotDo):
        with_readings_page(file, name)


def test_a_name_too_long_for_a_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CannotDo, match="255 bytes"):
        ticks_path(tmp_path, "x" * 200, "y" * 60)


def test_initials_that_fit_no_line_are_refused(file: TicksFile) -> None:
    with pytest.raises(CannotDo, match="initials of 5000 characters"):
        tick(file, "ask.bell", True, "x" * 5000)
    assert file.path.read_text() == TEXT


def test_the_page_of_the_readings_is_named_once_for_all(file: TicksFile) -> None:
    ticked = tick(file, "ask.bell", True, "MO")
    named = with_readings_page(file, "2026-03-22-soundcheck")
    assert differing(ticked.text, named.text) == [
        ('readings = ""', 'readings = "2026-03-22-soundcheck"')
    ]
    assert with_readings_page(file, "2026-03-22-soundcheck").text == named.text
    with pytest.raises(CannotDo, match="someone else named 2026-03-22-soundcheck"):
        with_readings_page(file, "2026-03-22-before-doors")
    other = with_readings_page(named, "2026-03-22-before-doors")
    assert read_ticks(file.path) == other
    assert other.ticks.readings == "2026-03-22-before-doors"


def test_a_file_without_a_line_for_the_readings_gets_one(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_text(TEXT.replace('readings = ""\n', ""))
    file = read_ticks(path)
    assert file.ticks == TICKS
    after = with_readings_page(file, "x")
    assert after.text == TEXT.replace('readings = ""', 'readings = "x"')


def test_moves_without_a_line_of_their_own_are_read_and_not_ticked(tmp_path: Path) -> None:
    path = tmp_path / NAME
    head = TEXT[: TEXT.index("[move]")]
    path.write_text(
        f"{head}[move]\narm = {{ reach = {{ done = false }}, tilt = {{ done = true }} }}\n"
        "[move.stand]\nheight = { done = false }\n[move.stand.turn]\ndone = false\n"
    )
    file = read_ticks(path)
    assert file.ticks.done == {"arm.tilt"}
    for key in ("arm.reach", "stand.turn"):
        with pytest.raises(CannotDo, match="a line of their own") as refused:
            tick(file, key, True, "KD")
        assert refused.value.problems[0].line is not None
    assert tick(file, "stand.height", True, "KD").ticks.done == {"arm.tilt", "stand.height"}


HEAD = TEXT[: TEXT.index("[move]")]
ONE = "ride-boom.reach = { from = 381.0, to = 365.125, done = false }\n"


def moves(*lines: str) -> str:
    """Return a file with these lines as its moves."""
    return "\n".join([f"{HEAD}[move]", *lines, ""])


BAD: dict[str, str] = {
    "empty": "",
    "a page": (Path(__file__).parent / "data" / "page_two_post.toml").read_text("utf-8"),
    "no format": HEAD.replace("format = 1\n", ""),
    "a format of words": HEAD.replace("format = 1", 'format = "one"'),
    "a newer format": HEAD.replace("format = 1", "format = 2") + "[move]\nodd = 1\n",
    "no pages": "format = 1\n[move]\n",
    "a page that is no text": HEAD.replace(f'"{NOW}"', "2026-03-21").replace('""', "7"),
    "of other pages": HEAD.replace(NOW, "2026-03-20-soundcheck"),
    "a move that is no table": moves("ride-boom.reach = 365.125"),
    "moves that are no table": f"{HEAD}move = [1]\n",
    "moves without a setting": moves("ride-boom = { done = false }", 'put = "pad"'),
    "keys that are none": moves(
        '"Ride boom".reach = { done = true }',
        '"a.b".c = { done = true }',
        "a.b.c.d = { done = false }",
    ),
    "done is missing": moves("ride-boom.reach = { from = 381.0, to = 365.125 }"),
    "done is no boolean": moves("a.b = { done = 1 }", 'c.d = { done = "yes", by = 3 }'),
    "values that are none": moves(
        "a.b = { from = true, to = nan, done = true }",
        "c.d = { from = 1e7, to = [1], done = true }",
        f'e.f = {{ to = "{"x" * 1001}", done = false }}',
    ),
    "the same move twice": moves(ONE, ONE),
    "marks of two people's texts": moves(
        "<<<<<<< ours", ONE, "=======", ONE.replace("false", "true"), ">>>>>>> theirs"
    ),
    "not TOML": moves("ride-boom.reach 365", "ride.tilt = { to = 3, done = False }"),
    "too deep": moves(f"{'.'.join('abcdefghijk')} = 1"),
    "hostile texts": moves('"\\u001b]0;x" . reach = { done = false }', 'a.b = "\\u001b[2J\\u202e"'),
}


def test_a_bad_file_is_told_whole_and_left_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    path, told = Path(NAME), []
    for case, text in BAD.items():
        path.write_text(text, "utf-8")
        with pytest.raises(UnreadableFile) as refused:
            read_ticks(path)
        said = refused.value.text()
        assert said == clean_lines(said)
        assert not re.search("pydantic|Traceback|tomli", said)
        for problem in refused.value.problems:
            assert problem.path == NAME, case
            assert problem.right, case
            assert problem.grave
        assert path.read_text("utf-8") == text
        told.append(f"-- {case}\n{said}\n")
    same_as_golden("ticks_bad_input.txt", "\n".join(told))


@pytest.mark.parametrize("what", ["folder", "missing", "link", "not UTF-8"])
def test_what_is_no_file_of_text_is_told(tmp_path: Path, what: str) -> None:
    path = tmp_path / NAME
    if what == "folder":
        path.mkdir()
    elif what == "link":
        path.symlink_to(tmp_path / "elsewhere")
    elif what == "not UTF-8":
        path.write_bytes(TEXT.encode("utf-16"))
    with pytest.raises(UnreadableFile) as refused:
        read_ticks(path)
    assert refused.value.problems[0].right


@pytest.mark.parametrize("name", ["../other/page", "a/b", "a\\\\b", ".hidden"])
def test_re_readings_never_go_into_another_folder(tmp_path: Path, name: str) -> None:
    path = tmp_path / f"{NOW}--{WANTED}.putback"
    text = TEXT.replace('readings = ""', f'readings = "{name}"')
    assert text != TEXT
    path.write_text(text, "utf-8")
    with pytest.raises(UnreadableFile) as caught:
        read_ticks(path)
    assert "readings" in caught.value.text()


def test_a_list_made_anew_keeps_what_goes_where_it_went_and_loses_no_word(file: TicksFile) -> None:
    for key in ("ride-boom.reach", "ride-boom.tilt", "put.pad-boom"):
        file = tick(file, key, True, "MO")
    text = file.text.replace("ride-boom.tilt", "# mind the tooth\nride-boom.tilt")
    text = text.replace("to = -2, done", 'to = -2, torque = "8 Nm", done').replace(
        "[move]", 'crew = "left"\n\n[move]'
    )
    file.path.write_text(text, "utf-8")
    file = read_ticks(file.path)
    elsewhere = Tick(key="ride-boom.tilt", start=3, to=-1, done=False)
    wished = Ticks(now=NOW, wanted=WANTED, moves=(elsewhere, MOVES[0], Tick(key="ask.new")))
    assert file.ticks.strangers(wished) == ("ride-boom.tilt", "ask.new")
    assert file.ticks.done_of(wished) == {"ride-boom.reach"}
    after = renewed(file, wished)
    assert after.ticks == read_ticks(file.path).ticks
    assert after.ticks.done == {"ride-boom.reach", "put.pad-boom", "hang.tamb-clamp"}
    assert not after.ticks.strangers(wished)
    lost = [line for line in text.splitlines() if line not in after.text.splitlines()]
    assert [line.partition(" = ")[0] for line in lost] == ["ride-boom.tilt"]
    assert after.ticks.by_key["ride-boom.tilt"].extra == (("torque", '"8 Nm"'),)
    assert "# mind the tooth" in after.text
