"""The journal: what it holds comes back, and a line that was cut off says nothing."""

from __future__ import annotations

import os
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.book.edits import ClosedEdit, CrewNoteEdit, Edit, RemarksEdit, SettingEdit, SettingsEdit
from model.book.journaled import changes_of, edits_of
from model.disk import journal as journal_module
from model.disk.journal import PageId
from model.disk.journal_lines import Change, Line, read_journal, sealed
from model.rig.page import Remarks
from tests.journals import journal_in, night
from tests.sizes import examples
from tests.strategies import pages, settings_for

CHANGES = (Change(("record", "bar", "bow"), "{ open = true }", "{ read = 1.0 }"),)


def test_what_is_noted_comes_back_in_order(tmp_path: Path) -> None:
    page, journal = PageId(tmp_path / "page.toml", "one"), journal_in(tmp_path)
    ids = [journal.note(page, what, "new", CHANGES) for what in ("bow ␛", "spin", "tilt")]
    journal.close(page, ids[:1], "saved")
    journal.close(page, ids[2:], "aside")
    held = journal.read(page)
    assert {line.page for line in held.lines} == {str(page.path)}
    assert {line.of for line in held.lines} == {"one"}
    assert held.damaged == 0
    assert [(line.id, line.what, line.fate) for line in held.lines] == [
        (ids[0], "bow ␛", "saved"),
        (ids[1], "spin", "waiting"),
        (ids[2], "tilt", "aside"),
    ]
    assert [line.at for line in held.lines] == [f"2025-03-15T18:40:0{n}+00:00" for n in range(3)]
    assert all(line.changes == CHANGES for line in held.lines)
    assert [line.what for line in held.waiting] == ["spin"]
    ((found, told),) = journal.of_folder(tmp_path)
    assert (found, told.waiting) == (page.path, held.waiting)


def test_the_journal_is_the_users_own_and_each_page_has_its_own(tmp_path: Path) -> None:
    journal = journal_in(tmp_path)
    for name in ("one.toml", "other.toml"):
        journal.note(PageId(tmp_path / name, ""), name, "new", CHANGES)
    one, other, third = (
        PageId(tmp_path / name, "") for name in ("one.toml", "other.toml", "third.toml")
    )
    assert [line.what for line in journal.read(one).lines] == ["one.toml"]
    assert journal.path_of(one) != journal.path_of(other)
    if os.name == "posix":
        assert journal.path_of(one).stat().st_mode & 0o77 == 0
    assert journal.read(third).lines == ()


def test_a_line_is_on_the_disk_before_its_id_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, journal = PageId(tmp_path / "page.toml", "one"), journal_in(tmp_path)
    flushed: list[str] = []
    fsync = os.fsync

    def flush(handle: int) -> None:
        flushed.append(Path(f"/proc/self/fd/{handle}").readlink().name)
        fsync(handle)

    if not Path("/proc/self/fd").is_dir():
        pytest.skip("this system does not tell which file a handle is of")
    monkeypatch.setattr(os, "fsync", flush)
    journal.note(page, "first", "new", CHANGES)
    name = journal.path_of(page).name
    assert flushed == [name, "journal"]
    journal.note(page, "second", "new", CHANGES)
    assert flushed == [name, "journal", name]


def test_a_journal_cut_off_or_damaged_anywhere_keeps_its_whole_lines(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page, journal = PageId(tmp_path / "page.toml", "one"), journal_in(tmp_path)
    for number in range(6):
        journal.note(page, f"line {number}", "new", CHANGES)
    path, rng = journal.path_of(page), Random(7)
    whole = path.read_bytes()
    lines = {line.what: line for line in journal.read(page).lines}
    tries = examples(400, 20_000)
    for _ in range(tries):
        data = bytearray(whole)
        if rng.random() < 0.5:
            del data[rng.randrange(len(data)) :]
        else:
            data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
        path.write_bytes(data)
        held = journal.read(page)
        assert all(lines[line.what] == line for line in held.lines)
        assert len(held.lines) >= 4 or len(data) < len(whole)
        journal.note(page, "after it", "new", CHANGES)
        assert journal.read(page).lines[-1].what == "after it"
    with capsys.disabled():
        print(f"\n  {tries} damaged journals: 0 wrong lines, 0 tracebacks", end="")


def test_lines_that_are_no_journal_are_counted_and_do_nothing(tmp_path: Path) -> None:
    page, journal = PageId(tmp_path / "page.toml", "one"), journal_in(tmp_path)
    journal.note(page, "whole", "new", CHANGES)
    odd: list[object] = [
        [], {}, {"id": 1}, {"fate": "saved"}, {"fate": "saved", "id": "unknown"}, {"page": 3},
        {"fate": "gone", "id": "x"},
        {"id": "x", "at": "", "what": "", "way": "new", "changes": [{"path": 1}]}, "text", None,
    ]  # fmt: skip
    with journal.path_of(page).open("a") as file:
        for fields in odd:
            file.write(sealed(fields) + "\n")  # type: ignore[arg-type]
        file.write("0 {}\ncut off")
    held = journal.read(page)
    assert [line.what for line in held.lines] == ["whole"]
    tables = sum(isinstance(fields, dict) for fields in odd)
    assert held.damaged == tables + 1
    assert [told.damaged for _, told in journal.of_folder(tmp_path)] == [held.damaged]


def test_the_oldest_saved_lines_go_and_nothing_that_waits(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, journal = PageId(tmp_path / "page.toml", "one"), journal_in(tmp_path)
    monkeypatch.setattr(journal_module, "MOST", 20_000)
    monkeypatch.setattr(journal_module, "STAY", 5)
    waits = journal.note(page, "waits", "new", CHANGES)
    aside = journal.note(page, "aside", "new", CHANGES)
    journal.close(page, [aside], "aside")
    for number in range(200):
        journal.close(page, [journal.note(page, f"line {number}", "new", CHANGES)], "saved")
    held = journal.read(page)
    assert journal.path_of(page).stat().st_size < 20_000 + 1_000
    assert held.damaged == 0
    assert [line.id for line in held.waiting] == [waits]
    assert [line.id for line in held.lines if line.fate == "aside"] == [aside]
    assert held.lines[-1].what == "line 199"
    assert len(held.lines) < 120


def test_a_state_folder_that_takes_nothing_is_said(tmp_path: Path) -> None:
    (tmp_path / "journal").write_text("a file where the folder should be")
    journal = journal_in(tmp_path)
    page = PageId(tmp_path / "page.toml", "")
    with pytest.raises(OSError, match="journal"):
        journal.note(page, "bow", "new", CHANGES)
    journal.close(page, ["x"], "saved")
    assert journal.read(page).lines == ()
    assert list(journal.of_folder(tmp_path)) == []
    assert list(journal.homeless()) == []


def test_every_edit_comes_back_from_its_entries(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    page = file.page
    seen = page.setting("ride-boom.place").model_copy(update={"state": "seen"})
    edits: list[Edit] = [
        SettingEdit("ride-boom.place", seen),
        SettingsEdit((("ride-boom.place", seen), ("bar.bow", page.setting("bar.grip_a")))),
        RemarksEdit("ride-boom", Remarks(note='a "note"\n', photos=("a.jpg", "b 'c'.jpg"))),
        CrewNoteEdit("AK", "to the lip\u2028"),
        ClosedEdit(closed=True),
    ]
    for edit in edits:
        changes = changes_of(edit, page)
        assert edits_of(page, [(held.path, held.after) for held in changes]) == (edit,)
        before = edits_of(page, [(held.path, held.before) for held in changes])
        assert before == (edit.undone_on(page),)
    every = [(held.path, held.after) for edit in edits[1:] for held in changes_of(edit, page)]
    assert edits_of(page, every) == tuple(edits[1:])


@pytest.mark.parametrize(
    "entry",
    [
        (("record", "no-part", "height"), "{ read = 1.0 }"),
        (("record", "bar", "bow"), "{ read = 1.0"),
        (("record", "bar", "bow"), '{ read = "much" }'),
        (("record", "bar", "bow"), "12"),
        (("record", "bar", "note"), "12"),
        (("notes", "AK"), "true"),
        (("closed",), "1"),
        (("part", "bar", "name"), '"Bar"'),
        ((), "1"),
    ],
)
def test_what_does_not_fit_the_page_makes_no_edit(
    tmp_path: Path, entry: tuple[tuple[str, ...], str]
) -> None:
    file, _ = night(tmp_path)
    assert edits_of(file.page, [entry]) is None


@settings(max_examples=examples(60, 2000))
@given(st.data())
def test_any_settings_come_back_from_the_journal(data: st.DataObject) -> None:
    page = data.draw(pages())
    keys = list(page.declared)
    if not keys:
        return
    key = data.draw(st.sampled_from(keys))
    edit = SettingEdit(key, data.draw(settings_for(page.declared[key].quantity)))
    changes = changes_of(edit, page)
    line = Line("id", "at", "what", "new", changes)
    assert read_journal(line.text().encode()).lines == (line,)
    assert edits_of(page, [(held.path, held.after) for held in line.changes]) == (edit,)
