"""The wheel, installed elsewhere: kinds and sample books travel in it, and a sample opens."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.tmux import terminal

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel and install it, without its dependencies, into a folder of its own."""
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet"]
    built = subprocess.run(
        [*pip, "wheel", "--no-deps", "--wheel-dir", str(folder), str(ROOT)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if built.returncode != 0 and "hatchling" in built.stderr and "No matching" in built.stderr:
        pytest.skip("the build tool hatchling cannot be fetched here")
    assert built.returncode == 0, built.stderr
    (wheel,) = folder.glob("*.whl")
    target = folder / "site"
    subprocess.run([*pip, "install", "--no-deps", "--target", str(target), str(wheel)], check=True)
    return target


def test_the_wheel_holds_the_program_its_kinds_and_the_samples(elsewhere: Path) -> None:
    (wheel,) = elsewhere.parent.glob("*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert "model/rig/generic_kinds.toml" in names
    samples = {name.split("/")[1] for name in names if name.startswith("sample_rigs/")}
    assert samples == {"harbour-dance", "pit-percussion", "fly-rack"}
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {
        "model", "tui", "sample_rigs",
    }  # fmt: skip


def test_a_sample_opens_from_the_installed_program(elsewhere: Path, tmp_path: Path) -> None:
    where = subprocess.run(
        [sys.executable, "-c", "import tui, model; print(tui.__file__); print(model.__file__)"],
        capture_output=True, text=True, check=True, cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(elsewhere)},
    )  # fmt: skip
    assert all(line.startswith(str(elsewhere)) for line in where.stdout.splitlines())
    with terminal(tmp_path, PYTHONPATH=str(elsewhere)) as term:
        program = elsewhere / "bin" / "clampbook"
        term.start([sys.executable, str(program), "sample", "harbour-dance"], tmp_path)
        term.wait_for("Harbour dance band")
        term.type("Enter")
        term.wait_for("part and setting")
    assert (tmp_path / "harbour-dance" / "book.toml").is_file()
