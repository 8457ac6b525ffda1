"""``positions`` and ``draw`` on the command line: what is said, what a program reads, faults."""

from __future__ import annotations

import json
import os
import shutil
import threading
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.goldens import same_as_golden
from tests.rigs_small import answer_of, disc, mount, small_page
from tui import cli
from tui.commands.positions import piece_lines

ROOT = Path(__file__).parent.parent
SAMPLE = ROOT / "sample_rigs" / "harbour-dance"
FILL_IN = "2026-03-21-after-fill-in"
SOUNDCHECK = "2026-03-21-soundcheck"


@pytest.fixture
def tour(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(SAMPLE, tmp_path / "tour")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "tour"


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_positions_are_said_in_the_readers_unit(
    tour: Path, capsys: pytest.CaptureFixture[str], unit: str
) -> None:
    # One crash's rod was never read: its place is not known, which is something to report.
    assert cli.main(["positions", f"tour/{SOUNDCHECK}", "--unit", unit]) == 1
    same_as_golden(f"positions_{unit}.txt", capsys.readouterr().out)


def test_json_has_the_promised_shape(tour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    cli.main(["positions", f"tour/{SOUNDCHECK}", "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert answer["page"] == SOUNDCHECK
    ride = answer["pieces"]["ride"]
    for key in ("name", "role", "state", "lean", "toward", "near_edge", "far_edge"):
        assert key in ride
    assert len(ride["centre"]) == len(ride["normal"]) == 3
    assert set(ride["tilt"]) == {"ahead", "right"}
    assert set(ride["u95"]) == {"right", "ahead", "up", "tilt_ahead", "tilt_right"}
    assert {"setting", "share"} == set(ride["rests_on"][0])
    shares = [share["share"] for share in ride["rests_on"]]
    assert shares == sorted(shares, reverse=True)
    assert 0.9 < sum(shares) < 1.0 + 1e-6
    assert answer["pieces"]["throne"]["near_edge"] is None
    assert set(answer["bars"]["bar-front-left"]) == {"a", "b", "closure"}
    assert len(answer["clamps"]["clamp-fl-front"]) == 3


def test_an_open_setting_leaves_only_what_hangs_on_it_unknown(
    tour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tour / f"{SOUNDCHECK}.toml"
    text = page.read_text("utf-8").replace("closed = true", "closed = false")
    page.write_text(text, "utf-8")
    cli.main(["positions", f"tour/{SOUNDCHECK}", "--json"])
    before = json.loads(capsys.readouterr().out)["pieces"]
    assert cli.main(["read", f"tour/{SOUNDCHECK}", "ride-boom", "reach", "@open"]) == 0
    capsys.readouterr()
    assert cli.main(["positions", f"tour/{SOUNDCHECK}", "--json"]) == 1
    after = json.loads(capsys.readouterr().out)["pieces"]
    assert after["ride"]["state"] == "unknown"
    assert after["ride"]["centre"] is None
    assert after["ride"]["open"] == ["ride-boom.reach"]
    assert {k: v for k, v in after.items() if k != "ride"} == {
        k: v for k, v in before.items() if k != "ride"
    }


def test_a_fault_is_named_and_the_rest_computed(
    tour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tour / f"{SOUNDCHECK}.toml"
    text = page.read_text("utf-8").replace("sagitta = 53.975", "sagitta = 539.75")
    page.write_text(text, "utf-8")
    assert cli.main(["positions", f"tour/{SOUNDCHECK}", "--unit", "mm"]) == 1
    out = capsys.readouterr().out
    assert "Front bar, right: its sagitta of 539.75 mm is over half its chord of 812.8 mm" in out
    assert "Tom 2            unknown; see below" in out
    assert "Ride             436 mm right" in out


def test_upside_down_is_said_as_level_is() -> None:
    said = []
    for tilt in (0.5, 179.5):
        values = {"stand.x": 300.0, "stand.y": 500.0, "stand.height": 900.0}
        page = small_page(
            mount("stand", "floor-stand"),
            disc("ride", "stand"),
            values={**values, "stand.turn": 20.0, "stand.tilt": tilt},
        )
        said.append("\n".join(piece_lines(answer_of(page).pieces["ride"], page, "mm")))
    assert "level within 0.5° ±" in said[0]
    assert "upside down within 0.5° ±" in said[1]


def test_what_stands_in_the_way_is_told_apart_from_what_is_open(
    tour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["positions", f"tour/{SOUNDCHECK}", "--faults"]) == 1
    unknown = "  Crash 2          open: crash-2-clamp.rod_spin\n"
    assert capsys.readouterr().out == f"nothing stands in the way\nnot known where:\n{unknown}"
    page = tour / f"{SOUNDCHECK}.toml"
    text = page.read_text("utf-8")
    page.write_text(text.replace("sagitta = 53.975", "sagitta = 539.75"), "utf-8")
    assert cli.main(["positions", f"tour/{SOUNDCHECK}", "--faults"]) == 1
    out = capsys.readouterr().out
    assert out.startswith("part.bar-front-right.curve: Front bar, right: its sagitta")
    assert f"\n\nnot known where:\n  Tom 2            see above\n{unknown}" in out
    assert "  Front bar, right see above\n" in out
    known = text.replace(
        "crash-2-clamp.rod_spin = { open = true", "crash-2-clamp.rod_spin = { read = 0.0"
    )
    page.write_text(known, "utf-8")
    assert cli.main(["positions", f"tour/{SOUNDCHECK}", "--faults"]) == 0
    assert capsys.readouterr().out == "nothing stands in the way; every place is known\n"
    rack = SAMPLE.parent / "fly-rack" / "2026-05-08-collected.toml"
    assert cli.main(["positions", str(rack), "--faults"]) == 1
    whole = "open: post-a.x, post-a.y, post-b.x, post-b.y"
    assert f"  Main bar         {whole}\n" in capsys.readouterr().out


def test_the_drawing_is_a_sheet_to_scale(tour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tour.parent / "rack.svg"
    command = ["draw", f"tour/{FILL_IN}", "--over", f"tour/{SOUNDCHECK}", "--out", str(out)]
    assert cli.main([*command, "--paper", "letter", "--unit", "in"]) == 0
    sheet = ET.fromstring(out.read_text("utf-8"))
    assert sheet.get("width") == "279.4mm"
    said = " ".join(text.strip() for text in sheet.itertext())
    for words in ("From above", "From the front (audience side)", "Front bar, left", "Tom 1"):
        assert words in said
    assert "Check with a tape before you build or hang anything." in said
    assert cli.main(["draw", f"tour/{SOUNDCHECK}", "--view", "above"]) == 0
    alone = capsys.readouterr().out
    assert "From above" in alone
    assert "From the player" not in alone
    ET.fromstring(alone)


def test_a_pipe_is_written_into_and_stays_a_pipe(tour: Path) -> None:
    pipe = tour.parent / "pipe"
    os.mkfifo(pipe)
    read = threading.Thread(target=lambda: got.append(pipe.read_text("utf-8")))
    got: list[str] = []
    read.start()
    assert cli.main(["draw", f"tour/{SOUNDCHECK}", "--view", "above", "--out", str(pipe)]) == 0
    read.join(20)
    assert pipe.is_fifo()
    ET.fromstring(got[0])


def test_a_drawing_that_cannot_be_written_is_said(
    tour: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert cli.main(["draw", f"tour/{SOUNDCHECK}", "--out", "nowhere/rack.svg"]) == 2
    said = capsys.readouterr().err
    assert "nowhere/rack.svg: there is no folder nowhere" in said
    assert cli.main(["draw", f"tour/{SOUNDCHECK}", "--out", "tour"]) == 2
    said = capsys.readouterr().err
    assert "tour: it is a folder" in said
    assert "name a file in it: --out tour/rack.svg" in said

    def full(part: Path, _target: Path) -> Path:
        raise OSError(28, "No space left on device", str(part))

    with monkeypatch.context() as disk:
        disk.setattr(Path, "replace", full)
        assert cli.main(["draw", f"tour/{SOUNDCHECK}", "--out", "rack.svg"]) == 2
    assert capsys.readouterr().err.endswith("No space left on device: rack.svg\n")
    assert not list(tour.parent.glob("*.part"))
    assert cli.main(["draw", "tour/2020-01-01"]) == 2
    assert "no page, night or home" in capsys.readouterr().err
