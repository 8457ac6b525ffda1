"""git itself merges two people's pages: clean and right, or a conflict where there is one.

Source of the judgement: ``git merge-file`` and ``git merge``; values are compared by the standard
library's tomllib, with none of the product's code. 200 random trials a case on the golden page; on
the large sample page 20, and 200 in a long run.
"""

from __future__ import annotations

import shutil
import subprocess
import tomllib
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from model.book.edits import SettingEdit
from model.book.page_file import open_page
from model.book.read import parse_page
from model.book.recording import record
from model.rig.setting import taken
from tests.merging import Sheet, expected, leaves, merged, some_number
from tests.sizes import examples


def trials(page: str) -> int:
    """Return how many trials a case gets: the large page fewer, except in a long run."""
    return 200 if page == "two posts" else examples(20, 200)


ROOT = Path(__file__).parent.parent
PAGES = {
    "two posts": ROOT / "tests" / "data" / "page_two_post.toml",
    "harbour": ROOT / "sample_rigs" / "harbour-dance" / "2026-04-04-soundcheck.toml",
}
CREWS = {"two posts": ("AK", "JM"), "harbour": ("KD", "MO")}
Case = Callable[[Sheet, Sheet, Random, tuple[str, str]], None]


def different(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    for sheet, key, by in zip((a, b), rng.sample(a.settings(), 2), crew, strict=True):
        sheet.read(key, some_number(rng), by)


def neighbours(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    keys = a.settings()
    at = rng.randrange(len(keys) - 1)
    a.read(keys[at], some_number(rng), crew[0])
    b.read(keys[at + 1], some_number(rng), crew[1])


def all_dealt(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    for key in a.settings():
        which = rng.randrange(2)
        (a, b)[which].read(key, some_number(rng), crew[which])


def notes_and_photos(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    owners = sorted({line.split(".note", 1)[0] for line in a.lines if ".note = " in line})
    one, two = rng.sample(owners, 2)
    a.put(f"{one}.note", f'"stiff # {rng.random()}"')
    a.put(f"{two}.photos", f'["{two}-{rng.randrange(99)}.jpg"]')
    b.put(f"{two}.note", '"say \\"left\\""')
    b.put(f"{one}.photos", f'["{one}.jpg"]')


def crew_notes(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    a.put(crew[0], f'"first {rng.random()}"')
    b.put(crew[1], f'"second {rng.random()}"')


def closing_and_reading(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    a.put("closed", "true")
    b.read(rng.choice(b.settings()), some_number(rng), crew[1])


def rename_and_reading(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    names = [i for i, line in enumerate(a.lines) if line.startswith("name = ")]
    a.lines[rng.choice(names)] = f'name = "Renamed {rng.randrange(999)}"'
    b.read(rng.choice(b.settings()), some_number(rng), crew[1])


def mounts_by_two(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    on = rng.choice([line[6:-1] for line in a.lines if line.startswith("[part.")])
    a.add_mount(crew[0], f"arm-{rng.randrange(9999):04}a", on)
    b.add_mount(crew[1], f"arm-{rng.randrange(9999):04}b", on)


def twenty_notes_and_a_mount(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    keys = rng.sample(a.settings(), 40)
    for which, sheet in enumerate((a, b)):
        for key in keys[which::2]:
            sheet.read(key, some_number(rng), crew[which])
        sheet.put(crew[which], f'"note {rng.random()}"')
    mounts_by_two(a, b, rng, crew)


CLEAN: list[Case] = [
    different, neighbours, all_dealt, notes_and_photos, crew_notes, closing_and_reading,
    rename_and_reading, mounts_by_two, twenty_notes_and_a_mount,
]  # fmt: skip


def same_setting(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    key, number = rng.choice(a.settings()), some_number(rng)
    a.read(key, number, crew[0])
    b.read(key, number + 1.0, crew[1])


def same_note(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    a.put(crew[0], '"one"')
    b.put(crew[0], '"other"')


def removed_and_recorded(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    key = rng.choice(a.settings())
    (index,) = [i for i, line in enumerate(a.lines) if line.startswith(f"{key} = ")]
    del a.lines[index : index + 2]
    b.read(key, some_number(rng), crew[1])


CONFLICTS: list[Case] = [same_setting, same_note, removed_and_recorded]


def with_crew_lines(text: str, crew: tuple[str, str]) -> str:
    """Return the page with both crew members' notes emptied, as one that was just begun."""
    sheet = Sheet.of(text)
    for name in crew:
        sheet.put(name, '""')
    sheet.put("closed", "false")
    assert sum(line.startswith("# added on this page by ") for line in sheet.lines) == 4
    return sheet.text


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("case", CLEAN, ids=lambda case: case.__name__)
def test_what_two_people_record_merges_clean_and_right(
    tmp_path: Path, page: str, case: Case, capsys: pytest.CaptureFixture[str]
) -> None:
    base = with_crew_lines(PAGES[page].read_text("utf-8"), CREWS[page])
    right = 0
    for trial in range(trials(page)):
        rng = Random(f"{case.__name__} {trial}")
        a, b = Sheet.of(base), Sheet.of(base)
        case(a, b, rng, CREWS[page])
        assert a.text != base
        assert b.text != base
        conflicts, text = merged(tmp_path, base, a.text, b.text)
        assert conflicts == 0, f"trial {trial}"
        assert leaves(tomllib.loads(text)) == expected(base, a.text, b.text), f"trial {trial}"
        right += 1
    with capsys.disabled():
        print(f"\n  {case.__name__}, {page}: {right} of {trials(page)} clean and right", end="")


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("case", CONFLICTS, ids=lambda case: case.__name__)
def test_what_cannot_both_be_true_is_a_conflict(
    tmp_path: Path, page: str, case: Case, capsys: pytest.CaptureFixture[str]
) -> None:
    base = with_crew_lines(PAGES[page].read_text("utf-8"), CREWS[page])
    told = 0
    for trial in range(trials(page)):
        a, b = Sheet.of(base), Sheet.of(base)
        case(a, b, Random(f"{case.__name__} {trial}"), CREWS[page])
        told += merged(tmp_path, base, a.text, b.text)[0] > 0
    assert told == trials(page)
    with capsys.disabled():
        print(f"\n  {case.__name__}, {page}: {told} of {trials(page)} conflict", end="")


def git(folder: Path, *words: str, check: bool = True) -> subprocess.CompletedProcess[str]:
    who = ["-c", "user.name=crew", "-c", "user.email=crew@example.org", "-c", "commit.gpgsign=0"]
    return subprocess.run(
        ["git", *who, *words], cwd=folder, capture_output=True, text=True, check=check
    )


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    git(tmp_path, "init", "-q", "-b", "main")
    shutil.copy(PAGES["two posts"], tmp_path / "page.toml")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-qm", "soundcheck")
    return tmp_path


def anything(a: Sheet, b: Sheet, rng: Random, crew: tuple[str, str]) -> None:
    """Each does a few things of any sort, often where the other does one too."""
    keys = rng.sample(a.settings(), 8)
    for which, sheet in enumerate((a, b)):
        for _ in range(rng.randrange(1, 5)):
            by, key = crew[which], rng.choice(keys)
            match rng.randrange(7):
                case 0:
                    _remove(sheet, key)
                case 1:
                    sheet.put(rng.choice(crew), f'"note {rng.randrange(4)}"')
                case 2:
                    sheet.put("closed", rng.choice(("true", "false")))
                case 3:
                    sheet.add_mount(by, f"arm-{rng.randrange(9999):04}{by.lower()}", "floor")
                case _ if any(line.startswith(f"{key} = ") for line in sheet.lines):
                    sheet.read(key, rng.choice((1.0, 2.0, some_number(rng))), by)
        if sheet.text == a.text == b.text:
            sheet.read(sheet.settings()[0], some_number(rng), crew[which])


def _remove(sheet: Sheet, key: str) -> None:
    found = [i for i, line in enumerate(sheet.lines) if line.startswith(f"{key} = ")]
    if found:
        del sheet.lines[found[0] : found[0] + 2]


def clash(base: str, ours: str, theirs: str) -> bool:
    """Tell whether the two changed one and the same thing, and not in the same way."""
    old, a, b = (leaves(tomllib.loads(text)) for text in (base, ours, theirs))
    changed = [
        {p for p in old.keys() | side.keys() if old.get(p) != side.get(p)} for side in (a, b)
    ]
    return any(a.get(path) != b.get(path) for path in changed[0] & changed[1])


@pytest.mark.parametrize("page", PAGES)
def test_no_merge_of_anything_is_wrong_in_silence(
    tmp_path: Path, page: str, capsys: pytest.CaptureFixture[str]
) -> None:
    base = with_crew_lines(PAGES[page].read_text("utf-8"), CREWS[page])
    clean = told = 0
    for trial in range(trials(page)):
        a, b = Sheet.of(base), Sheet.of(base)
        anything(a, b, Random(f"anything {trial}"), CREWS[page])
        conflicts, text = merged(tmp_path, base, a.text, b.text)
        if conflicts:
            told += 1
            continue
        clean += 1
        assert not clash(base, a.text, b.text), f"trial {trial}: two versions became one"
        assert leaves(tomllib.loads(text)) == expected(base, a.text, b.text), f"trial {trial}"
    assert min(clean, told) > trials(page) / 10
    with capsys.disabled():
        print(f"\n  anything, {page}: {clean} clean and right, {told} conflict, 0 wrong", end="")


def test_real_merges(repository: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Branches, commits and ``git merge``: clean and right, or stopped with both versions shown."""
    page, crew = repository / "page.toml", CREWS["two posts"]
    base = with_crew_lines(page.read_text("utf-8"), crew)
    page.write_text(base, "utf-8")
    git(repository, "commit", "-aqm", "emptied")
    clean = told = 0
    plan = [(case, examples(5, 50)) for case in CLEAN] + [(anything, examples(11, 100))]
    plan += [(case, examples(3, 30)) for case in CONFLICTS]
    for case, count in plan:
        for trial in range(count):
            a, b = Sheet.of(base), Sheet.of(base)
            case(a, b, Random(f"real {case.__name__} {trial}"), crew)
            for name, sheet in (("ours", a), ("theirs", b)):
                git(repository, "checkout", "-q", "-f", "-B", name, "main")
                page.write_text(sheet.text, "utf-8")
                git(repository, "commit", "-aqm", name, "--allow-empty")
            is_clean = git(repository, "merge", "-q", "ours", check=False).returncode == 0
            text = page.read_text("utf-8")
            clean, told = clean + is_clean, told + (not is_clean)
            if not is_clean:
                assert case not in CLEAN, f"{case.__name__} {trial}"
                assert text.count("<<<<<<< ") == text.count(">>>>>>> ") > 0
                assert parse_page(text).page is None, "a page with two versions in it was opened"
                git(repository, "merge", "--abort")
                continue
            assert case not in CONFLICTS, f"{case.__name__} {trial}"
            assert not clash(base, a.text, b.text), f"{case.__name__} {trial}"
            assert leaves(tomllib.loads(text)) == expected(base, a.text, b.text)
    assert clean >= 45
    assert told >= 9
    with capsys.disabled():
        print(
            f"\n  {clean + told} real merges: {clean} clean and right, {told} conflict, 0 wrong",
            end="",
        )


def test_git_diff_after_one_reading_shows_one_changed_line(repository: Path) -> None:
    file = open_page(repository / "page.toml")
    setting = taken(file.page.setting("clamp-r.height"), 815.0, using="tape", by="AK")
    record(file, SettingEdit("clamp-r.height", setting))
    assert git(repository, "diff", "--numstat").stdout.split()[:2] == ["1", "1"]
    shown = git(repository, "diff", "-U0").stdout.splitlines()
    changed = [line for line in shown if line[:1] in "+-" and line[:3] not in ("+++", "---")]
    assert changed == [
        '-clamp-r.height = { read = 817.5625, using = "tape", by = "JM" }',
        '+clamp-r.height = { read = 815.0, using = "tape", by = "AK" }',
    ]
