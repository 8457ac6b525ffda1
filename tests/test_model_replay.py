"""Readings that the book refuses: safe in the journal, and in the book as soon as it takes them."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import time
from pathlib import Path
from random import Random

import pytest

from model.book.edits import ClosedEdit, CrewNoteEdit
from model.book.history import past_changes
from model.book.journaled import changes_of
from model.book.page_file import PageFile, open_page
from model.book.recording import record
from model.book.replay import lines_of, replay
from model.disk.journal import Journal
from model.disk.journal_lines import Change
from model.errors import CannotDo, NotConfirmed, NotSaved
from tests.journals import full, journal_in, night, on_disk, read, reading
from tests.sizes import examples

KEY, OTHER = "clamp-l.height", "clamp-r.height"


def test_a_reading_that_is_saved_waits_for_nothing(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    file = read(file, journal, KEY, 800.0)
    assert file.held is None
    assert [line.fate for line in journal.read(file.id).lines] == ["saved"]
    again = replay(open_page(file.path), journal)
    assert (again.recorded, again.stay, again.file.text) == ((), (), file.text)


def test_a_full_disk_keeps_readings_and_they_go_in_with_the_next_that_it_takes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    before = file.path.read_bytes()
    with monkeypatch.context() as disk:
        full(disk)
        file = read(file, journal, KEY, 800.0)
        file = read(file, journal, OTHER, 810.0)
        assert file.held is not None
        assert len(file.held.ids) == 2
        assert file.held.problem.what == "no space left on device"
        assert file.held.where == journal.path_of(file.id)
        assert file.page.setting(KEY).value == 800.0
        assert file.path.read_bytes() == before
    file = read(file, journal, "bar.bow", 1.5)
    assert file.held is None
    page = open_page(file.path).page
    assert [page.setting(key).value for key in (KEY, OTHER, "bar.bow")] == [800.0, 810.0, 1.5]
    assert journal.read(file.id).waiting == ()


def test_what_waits_is_recorded_when_the_page_is_opened_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(read(file, journal, KEY, 800.0), journal, OTHER, 810.0)
        still = replay(open_page(file.path), journal)
        assert still.file.held is not None
        assert still.file.page.setting(KEY).value == 800.0
    done = replay(open_page(file.path), journal)
    assert done.file.held is None
    assert [line.what for line in done.recorded] == [f"{KEY} read", f"{OTHER} read"]
    assert on_disk(file, KEY).value == 800.0
    assert replay(open_page(file.path), journal).recorded == ()


def test_a_folder_that_is_unplugged_is_as_a_full_one(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    away = tmp_path / "away"
    file.path.parent.rename(away)
    file = read(file, journal, KEY, 800.0)
    assert file.held is not None
    file.path.parent.mkdir()  # the place where it was plugged in, with nothing there
    file = read(file, journal, OTHER, 810.0)
    assert file.held is not None
    assert file.held.problem.code == "gone"
    for left in file.path.parent.iterdir():
        left.unlink()
    file.path.parent.rmdir()
    away.rename(file.path.parent)
    replay(open_page(file.path), journal)
    assert (on_disk(file, KEY).value, on_disk(file, OTHER).value) == (800.0, 810.0)


def test_an_undo_that_waits_is_replayed_as_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    before = file.page.setting(KEY)
    with monkeypatch.context() as disk:
        full(disk)
        edit = reading(file, KEY, 800.0)
        inverse = edit.undone_on(file.page)
        after = record(file, edit, journal, "read")
        record(after, inverse, journal, "read", "undo")
    done = replay(open_page(file.path), journal)
    assert on_disk(file, KEY) == before
    assert done.recorded == ()
    assert journal.read(file.id).waiting == ()


def test_what_someone_else_changed_meanwhile_is_not_gone_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(read(file, journal, KEY, 800.0), journal, OTHER, 810.0)
    read(open_page(file.path), None, KEY, 799.0)
    done = replay(open_page(file.path), journal)
    assert [line.what for line in done.recorded] == [f"{OTHER} read"]
    assert [line.what for line in done.stay] == [f"{KEY} read"]
    assert (on_disk(file, KEY).value, on_disk(file, OTHER).value) == (799.0, 810.0)
    assert [line.what for line in journal.read(file.id).waiting] == [f"{KEY} read"]


def test_a_page_that_was_closed_meanwhile_takes_nothing_by_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 800.0)
    closed = record(open_page(file.path), ClosedEdit(closed=True))
    before = file.path.read_bytes()
    done = replay(open_page(file.path), journal)
    assert (done.recorded, len(done.stay)) == ((), 1)
    assert file.path.read_bytes() == before
    with pytest.raises(CannotDo):
        read(closed, journal, OTHER, 810.0)
    record(closed, ClosedEdit(closed=False))
    replay(open_page(file.path), journal)
    assert on_disk(file, KEY).value == 800.0


def test_closing_that_waits_comes_after_the_readings_before_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        after = read(file, journal, KEY, 800.0)
        after = record(after, CrewNoteEdit("AK", "full"), journal, "note")
        record(after, ClosedEdit(closed=True), journal, "closed")
    replay(open_page(file.path), journal)
    page = open_page(file.path).page
    assert page.head.closed
    assert page.setting(KEY).value == 800.0
    assert dict(page.crew)["AK"] == "full"


def test_what_was_not_confirmed_is_looked_at_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    before = file.path.read_bytes()
    with monkeypatch.context() as disk:
        disk.setattr("model.disk.save.flush_folder", _refuse)
        with pytest.raises(NotConfirmed):
            read(file, journal, KEY, 800.0)
    assert len(journal.read(file.id).waiting) == 1
    file.path.write_bytes(before)  # the power went, and the disk had lied
    replay(open_page(file.path), journal)
    assert on_disk(file, KEY).value == 800.0


def test_an_unconfirmed_reading_that_was_undone_does_not_come_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    before = file.page.setting(KEY)
    with monkeypatch.context() as disk:
        disk.setattr("model.disk.save.flush_folder", _refuse)
        with pytest.raises(NotConfirmed):
            read(file, journal, KEY, 800.0)
    there = open_page(file.path)
    record(there, reading(file, KEY, 800.0).undone_on(file.page), journal, "read", "undo")
    assert on_disk(file, KEY) == before
    done = replay(open_page(file.path), journal)
    assert (done.recorded, done.stay) == ((), ())
    assert on_disk(file, KEY) == before


def test_a_disk_and_a_journal_that_both_refuse_leave_what_was_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    (tmp_path / "journal").write_text("no folder")
    full(monkeypatch)
    with pytest.raises(NotSaved, match="no space left on device"):
        read(file, journal, KEY, 800.0)


def test_a_journal_that_refuses_keeps_nobody_from_saving(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    (tmp_path / "journal").write_text("no folder")
    file = read(file, journal, KEY, 800.0)
    assert file.held is None
    assert on_disk(file, KEY).value == 800.0


def _refuse(*_args: object) -> None:
    raise OSError(errno.EIO, os.strerror(errno.EIO))


def _both_after(number: int) -> tuple[float, float]:
    """Return what both settings say once that number was read: even ones go to the first."""
    return float(number - number % 2), float(number - 1 + number % 2)


def _night_of_keys(path: Path, journal: Journal, number: int, said: int) -> None:
    """Read one setting after the other for ever; say each number once it is safe."""
    file = open_page(path)
    while True:
        number += 1
        file = read(file, journal, (KEY, OTHER)[number % 2], float(number))
        os.write(said, f"{number}\n".encode())


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_a_program_killed_at_any_moment_has_every_reading_that_it_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rng, kills, told_in_all, replayed = Random(5), examples(30, 1000), 0, 0
    file, journal = night(tmp_path)
    read(read(file, journal, OTHER, 1.0), journal, KEY, 2.0)
    last = 2
    for _ in range(kills):
        out, into = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                _night_of_keys(file.path, journal, last, into)
            finally:
                os._exit(1)
        os.close(into)
        time.sleep(rng.uniform(0.01, 0.08))
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WIFSIGNALED(status)
        with os.fdopen(out, "rb") as told:
            numbers = [int(word) for word in told.read().split()]
        done = replay(open_page(file.path), journal)
        assert (done.stay, done.file.held) == ((), None)
        told_in_all, replayed = told_in_all + len(numbers), replayed + len(done.recorded)
        last = max(numbers, default=last)
        now = on_disk(file, KEY).value, on_disk(file, OTHER).value
        assert now in (_both_after(last), _both_after(last + 1))
        last = int(max(now))
    with capsys.disabled():
        words = f"{kills} kills: {told_in_all} readings told, 0 lost, {replayed} from the journal"
        print(f"\n  {words}", end="")


def undoable(file: PageFile, journal: Journal) -> list[str]:
    """Return what can be undone of a page, last one last."""
    return [past.what for past in past_changes(file.page, lines_of(file, journal))[0]]


def test_what_was_changed_last_can_be_undone_after_a_restart(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    first = file.page
    for key, value in ((KEY, 800.0), (OTHER, 810.0), (KEY, 801.0)):
        file = read(file, journal, key, value)
    page = open_page(file.path).page
    done, undone = past_changes(page, journal.read(file.id).lines)
    assert [past.what for past in done] == [f"{KEY} read", f"{OTHER} read", f"{KEY} read"]
    assert undone == ()
    for past in reversed(done):
        file = record(file, past.inverse, journal, past.what, "undo")
    assert open_page(file.path).page == first
    done, undone = past_changes(first, journal.read(file.id).lines)
    assert done == ()
    assert len(undone) == 3
    for past in reversed(undone):
        file = record(file, past.edit, journal, past.what, "redo")
    assert open_page(file.path).page == page


def test_what_someone_else_went_over_ends_what_can_be_undone(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    for key, value in ((KEY, 800.0), (OTHER, 810.0), ("bar.bow", 1.0)):
        file = read(file, journal, key, value)
    file = read(file, None, OTHER, 811.0)  # with another program
    assert undoable(file, journal) == ["bar.bow read"]
    file = record(file, ClosedEdit(closed=True), journal, "closed")
    assert undoable(file, journal) == []


def test_the_journal_says_what_the_page_said_before_and_after(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    (change,) = changes_of(reading(file, KEY, 800.0), file.page)
    assert change.path == ("record", "clamp-l", "height")
    assert change.before.startswith("{ carried = 812.8")
    assert change.after == '{ read = 800.0, using = "tape", by = "AK" }'
    assert journal_in(tmp_path).read(file.id).lines == ()


def waits(file: PageFile, journal: Journal) -> list[str]:
    """Return what waits of a page."""
    return [line.what for line in lines_of(file, journal) if line.fate == "waiting"]


def test_a_page_that_is_written_while_it_is_replayed_loses_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 800.0)
    stale = open_page(file.path)
    read(open_page(file.path), None, OTHER, 810.0)
    done = replay(stale, journal)  # what it opened is not what is there any more
    assert (on_disk(file, KEY).value, on_disk(file, OTHER).value) == (800.0, 810.0)
    assert (len(done.recorded), waits(file, journal)) == (1, [])


def test_another_ones_later_reading_does_not_swallow_one_that_waits(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 812.0)
    read(open_page(file.path), journal, KEY, 10.0)  # at another terminal, which knew nothing of it
    done = replay(open_page(file.path), journal)
    assert on_disk(file, KEY).value == 10.0
    assert [line.what for line in done.stay] == [f"{KEY} read"]
    assert waits(file, journal) == [f"{KEY} read"]


def test_a_reading_that_went_over_one_that_waits_knowingly_ends_its_waiting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        file = read(file, journal, KEY, 812.0)
    read(file, journal, KEY, 813.0)
    assert replay(open_page(file.path), journal).stay == ()
    assert (on_disk(file, KEY).value, waits(file, journal)) == (813.0, [])


def test_what_someone_took_from_the_journal_meanwhile_is_not_written_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    before = file.page.setting(KEY)
    with monkeypatch.context() as disk:
        full(disk)
        held = read(file, journal, KEY, 812.0)
    there = replay(open_page(file.path), journal).file  # at another terminal
    record(there, reading(file, KEY, 812.0).undone_on(file.page), journal, "read", "undo")
    assert open_page(file.path).sha256 == file.sha256
    with pytest.raises(NotSaved, match="someone else changed"):
        read(held, journal, OTHER, 810.0)
    assert on_disk(file, KEY) == before


def test_a_book_at_another_place_gets_what_was_noted_at_the_first(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    away, other = tmp_path / "away", tmp_path / "plugged in elsewhere"
    file.path.parent.rename(away)
    file = read(file, journal, KEY, 800.0)
    assert file.held is not None
    away.rename(other)
    done = replay(open_page(other / file.path.name), journal)
    assert [line.what for line in done.recorded] == [f"{KEY} read"]
    assert on_disk(done.file, KEY).value == 800.0
    assert waits(done.file, journal) == []
    assert list(journal.homeless()) == []


def test_a_copy_of_a_book_gets_nothing_that_is_the_firsts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 800.0)
    shutil.copytree(file.path.parent, tmp_path / "copy")
    copy = open_page(tmp_path / "copy" / file.path.name)
    assert replay(copy, journal).recorded == ()
    assert waits(file, journal) == [f"{KEY} read"]


def test_a_new_page_of_an_old_name_gets_nothing_of_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 800.0)
    again = file.text.replace("began = 2025-03-15T17:30:00", "began = 2025-03-15T17:45:00")
    assert again != file.text
    file.path.write_text(again, "utf-8", newline="")
    assert replay(open_page(file.path), journal).recorded == ()
    assert on_disk(file, KEY).state == "carried"
    assert waits(file, journal) == [f"{KEY} read"]


def test_a_link_that_goes_away_with_the_folder_changes_no_journal(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    link = tmp_path / "link"
    link.symlink_to(file.path.parent)
    opened = open_page(link / file.path.name)
    away = tmp_path / "away"
    file.path.parent.rename(away)
    link.unlink()
    held = read(opened, journal, KEY, 800.0)
    assert held.held is not None
    away.rename(file.path.parent)
    replay(open_page(file.path), journal)
    assert on_disk(file, KEY).value == 800.0


def test_a_reading_whose_note_was_not_flushed_does_not_come_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        disk.setattr("model.disk.journal.flush_folder", _refuse)
        with pytest.raises(NotSaved):
            read(file, journal, KEY, 800.0)
    assert replay(open_page(file.path), journal).recorded == ()


def test_a_journal_of_many_notes_is_read_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    page = file.page
    for number in range(900):
        edit = CrewNoteEdit("AK", f"{number} " + "x" * 900)
        journal.note(file.id, "note", "new", changes_of(edit, page))
        page = edit.on_page(page)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 800.0)
    assert journal.path_of(file.id).stat().st_size > 1_000_000
    done = replay(open_page(file.path), journal)
    assert len(done.recorded) == 901
    assert on_disk(file, KEY).value == 800.0


def test_a_journal_that_may_not_be_read_keeps_nobody_from_the_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    file = read(file, journal, KEY, 800.0)

    def forbidden(*_args: object) -> bytes:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(Path, "read_bytes", forbidden)
    assert replay(file, journal).file is file
    assert [told.damaged for _, told in journal.of_folder(file.path.parent)] == [1]


@pytest.mark.parametrize("text", ["[" * 5000, "{ read = ", '"', "{ read = 1.0, note = 3 }"])
def test_a_line_with_a_hostile_value_waits_and_harms_nothing(tmp_path: Path, text: str) -> None:
    file, journal = night(tmp_path)
    change = Change(("record", "clamp-l", "height"), text, text)
    journal.note(file.id, "hostile", "new", [change])
    done = replay(file, journal)
    assert (done.recorded, len(done.stay)) == ((), 1)
    assert past_changes(file.page, lines_of(file, journal)) == ((), ())
