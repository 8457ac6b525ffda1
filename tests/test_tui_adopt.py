"""``adopt`` as a script meets it: what it prints and leaves, what it refuses, its exit status."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from model.book.book import read_book
from model.book.heads import BOOK_FILE
from model.book.page_file import open_page
from model.clean import clean_lines
from tests.goldens import same_as_golden
from tests.new_homes import BACK, BEGAN, FILL_IN, HOME, book_of, contents
from tui import cli

WHY = ["--reason", "lower since the injury"]


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(cli, "now", lambda: BEGAN)
    return book_of(tmp_path / "tour", HOME, FILL_IN, BACK)


def test_pieces_become_home_and_what_stays_is_told(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = f"tour/{FILL_IN}"
    assert cli.main(["adopt", page, "--pieces", "Snare,ride", *WHY, "--by", "KD"]) == 1
    said = capsys.readouterr().out
    name = "2026-03-21-home-snare-and-ride"
    assert f"{name}.toml: home main 2026-03-21, meant where no home is named" in said
    assert f"made from main ({HOME}), which stays: lower since the injury" in said
    assert f"adopted from {FILL_IN}: Snare, Ride" in said
    assert "Ride boom (ride-boom)\n    place            900.1 mm -> 846.1 mm  read" in said
    assert "home 45°, there read 40°: Tom 2, Tom 3, Crash 2, Block would move with it" in said
    made = open_page(book / f"{name}.toml")
    assert made.page.head.began == BEGAN
    assert dict(made.page.crew)["KD"].startswith("Adopted from")
    assert {problem.code for problem in made.problems} <= {"outside-limit"}  # as on its page


def test_with_shared_tells_who_moves(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--pieces", "ride", "--with-shared", "--as", "stretched out", "--unit", "in"]
    assert cli.main(["adopt", f"tour/{FILL_IN}", *words, *WHY]) == 1
    said = capsys.readouterr().out
    assert "not chosen, and elsewhere in the new home\n  Tom 2 (tom-2), by post-fr.turn" in said
    assert 'place            35 7/16" -> 33 5/16"  read' in said
    assert read_book(book).book.homes[0][0] == "stretched out"


def test_the_next_night_begins_from_the_last_one_and_not_from_the_new_home(book: Path) -> None:
    cli.main(["adopt", f"tour/{BACK}", "--pieces", "snare", *WHY])
    assert cli.main(["begin", "tour"]) == 0
    assert open_page(book / "2026-04-10-soundcheck.toml").page.head.begun_from == BACK
    assert cli.main(["read", "tour", "snare-stand", "height", "400"]) == 0
    assert cli.main(["begin", "tour", "--from", "main 2026-03-22", "--moment", "from home"]) == 0


def test_pieces_are_meant_by_role_name_or_id_and_each_once(book: Path) -> None:
    words = ["--pieces", "thr, Snare", "--pieces", "hats, bottom", "--pieces", "hats,throne"]
    assert cli.main(["adopt", f"tour/{BACK}", *words, *WHY]) == 1
    page = open_page(book / "2026-03-22-home-4-pieces.toml").page
    for owner in ("throne", "snare-stand", "hat-stand", "bar-wing-left"):
        adopted = [k for k, s in page.record if k.startswith(f"{owner}.") and s.page == BACK]
        # The tambourine hangs on the wing bar, too.
        assert bool(adopted) is (owner != "bar-wing-left")


def test_a_whole_page_is_named(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["adopt", f"tour/{BACK}", "--all", "--as", "rest"]) == 0
    assert "home rest, one more home\n" in capsys.readouterr().out
    assert cli.main(["adopt", f"tour/{BACK}", "--all", "--as", "now", "--first"]) == 0
    assert [name for name, _ in read_book(book).book.homes] == ["now", "main", "fill-in", "rest"]
    path = book / f"{BACK}.toml"
    path.write_text(path.read_text().replace("closed = true", "closed = false"))
    assert cli.main(["adopt", f"tour/{BACK}", "--all", "--as", "open"]) == 1
    assert "it is not closed" in capsys.readouterr().out


REFUSED: dict[str, tuple[list[str], list[str]]] = {
    "no pieces": (
        [],
        ["say which", "crash 1, pad, ride", "hats-bottom, hats", "or --all --as NAME"],
    ),
    "no piece": (
        ["--pieces", "snare,zork,post-fl,tom,", *WHY],
        [
            "no piece 'zork'",
            "Front post, left is no piece",
            "'tom' could be tom-1 or tom-2 or tom-3",
            "no piece ''",
        ],
    ),
    "no reason": (["--pieces", "snare"], ["has a reason", "--reason"]),
    "no such home": (["--pieces", "snare", *WHY, "--from-home", "x"], ["main or fill-in"]),
    "a name that is taken": (
        ["--pieces", "snare", *WHY, "--as", "fill-in"],
        [f"has a home fill-in already: {FILL_IN}", "right: main 2026-03-22"],
    ),
    "all without a name": (["--all"], ["--all --as fill-in"]),
    "all and pieces": (["--all", "--as", "x", "--pieces", "snare"], ["--pieces goes with"]),
    "all and a home": (["--all", "--as", "x", "--from-home", "main"], ["--from-home goes with"]),
    "all and shared": (["--all", "--as", "x", "--with-shared"], ["--with-shared goes with"]),
    "pieces first": (["--pieces", "snare", *WHY, "--first"], ["--first goes with --all"]),
    "what only holds with others": (
        ["--pieces", "hats-bottom", *WHY],
        ["what it hangs on also holds Hats, top", "--with-shared"],
    ),
    "hostile words": (
        ["--pieces", "\x1b[2J", *WHY, "--as", "\x1b]0;x\x07"],
        ["there is no piece"],
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused_says_why_and_what_would_be_right(
    book: Path, capsys: pytest.CaptureFixture[str], case: str
) -> None:
    words, told = REFUSED[case]
    before = contents(book)
    assert cli.main(["adopt", f"tour/{BACK}", *words]) == 2
    said = capsys.readouterr().err
    for text in told:
        assert text in said
    assert "right:" in said
    assert said == clean_lines(said)
    assert contents(book) == before


def test_a_page_in_no_book_and_a_book_without_a_home(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (book.parent / "alone.toml").write_bytes((book / f"{BACK}.toml").read_bytes())
    assert cli.main(["adopt", "alone.toml", "--pieces", "snare", *WHY]) == 2
    assert "the page is in no book" in capsys.readouterr().err
    path = book / BOOK_FILE
    path.write_text('title = "No home"\n')
    assert cli.main(["adopt", "tour", "--pieces", "snare", *WHY]) == 2
    assert "--all --as main" in capsys.readouterr().err
    assert cli.main(["adopt", f"tour/{HOME}", "--all", "--as", "main"]) == 0
    assert path.read_text() == f'title = "No home"\n\n[homes]\n\nmain = "{HOME}"\n'
    assert cli.main(["adopt", "tour", "--pieces", "snare", *WHY]) == 1


def test_the_answer_keeps_its_schema(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["adopt", "--schema"]) == 0
    schema_text = capsys.readouterr().out
    same_as_golden("schema_adopt.json", schema_text)
    for words in (["--pieces", "ride", "--with-shared", *WHY], ["--all", "--as", "x"]):
        cli.main(["adopt", f"tour/{FILL_IN}", *words, "--json"])
        answer = json.loads(capsys.readouterr().out)
        jsonschema.validate(answer, json.loads(schema_text))
        assert answer["made"] is ("--pieces" in words)


def test_words_from_a_page_are_clean(book: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in (BACK, HOME):
        path = book / f"{name}.toml"
        text = path.read_text().replace('name = "Snare stand"', 'name = "St\\u001b[2Jand"')
        path.write_text(text.replace('serial = "S-2"', f'serial = "{name}\\u001b[2J\\u202e"'))
    cli.main(["adopt", f"tour/{BACK}", "--pieces", "snare", "--reason", "\x1b[2J"])
    out = capsys.readouterr().out
    assert "St␛[2Jand" in out
    assert "\x1b" not in out
    assert "\u202e" not in out
