"""Our three ways against the merge that everyone knows: the same conflicts, the same page.

Source: git-merge-file(1), which merges line by line. A page has a setting a line, with a blank line
between, so that lines and settings are the same thing.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from random import Random

import pytest

from model.book.begin import begin_page
from model.book.beside.marks import two_sides
from model.book.beside.merge import begun_base, merge, taking
from model.book.page_file import PageFile, changed, open_page
from model.book.read import parse_page
from model.rig.page import Page
from model.rig.setting import taken
from tests.beginning import START
from tests.merging import Sheet, some_number
from tests.sizes import examples

NUMBERS = ("length", "angle")
DATA = Path(__file__).parent / "data" / "page_two_post.toml"


def page_of(text: str) -> Page:
    read = parse_page(text, "page")
    assert read.page is not None, [problem.text() for problem in read.problems]
    return read.page


def git_merge(folder: Path, here: str, base: str, there: str) -> tuple[str, bool]:
    """Return what git makes of two texts and their base, and whether it was sure of it."""
    for name, text in (("here", here), ("base", base), ("there", there)):
        (folder / name).write_text(text, "utf-8", newline="")
    command = ["git", "merge-file", "-p", "here", "base", "there"]
    done = subprocess.run(command, cwd=folder, capture_output=True, check=False)
    return done.stdout.decode(), done.returncode == 0


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not there")
def test_versions_merge_as_git_does(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = open_page(DATA)
    base_text = begin_page(source, START, (), ())
    base = page_of(base_text)
    assert begun_base(source.page, source.name).record == base.record
    rng, trials = Random(11), examples(200, 5000)
    clean = conflicts = 0
    for _ in range(trials):
        here, there = Sheet.of(base_text), Sheet.of(base_text)
        keys = [key for key in here.settings() if base.declared[key].quantity in NUMBERS]
        for sheet, by in ((here, "AK"), (there, "JM")):
            for key in rng.sample(keys, rng.randint(0, 8)):
                sheet.read(key, some_number(rng), by)
        text, is_clean = git_merge(tmp_path, here.text, base_text, there.text)
        ours = merge(page_of(here.text), page_of(there.text), base)
        assert ours.other == ()
        assert is_clean == (not ours.both)
        if is_clean:
            clean += 1
            got = page_of(here.text)
            for edit in taking(ours.only_there):
                got = edit.on_page(got)
            assert got == page_of(text)
        else:
            conflicts += 1
            sides = two_sides(text)
            assert sides is not None
            one, other = map(page_of, sides)
            assert {key for key, setting in one.record if other.setting(key) != setting} == {
                entry.key for entry in ours.both
            }
    assert clean > trials // 5
    assert conflicts > trials // 5
    with capsys.disabled():
        words = f"{clean} clean merges as git's, {conflicts} conflicts where git has them"
        print(f"\n  {trials} pairs: {words}, 0 otherwise", end="")


def test_what_is_taken_is_written_as_git_writes_it(tmp_path: Path) -> None:
    """The text too: the page with those lines of the other, and not another character."""
    base_text = begin_page(open_page(DATA), START, (), ())
    path = tmp_path / "page.toml"
    path.write_text(base_text, "utf-8", newline="")
    base, rng = open_page(path), Random(3)
    for _ in range(examples(20, 300)):
        here, there = base, base
        keys = rng.sample(sorted(base.page.declared), 8)
        for key in keys[:4]:
            here = _with(here, key, rng, "AK")
        for key in keys[4:]:
            there = _with(there, key, rng, "JM")
        got = here
        for edit in taking(merge(here.page, there.page, base.page).only_there):
            got = changed(got, edit)
        text, is_clean = git_merge(tmp_path, here.text, base.text, there.text)
        assert is_clean
        assert got.text == text


def _with(file: PageFile, key: str, rng: Random, by: str) -> PageFile:
    from model.book.edits import SettingEdit

    declared = file.page.declared[key]
    value: float | int | str = round(rng.uniform(0, 900), 1)
    if declared.quantity == "teeth":
        value = rng.randrange(20)
    if declared.quantity == "word":
        value = f"word {rng.randrange(99)}"
    return changed(file, SettingEdit(key, taken(file.page.setting(key), value, by=by)))
