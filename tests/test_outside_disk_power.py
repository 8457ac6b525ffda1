"""The power goes while a page is saved: what was said to be saved is there when it comes back.

Source: the file systems' own shutdown, which throws away what is not on the disk; see power.py.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from pathlib import Path
from random import Random

import pytest

from tests.killing import tidy_up
from tests.saving import version, write_versions
from tests.test_model_save_killed import number_of_version

CUTS = 100


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has a power to cut")
@pytest.mark.parametrize("kind", ["ext4", "xfs"])
def test_a_power_cut_takes_nothing_that_was_said_to_be_saved(
    tmp_path: Path, kind: str, capsys: pytest.CaptureFixture[str]
) -> None:
    from tests.power import PowerDisk, cut_a_writer

    disk, rng, became = PowerDisk(kind, tmp_path), Random(5), Counter[str]()
    page = disk.place / "page.toml"
    page.write_text(version(0), "utf-8")
    number = told_in_all = torn = lost = 0
    try:
        os.sync()
        for _ in range(CUTS):
            told = cut_a_writer(disk, page, write_versions, number + 1, rng)
            found = number_of_version(page.read_text("utf-8"))
            torn += found is None
            lost += found is not None and found < told
            told_in_all += told - number
            number = told if found is None else found
            became += tidy_up(page, number_of_version)
    finally:
        disk.unmount()
    with capsys.disabled():
        left = ", ".join(f"{n} {what}" for what, n in sorted(became.items())) or "none"
        print(f"\n  {CUTS} power cuts, {kind}: {told_in_all} saves told, {torn} torn, ", end="")
        print(f"{lost} lost; unfinished files: {left}", end="")
    assert (torn, lost) == (0, 0)
    assert told_in_all > CUTS
