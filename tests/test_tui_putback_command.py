"""``putback`` as a script meets it: the list, its JSON, what it refuses, its exit status."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest

from tests.goldens import same_as_golden
from tui import cli

ROOT = Path(__file__).parents[1]
SAMPLES = ROOT / "sample_rigs"
FILL_IN, HOME = "2026-03-21-after-fill-in", "2026-03-08-soundcheck"


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(SAMPLES / "harbour-dance", tmp_path / "tour")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "tour"


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    status = cli.main(["putback", *words])
    return status, capsys.readouterr().out


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_fill_ins_page_is_put_back_by_a_list_that_can_be_read_aloud(
    book: Path, capsys: pytest.CaptureFixture[str], unit: str
) -> None:
    status, out = printed(capsys, f"tour/{FILL_IN}", "--unit", unit)
    assert status == 1
    assert max(map(len, out.splitlines())) <= 80
    same_as_golden(f"putback_{unit}.txt", out)


def test_without_a_page_the_books_first_home_is_wanted(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    by_default = printed(capsys, f"tour/{FILL_IN}")
    assert by_default == printed(capsys, f"tour/{FILL_IN}", "main")
    assert by_default == printed(capsys, f"tour/{FILL_IN}", f"tour/{HOME}")


def test_json_holds_what_is_printed_and_fits_its_schema(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out = printed(capsys, f"tour/{FILL_IN}", "--json")
    assert (status, printed(capsys, "--schema")[0]) == (1, 0)
    cli.main(["putback", "--schema"])
    schema = capsys.readouterr().out
    same_as_golden("schema_putback.json", schema)
    jsonschema.validate(json.loads(out), json.loads(schema))
    answer = json.loads(out)
    reach = next(
        line
        for step in answer["steps"]
        for line in step["lines"]
        if line["tick"] == "ride-boom.reach"
    )
    assert (reach["start"], reach["to"], reach["way"]) == (280.9875, 242.8875, "the boom goes in")


def test_one_side_is_that_side_and_what_needs_both(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sides = {
        side: {
            step["number"]
            for step in json.loads(printed(capsys, f"tour/{FILL_IN}", "--side", side, "--json")[1])[
                "steps"
            ]
        }
        for side in ("left", "right")
    }
    whole = json.loads(printed(capsys, f"tour/{FILL_IN}", "--json")[1])["steps"]
    both = {step["number"] for step in whole if step["side"] == "middle"}
    assert sides["left"] & sides["right"] == both
    assert sides["left"] | sides["right"] == {step["number"] for step in whole}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["tour/main", "main"], "is both the page as it is and the one that is wanted"),
        (["tour/main", str(SAMPLES / "pit-percussion")], "hardly a part in common"),
        (["tour/main", "nowhere"], "no page, night or home of that name"),
        (["tour/2027-01-01"], "no page, night or home of that name"),
    ],
)
def test_what_cannot_be_put_back_is_refused_plainly(
    book: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    assert cli.main(["putback", *words]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert "right:" in error


def test_a_book_without_a_home_says_how_to_name_one(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = book / "book.toml"
    text = path.read_text("utf-8").replace("[homes]", "[homes_of_old]")
    path.write_text(text, "utf-8")
    assert cli.main(["putback", f"tour/{FILL_IN}"]) == 2
    assert "tour names no home" in capsys.readouterr().err


def test_a_faulty_book_is_told_and_the_pages_are_put_back_all_the_same(
    book: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (book / "book.toml").write_text("title = ", "utf-8")
    assert cli.main(["putback", f"tour/{FILL_IN}.toml", f"tour/{HOME}.toml"]) == 1
    told = capsys.readouterr()
    assert "book.toml" in told.err
    assert "STAND AT" in told.out
