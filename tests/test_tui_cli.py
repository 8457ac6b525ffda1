"""The commands as a script meets them: what they print, what they leave, their exit status."""

from __future__ import annotations

import io
import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import jsonschema
import pytest

from model.book.page_file import open_page
from model.rig.setting import Setting
from tests.goldens import same_as_golden
from tests.rack_stage import FIRST, SECOND, small_book
from tui import cli


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(cli, "now", lambda: datetime(2025, 3, 16, 18, 0, tzinfo=UTC))
    return small_book(tmp_path / "tour")


def setting(book: Path, key: str, name: str = SECOND) -> Setting:
    return open_page(book / f"{name}.toml").page.setting(key)


def test_begin_carries_everything_and_takes_the_clock_it_was_given(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["begin", "tour", "--venue", "Old Ropewalk", "--by", "AK"]) == 0
    assert "begun from 2025-03-15-soundcheck" in capsys.readouterr().out
    page = open_page(book / "2025-03-16-soundcheck.toml").page
    assert page.head.began == datetime(2025, 3, 16, 18, 0, tzinfo=UTC)
    assert (page.head.venue, page.head.begun_from) == ("Old Ropewalk", SECOND)
    assert page.setting("clamp-l.height").page == FIRST
    assert not any(s.state in ("read", "seen") for _, s in page.record)


def test_begin_refuses_a_page_that_is_there(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (book / f"{SECOND}.toml").read_bytes()
    assert cli.main(["begin", "tour", "--date", "2025-03-15"]) == 2
    assert "there already" in capsys.readouterr().err
    assert (book / f"{SECOND}.toml").read_bytes() == before


def test_begin_from_a_home_a_night_or_a_name(book: Path) -> None:
    for number, source in enumerate(("main", "2025-03-14", FIRST)):
        assert cli.main(["begin", "tour", "--from", source, "--moment", f"try {number}"]) == 0
        page = open_page(book / f"2025-03-16-try-{number}.toml").page
        assert page.head.begun_from == FIRST


@pytest.mark.parametrize(
    ("words", "value"),
    [
        (["14 3/8"], 365.125),
        (["14", "3/8"], 365.125),
        (["2' 8 1/2\""], 825.5),
        (["-20 1/2"], -520.7),
        (["--1/4"], 812.8 - 6.35),
        (["++12mm"], 824.8),
        (["="], 812.8),
        (["81.2cm"], 812.0),
    ],
)
def test_read_takes_what_people_write(book: Path, words: list[str], value: float) -> None:
    assert cli.main(["read", "tour", "clamp-l", "height", *words, "--unit", "in"]) == 0
    assert setting(book, "clamp-l.height").value == pytest.approx(value)


def test_read_names_who_and_with_what(book: Path) -> None:
    arguments = ["--by", "JM", "--using", "eye", "--u", "4", "--note", "in the way"]
    assert cli.main(["read", f"tour/{SECOND}", "Left bar", "hei", "800", *arguments]) == 0
    found = setting(book, "clamp-l.height")
    assert (found.by, found.using, found.u, found.note) == ("JM", "eye", 4.0, "in the way")


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["nobody", "height", "1"], "there is no part 'nobody'"),
        (["Left", "height", "1"], "could be"),
        (["clamp-l", "reach", "1"], "there is no setting 'reach'"),
        (["clamp-l", "height", "1,016"], "could be 1016 or 1.016"),
        (["clamp-l", "height", "nan"], "no measure"),
        (["clamp-l", "height", "true"], "a word where a number is needed"),
        (["clamp-l", "height", "800", "--using", "level"], "level does not measure lengths"),
        (["clamp-l", "height", "800", "--using", "laser"], "no instrument"),
        (["ride-boom", "tilt", "50°"], "quarter tooth"),
        (["clamp-l"], "PART SETTING VALUE"),
    ],
)
def test_read_refuses_with_the_reason_and_changes_nothing(
    book: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], why: str
) -> None:
    before = (book / f"{SECOND}.toml").read_bytes()
    assert cli.main(["read", "tour", *arguments]) == 2
    said = capsys.readouterr().out
    assert why in said
    assert "right:" in said
    assert (book / f"{SECOND}.toml").read_bytes() == before


def test_many_readings_from_standard_input(
    book: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = """
    # from the worksheet
    clamp-l height 31 3/4
    "Right post" x ++1/4
    ride-boom place @seen
    tom-arm slide @open
    ride-boom lean 12 | using=protractor u=2 from=joint note=in the dark
    kick dial.beater_angle fourth notch
    tom-arm spin 1,016
    throne height 900mm
    """
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    assert cli.main(["read", "tour", "--unit", "in", "--by", "AK"]) == 1
    said = capsys.readouterr().out
    assert "line 9: refused" in said
    assert "line 10: flagged" in said
    assert setting(book, "clamp-l.height").value == pytest.approx(31.75 * 25.4)
    assert setting(book, "ride-boom.place").state == "seen"
    assert setting(book, "tom-arm.slide").state == "open"
    lean = setting(book, "ride-boom.lean")
    assert (lean.using, lean.u, lean.read_from, lean.note) == (
        "protractor", 2.0, "joint", "in the dark",
    )  # fmt: skip
    assert setting(book, "kick.dial.beater_angle").value == "fourth notch"
    assert setting(book, "tom-arm.spin").state == "carried"


def test_words_from_a_line_are_taken_to_the_letter(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("kick.dial.beater_angle   fourth notch\n"))
    assert cli.main(["read", "tour"]) == 0
    assert setting(book, "kick.dial.beater_angle").value == "fourth notch"


@pytest.mark.parametrize(
    "arguments",
    [
        ["clamp-l.height", "800"],
        ["--by", "AK", "clamp-l", "height", "800"],
        ["clamp-l", "height", "--by", "AK", "800"],
    ],
)
def test_arguments_may_stand_in_any_order(book: Path, arguments: list[str]) -> None:
    assert cli.main(["read", "tour", *arguments]) == 0
    assert setting(book, "clamp-l.height").value == 800.0


@pytest.mark.parametrize(
    "arguments",
    [
        ["clamp-l", "height", "800", "--u", "-1"],
        ["clamp-l", "height", "800", "--u", "nan"],
        ["clamp-l", "height", "800", "--note", "x" * 2000],
        ["clamp-l", "height", "800", "--by", "x" * 2000],
    ],
)
def test_how_it_was_read_is_checked_too(
    book: Path, capsys: pytest.CaptureFixture[str], arguments: list[str]
) -> None:
    assert cli.main(["read", "tour", *arguments]) == 2
    assert "right:" in capsys.readouterr().out
    assert setting(book, "clamp-l.height").state == "carried"


def test_what_the_system_refuses_is_said_without_a_traceback(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["compare", "x" * 300, "tour"]) == 2
    assert cli.main(["begin", "tour", "--moment", "m" * 1001]) == 2
    assert "characters" in capsys.readouterr().err


def test_compare_says_what_moved_and_exits_with_one(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cli.main(["read", "tour", "clamp-l", "height", "806.45"])
    cli.main(["read", "tour", "throne", "height", "546.5"])
    capsys.readouterr()
    assert cli.main(["compare", "tour/main", "tour"]) == 1
    same_as_golden("compare.txt", capsys.readouterr().out)
    assert cli.main(["compare", "tour", "tour", "--unit", "in"]) == 0


def test_a_page_with_itself_differs_in_nothing(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["compare", "tour/main", "tour/main", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["structure"] == []
    verdicts = {found["verdict"] for found in answer["settings"]}
    assert verdicts <= {"same", "not comparable"}


def test_states_are_told_apart_in_json(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cli.main(["read", "tour", "clamp-l", "height", "806.45"])
    cli.main(["read", "tour", "clamp-r", "height", "@seen"])
    capsys.readouterr()
    cli.main(["compare", "tour/main", "tour", "--json"])
    answer = json.loads(capsys.readouterr().out)
    states = {found["after"]["state"] for found in answer["settings"]}
    assert states == {"read", "seen", "carried", "open", "follows"}
    for found in answer["settings"]:
        if found["after"]["state"] == "carried":
            assert found["verdict"] == "not comparable"
            assert found["after"]["page"]


@pytest.mark.parametrize("command", ["begin", "read", "compare", "positions", "recover"])
def test_answers_keep_their_schema(
    book: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert cli.main([command, "--schema"]) == 0
    schema_text = capsys.readouterr().out
    same_as_golden(f"schema_{command}.json", schema_text)
    arguments = {
        "begin": ["begin", "tour", "--json"],
        "read": ["read", "tour", "clamp-l", "height", "800", "--json"],
        "compare": ["compare", "tour/main", "tour", "--json"],
        "positions": ["positions", "tour", "--json"],
        "recover": ["recover", "tour", "--json"],
    }[command]
    cli.main(arguments)
    jsonschema.validate(json.loads(capsys.readouterr().out), json.loads(schema_text))


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["compare", "tour/2026-01-01", "tour"], "no page, night or home"),
        (["compare", "elsewhere", "tour"], "no such file or book"),
        (["compare", "tour"], "two pages"),
        (["begin", "."], "no book"),
        (["sample", "nothing"], "no sample of that name"),
    ],
)
def test_what_cannot_be_done_exits_with_two_and_says_why(
    book: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], why: str
) -> None:
    assert cli.main(arguments) == 2
    said = capsys.readouterr().err
    assert why in said
    assert "right:" in said


def test_a_mistyped_choice_is_not_replaced_in_silence(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "config" / "clampbook"
    folder.mkdir(parents=True)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    (folder / "config.toml").write_text('unit = "inch"\nlok = "dark stage"\n')
    assert cli.main(["read", "tour", "clamp-l", "height", "32"]) == 2
    said = capsys.readouterr().err
    assert "'inch' is no unit" in said
    assert "no such choice" in said
    (folder / "config.toml").write_text('unit = "in"\nby = "JM"\n')
    assert cli.main(["read", "tour", "clamp-l", "height", "32"]) == 0
    assert setting(book, "clamp-l.height").value == pytest.approx(812.8)
    assert setting(book, "clamp-l.height").by == "JM"


def test_the_screens_refuse_what_is_no_book_before_they_take_the_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main([]) == 2  # a new book could be made here
    assert "the screens need a terminal" in capsys.readouterr().err
    shutil.copy(Path(__file__).parent / "data" / "page_two_post.toml", tmp_path / "page.toml")
    assert cli.main([]) == 2
    assert "no book" in capsys.readouterr().err
