"""``compare`` as a script meets it: pieces, two rigs, three pages, and what it refuses."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest

from tests.goldens import same_as_golden
from tui import cli

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
FILL_IN = ("harbour-dance/2026-03-21-soundcheck", "harbour-dance/2026-03-21-after-fill-in")


@pytest.fixture(autouse=True)
def _books(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("harbour-dance", "pit-percussion", "fly-rack"):
        shutil.copytree(SAMPLES / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[str, int]:
    status = cli.main(["compare", *arguments])
    return capsys.readouterr().out, status


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_what_the_fill_in_moved(capsys: pytest.CaptureFixture[str], unit: str) -> None:
    text, status = said(capsys, *FILL_IN, "--unit", unit)
    assert status == 1
    same_as_golden(f"compare_fill_in_{unit}.txt", text)


def test_two_books_are_compared_by_role(capsys: pytest.CaptureFixture[str]) -> None:
    text, status = said(capsys, "harbour-dance/main", "pit-percussion", "--unit", "mm")
    assert status == 1
    same_as_golden("compare_roles.txt", text)
    parts, _ = said(capsys, "harbour-dance/main", "pit-percussion", "--by-part")
    assert "the rigs differ in name" in parts
    assert "two rigs" not in parts


def test_by_role_as_it_was_asked(capsys: pytest.CaptureFixture[str]) -> None:
    text, status = said(capsys, FILL_IN[0], FILL_IN[0], "--by-role")
    assert status == 0
    assert "two rigs, by role: compared by role, as was asked" in text


def test_three_pages_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    text, status = said(capsys, "--three", FILL_IN[1], "--home", "main", "--unit", "mm")
    assert status == 1
    same_as_golden("compare_three.txt", text)
    whole, _ = said(capsys, "--three", FILL_IN[1], "--all", "--home", "main", "--unit", "mm")
    assert set(text.splitlines()) <= set(whole.splitlines())


def test_a_book_with_a_rack_without_pieces(capsys: pytest.CaptureFixture[str]) -> None:
    text, status = said(capsys, "--three", "fly-rack", "--unit", "mm")
    assert status == 1
    assert "pieces" not in text
    assert "the last page is the home main itself" in text


@pytest.mark.parametrize(
    ("options", "golden"), [((), "schema_compare"), (("--three",), "schema_compare_three")]
)
def test_answers_keep_their_schema(
    capsys: pytest.CaptureFixture[str], options: tuple[str, ...], golden: str
) -> None:
    schema, status = said(capsys, *options, "--schema")
    assert status == 0
    same_as_golden(f"{golden}.json", schema)
    pages = [FILL_IN[1]] if options else list(FILL_IN)
    answers = [said(capsys, *options, *pages, "--json")[0]]
    if not options:
        answers.append(said(capsys, "harbour-dance", "pit-percussion", "--json")[0])
        answers.append(said(capsys, *FILL_IN, "--as-read", "--json")[0])
    for answer in answers:
        jsonschema.validate(json.loads(answer), json.loads(schema))


def test_the_text_says_no_other_numbers_than_the_answer(
    capsys: pytest.CaptureFixture[str],
) -> None:
    answer = json.loads(said(capsys, *FILL_IN, "--json")[0])
    text, _ = said(capsys, *FILL_IN, "--unit", "mm", "--all")
    for piece in answer["pieces"]:
        row = next(line for line in text.splitlines() if line.startswith(f"  {piece['name']:<16} "))
        assert piece["verdict"] in row
        if piece["move"]:
            assert ("up" in row) == (piece["move"]["up"] > 0.5), row
            assert ("down" in row) == (piece["move"]["up"] < -0.5), row
    counts = [line for line in text.splitlines() if line.startswith("pieces: ")][-1]
    told = [piece["verdict"] for piece in answer["pieces"]]
    for verdict in set(told):
        assert f"{told.count(verdict)} {verdict}" in counts


def test_a_home_says_that_it_is_one(capsys: pytest.CaptureFixture[str]) -> None:
    text, _ = said(capsys, "harbour-dance/main", "harbour-dance")
    assert "a home: what it carries is wanted" in text.splitlines()[0]
    answer = json.loads(said(capsys, "harbour-dance/main", "harbour-dance", "--json")[0])
    assert answer["home"]
    carried = [s for s in answer["settings"] if s["before"]["state"] == "carried"]
    assert any(s["verdict"] != "not comparable" for s in carried)
    back = json.loads(said(capsys, "harbour-dance", "harbour-dance/main", "--json")[0])
    assert not back["home"]


def test_one_that_is_in_no_book_is_compared_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lonely = tmp_path / "lonely.toml"
    shutil.copy(SAMPLES / f"{FILL_IN[0]}.toml", lonely)
    answer = json.loads(said(capsys, str(lonely), FILL_IN[1], "--json")[0])
    assert any(piece["tolerance"] for piece in answer["pieces"])
    assert not answer["home"]


def test_a_book_that_cannot_be_read_blocks_no_comparison(
    capsys: pytest.CaptureFixture[str],
) -> None:
    book = Path("harbour-dance/book.toml")
    book.write_text(book.read_text("utf-8").replace("mm = 5.0", 'mm = "five"', 1), "utf-8")
    assert cli.main(["compare", *(f"{name}.toml" for name in FILL_IN)]) == 1
    told = capsys.readouterr()
    assert "tolerance" in told.err
    assert told.err.count("cannot be read") == 1
    assert "moved (no tolerance)" in told.out


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        ((FILL_IN[0],), "two pages are compared"),
        (("--home", "main", *FILL_IN), "--home chooses the home of --three"),
        (("--three", *FILL_IN), "--three takes one page"),
        (("--three", "harbour-dance", "--home", "nobody"), "the book has no home nobody"),
        (("--three", "harbour-dance/main"), "is the home main itself"),
        (("--three", "lonely.toml"), "is in no book"),
    ],
)
def test_what_cannot_be_compared_is_refused_with_what_would_be_right(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], why: str
) -> None:
    shutil.copy(SAMPLES / f"{FILL_IN[0]}.toml", "lonely.toml")
    assert cli.main(["compare", *arguments]) == 2
    told = capsys.readouterr().err
    assert why in told
    assert "right:" in told


def test_a_last_page_that_cannot_be_read_is_said_and_left_out(
    capsys: pytest.CaptureFixture[str],
) -> None:
    page = Path("harbour-dance/2026-03-21-soundcheck.toml")
    text = page.read_text("utf-8")
    page.write_text(text.replace("throne.x = {", "throne.x = { read = true, ", 1), "utf-8")
    assert cli.main(["compare", "--three", FILL_IN[1], "--home", "main"]) == 1
    told = capsys.readouterr()
    assert "throne.x" in told.err
    assert "left out" in told.out


EVIL = "X\\u001b]0;t\\u0007\\nINJECTED\\u202e"


@pytest.mark.parametrize("options", [("--by-part", "--all"), (), ("--by-role",)])
def test_hostile_names_do_nothing(
    capsys: pytest.CaptureFixture[str], options: tuple[str, ...]
) -> None:
    for name in FILL_IN:
        page = Path(f"{name}.toml")
        text = page.read_text("utf-8")
        for word in ('name = "Ride"', 'name = "Crash 1 boom"', 'role = "cowbell"', 'rig = "H'):
            assert word in text
            key = word.partition(" ")[0]
            end = '"' if word.endswith('"') else ""
            text = text.replace(word, f'{key} = "{EVIL}{page.stem if key == "rig" else ""}{end}', 1)
        page.write_text(text, "utf-8")
    told, status = said(capsys, *FILL_IN, *options)
    assert status == 1
    assert not [line for line in told.splitlines() if line.startswith("INJECTED")]
    assert "␊INJECTED‹202E›" in told
    assert not set(told) & {"\x1b", "\x07", "\u202e"}
