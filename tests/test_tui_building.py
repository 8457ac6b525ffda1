"""Building by commands: a rig from nothing, a sample rebuilt from its kit list, bad input told."""

from __future__ import annotations

import json
from datetime import datetime, timedelta, timezone
from io import StringIO
from pathlib import Path

import pytest

from model.book.page_file import PageFile, open_page
from model.book.take import Hand
from model.rig.page import Page
from tests.goldens import same_as_golden
from tests.rack_stage import FIRST, small_book
from tui import cli
from tui.keys import Keys
from tui.screens.rack.press import press
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import RackState, Save, start

ROOT = Path(__file__).parent.parent
KIT = ROOT / "tests" / "data" / "pit_percussion"
SAMPLE = ROOT / "sample_rigs" / "pit-percussion" / "2026-04-14-soundcheck.toml"
ZONE = timezone(timedelta(hours=2))


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(cli, "now", lambda: datetime(2026, 4, 14, 17, 30, tzinfo=ZONE))


def run(*arguments: str, status: int = 0) -> None:
    assert cli.main(arguments) == status


def piped(monkeypatch: pytest.MonkeyPatch, text: str, *arguments: str, status: int = 0) -> None:
    monkeypatch.setattr("sys.stdin", StringIO(text))
    run(*arguments, status=status)


def test_a_rig_is_built_by_commands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run("rig", "rack", "Side rack", "--by", "AK")
    assert "no part yet" in capsys.readouterr().out
    steps = """\
# two posts, a bar on both
add "Left post" --kind foot-post --set tube=38.1
add "Right post" --kind foot-post
bar "Front bar" --on Left --on Right --curved --set 'curve=arc 1026, sagitta 100'
add "Ride boom" --kind boom-on-clamp --on "Front bar"
add Ride --type piece --on "Ride boom" --set role=ride --set 'size=disc 20"'

add Nonsense --kind ball-arm --on "Front bar"
jump
add "unclosed
set Ride
limit "Ride boom.reach" 0 4in
copy "Ride boom" --on "Left post"
order Ride --before "Left post"
kind "Ride boom 2" --kind rod-clamp
remove "Ride boom 2"
"""
    piped(monkeypatch, steps, "part", "rack", "--by", "AK", status=1)
    same_as_golden("building_steps.txt", _without_pairs(capsys.readouterr().out))
    run("part", "rack", "kinds", "--on", "Ride boom")
    assert "boom-arm" in capsys.readouterr().out
    file = open_page(next((tmp_path / "rack").glob("2026*.toml")))
    assert [part.name for part in file.page.parts if part.type != "mount"] == [
        "Ride", "Left post", "Right post", "Front bar", "Ride 2",
    ]  # fmt: skip
    assert {part.name for part in file.page.parts if part.on == ("not-hung",)} == {"Ride 2"}


def _without_pairs(text: str) -> str:
    """Return what was said without the random pairs of the ids."""
    import re

    return re.sub(r"-[a-z0-9]{2}\b(?=\)|\.| or|$)", "-··", text, flags=re.MULTILINE)


def test_the_answers_are_for_programs(capsys: pytest.CaptureFixture[str]) -> None:
    run("rig", "rack", "Side rack", "--json")
    assert json.loads(capsys.readouterr().out)["page"] == "2026-04-14-built"
    run("part", "rack", "add", "Left post", "--kind", "foot-post", "--json")
    answer = json.loads(capsys.readouterr().out)
    assert (answer["parts"], answer["steps"][0]["done"]) == (1, True)
    run("part", "rack", "add", "Left post", "--kind", "none", "--json", status=2)
    answer = json.loads(capsys.readouterr().out)
    assert answer["steps"][0]["refused"] == "there is no kind none"
    for command in ("rig", "part", "kit"):
        run(command, "--schema")
        same_as_golden(f"schema_{command}.json", capsys.readouterr().out)


BAD_KITS = {
    "empty": "",
    "only comments": "# a kit\n\n",
    "no type": "role, size\ntom, 10\n",
    "no role": "type, diameter\ndrum, 10\n",
    "odd type": "tom, banjo, 10\n",
    "odd size": "role,type,diameter\ntom,drum,large\nride,cymbal,1,016\n",
    "depth alone": 'role,type,diameter,depth\ntom,drum,,7"\n',
    "deep cymbal": 'role,type,diameter,depth\nride,cymbal,20",7"\n',
    "wide pedal": 'role,type,diameter\npedal,pedal,20"\n',
    "controls": "tom\x1b[2J, drum, 10\n",
    "long": f"{'x' * 200}, drum, 10\n",
    "heavy": "role,type,weight\ntom,drum,much\n",
    "too many": "tom, drum\n" * 501,
    "too many entries": "role,type\ntom,drum,10,7\n",
}


def test_a_kit_list_with_a_fault_adds_nothing_and_says_where(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run("rig", "rack", "Side rack")
    path = next((tmp_path / "rack").glob("2026*.toml"))
    before, said = path.read_bytes(), []
    capsys.readouterr()
    for name, text in BAD_KITS.items():
        piped(monkeypatch, text, "kit", "rack", status=2)
        told = capsys.readouterr().err
        assert "right: " in told
        assert "\x1b" not in told
        said.append(f"== {name}\n{told}")
        assert path.read_bytes() == before
    same_as_golden("kit_bad_input.txt", "\n".join(said))


def test_a_kit_list_in_any_columns_and_separators(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run("rig", "rack", "Side rack")
    piped(monkeypatch, 'tom 1, drum, 10", 7"\ntom 1, drum, 12", 8"\n', "kit", "rack")
    piped(monkeypatch, "type\tname\trole\ncymbal\tDas Große\tride\n", "kit", "rack")
    piped(monkeypatch, "Role;Type;Diameter\nكاسة;pad;30,5 cm\n", "kit", "rack")
    page = open_page(next((tmp_path / "rack").glob("2026*.toml"))).page
    assert [part.name for part in page.parts] == ["Tom 1", "Tom 2", "Das Große", "كاسة"]
    assert page.parts[3].disc.diameter == 305.0  # type: ignore[union-attr]
    assert "added 1 piece of the kit list, not hung" in capsys.readouterr().out


def test_a_kit_list_that_comes_twice_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run("rig", "rack", "Side rack")
    piped(monkeypatch, 'tom 1, drum, 10", 7"\nride, cymbal, 20"\n', "kit", "rack")
    assert "flagged" not in capsys.readouterr().out
    piped(monkeypatch, 'tom 1, drum, 10", 7"\nsplash, cymbal, 8"\n', "kit", "rack", status=1)
    assert "flagged: on the page before, and twice now: tom 1" in capsys.readouterr().out


def test_what_a_book_cannot_be_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments in (
        ("rig",), ("rig", "rack"), ("rig", "rack", ""), ("rig", "rack", "x" * 200),
        ("rig", "rack", "a\x1b]0;t\x07"), ("rig", "rack", "Rack", "--date", "tomorrow"),
        ("part", "rack", "add", "Post", "--kind", "foot-post"), ("kit", "rack", "kit.csv"),
    ):  # fmt: skip
        run(*arguments, status=2)
        told = capsys.readouterr().err
        assert "right: " in told
        assert "\x1b" not in told


def keyed_on(file: PageFile, by: str, part: str, *keys: str) -> PageFile:
    """Press keys on a part's row, as in the rack screen."""
    state = start(file, Hand(by=by), None, ()).shown_row(part)
    for key in keys:
        state = _pressed(state, key)
    return state.file


def _pressed(state: RackState, key: str) -> RackState:
    words = [(key, None)] if key == "enter" else [(char, char) for char in key]
    for name, char in words:
        state = press(state, name, char, Keys(), 20)
        if isinstance(state.wanted, Save):
            state = put_on_disk(state, state.wanted)
    return state


def by_name(page: Page) -> Page:
    """Return the page with every id in it replaced by its part's or spot's name, in name order."""
    names = {part.id: part.name for part in page.parts} | {s.id: s.name for s in page.spots}

    def named(id_: str | None) -> str | None:
        return names.get(id_, id_) if id_ is not None else None

    def key(old: str) -> str:
        owner, _, name = old.partition(".")
        return f"{named(owner)}.{name}"

    parts = [
        part.model_copy(update={"id": part.name, "on": tuple(map(named, part.on))})
        for part in page.parts
    ]
    spots = [
        spot.model_copy(update={
            "id": spot.name,
            "gap": spot.gap and tuple(map(named, spot.gap)),
            "height": spot.height and (named(spot.height[0]), spot.height[1]),
        })
        for spot in page.spots
    ]  # fmt: skip
    fields = {name: getattr(page, name) for name in Page.model_fields}
    return Page.model_construct(**{
        **fields,
        "parts": tuple(sorted(parts, key=lambda part: part.name)),
        "spots": tuple(sorted(spots, key=lambda spot: spot.name)),
        "record": tuple(sorted((key(old), setting) for old, setting in page.record)),
        "remarks": tuple(sorted((str(named(owner)), held) for owner, held in page.remarks)),
    })  # fmt: skip


def test_a_sample_is_rebuilt_from_its_kit_list(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """By the kit list, steps and readings as a technician would give them, and a few keys."""
    run("rig", "pit", "Pit front rack", "--moment", "soundcheck", "--venue", "Lantern Theatre",
        "--crew", "LT,SB")  # fmt: skip
    run("kit", "pit", str(KIT / "kit.csv"))
    assert "not hung" in capsys.readouterr().out
    piped(monkeypatch, (KIT / "steps.txt").read_text(), "part", "pit", "--by", "LT")
    for by in ("LT", "SB"):
        piped(monkeypatch, (KIT / f"readings_{by}.txt").read_text(), "read", "pit", "--by", by)
    assert "refused" not in capsys.readouterr().out
    shipped = open_page(SAMPLE).page
    file = open_page(tmp_path / "pit" / "2026-04-14-soundcheck.toml")
    post = next(part.id for part in file.page.parts if part.name == "Telescoping post, right")
    note = shipped.notes_on["post-tele"].note
    file = keyed_on(file, "LT", post, "n", note, "enter", "N", dict(shipped.crew)["LT"], "enter")
    file = keyed_on(file, "LT", post, "xx")
    built, wanted = by_name(open_page(file.path).page), by_name(shipped)
    for name in Page.model_fields:
        assert getattr(built, name) == getattr(wanted, name), name
    assert built == wanted


def test_a_curved_bar_without_its_curve_ends_no_comparison(
    capsys: pytest.CaptureFixture[str],
) -> None:
    run("rig", "rack", "Side rack")
    for name in ("Left post", "Right post"):
        run("part", "rack", "add", name, "--kind", "foot-post")
    run("part", "rack", "bar", "Front bar", "--on", "Left", "--on", "Right", "--curved")
    run("read", "rack", "front-bar", "bow", "0")
    run("begin", "rack")
    capsys.readouterr()
    for command in ("compare", "putback"):
        pages = ("rack/2026-04-14-built", "rack/2026-04-14-soundcheck")
        assert cli.main([command, *pages]) in (0, 1)
        assert "unexpected end" not in capsys.readouterr().err


def test_a_step_beside_a_book_of_pages(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    book = small_book(tmp_path / "tour")
    run("part", f"tour/{FIRST}", "remove", "bar", status=0)
    assert "not hung now: " in capsys.readouterr().out
    page = open_page(book / f"{FIRST}.toml").page
    assert {"ride-boom", "ride", "double"} <= set(page.by_id)
