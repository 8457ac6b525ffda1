"""What lies beside a book's pages: found, held against the page, taken from, and never deleted."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from model.book.beside.merge import merge
from model.book.beside.quick import beside_count
from model.book.beside.recover import give_back, put_aside, take, take_entries
from model.book.beside.versions import Version, versions
from model.book.edits import ClosedEdit, CrewNoteEdit, RemarksEdit
from model.book.heads import list_book
from model.book.page_file import PageFile, open_page
from model.book.recording import record
from model.disk.guard import hash_of
from model.disk.journal import Journal
from model.disk.leftovers import KEPT, SETTLED, temp_name
from model.errors import CannotDo
from model.rig.page import Remarks
from tests.journals import full, night, on_disk, read
from tests.rack_stage import FIRST, SECOND

KEY, OTHER, THIRD = "clamp-l.height", "clamp-r.height", "bar.bow"


def texts_of(folder: Path) -> set[bytes]:
    """Return what every file of a folder holds, wherever in it."""
    return {path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def second_version(file: PageFile, name: str = f"{SECOND} (laptop).toml") -> PageFile:
    """Put a copy beside a page, as a file service does."""
    path = file.path.with_name(name)
    shutil.copy(file.path, path)
    return open_page(path)


def found(folder: Path, journal: Journal | None = None) -> tuple[Version, ...]:
    return versions(list_book(folder), journal)


NAMES = [
    f"{SECOND} (a laptop's version 2025-03-16).toml",
    f"{SECOND}.other-version-20250316-0102.toml",
    f"{SECOND}-stage-laptop.toml",
    f"{SECOND} 2.toml",
    f"{SECOND}~1.toml",
]


@pytest.mark.parametrize("name", NAMES)
def test_a_second_version_is_no_night(tmp_path: Path, name: str) -> None:
    file, _ = night(tmp_path)
    copy = second_version(file, name)
    listing = list_book(tmp_path / "tour")
    assert [page.name for page in listing.pages] == [FIRST, SECOND]
    assert [(head.path, of) for head, of in listing.copies] == [(copy.path, SECOND)]
    last, named = listing.last(), listing.named(copy.path.stem)
    assert last is not None
    assert named is not None
    assert last.name == SECOND
    assert len(listing.nights()) == 2


def test_a_page_of_another_moment_or_rig_is_a_page(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    for old, new, name in (
        ('moment = "soundcheck"', 'moment = "soundcheck 2"', f"{SECOND}-2"),
        ('rig = "', 'rig = "Other ', f"{SECOND}-other"),
    ):
        assert old in file.text
        file.path.with_name(f"{name}.toml").write_text(file.text.replace(old, new), "utf-8")
    listing = list_book(tmp_path / "tour")
    assert len(listing.pages) == 4
    assert listing.copies == ()


def test_two_pages_begun_apart_are_told_with_their_common_base(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    copy = second_version(file)
    file = read(file, None, KEY, 800.0)
    file = read(file, None, THIRD, 1.0)
    copy = read(copy, None, OTHER, 810.0)
    copy = read(copy, None, THIRD, 2.0)
    (version,) = found(tmp_path / "tour")
    assert (version.sort, version.page, version.base) == ("copy", file.path, FIRST)
    assert version.merge is not None
    assert [entry.key for entry in version.merge.only_there] == [OTHER]
    assert [entry.key for entry in version.merge.both] == [THIRD]
    assert beside_count(list_book(tmp_path / "tour"), journal) == 1

    before = texts_of(tmp_path / "tour")
    done = take(version, (), journal)
    assert (len(done.taken), len(done.left), done.settled) == (1, 1, False)
    assert (on_disk(file, KEY).value, on_disk(file, OTHER).value) == (800.0, 810.0)
    assert on_disk(file, THIRD).value == 1.0
    (version,) = found(tmp_path / "tour")
    done = take(version, (THIRD,), journal)
    assert done.settled
    assert on_disk(file, THIRD).value == 2.0
    assert found(tmp_path / "tour") == ()
    assert beside_count(list_book(tmp_path / "tour"), journal) == 0
    assert copy.text.encode() in texts_of(tmp_path / "tour") & before
    assert (tmp_path / "tour" / KEPT / SETTLED / copy.path.name).is_file()


def test_a_reading_that_was_opened_again_on_one_side_is_known_by_the_base(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    here = file.page
    opened = here.with_setting(KEY, here.setting(KEY).model_copy(
        update={"state": "open", "value": None, "page": None, "using": None, "by": None}
    ))  # fmt: skip
    assert merge(here, opened).only_there == ()
    assert [entry.key for entry in merge(here, opened, here).only_there] == [KEY]
    assert merge(opened, here, here).is_same


def test_notes_and_photos_are_taken_and_what_is_else_is_told(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    copy = second_version(file)
    copy = record(copy, RemarksEdit("bar", Remarks(note="bent", photos=("a.jpg",))))
    copy = record(copy, CrewNoteEdit("AK", "late"))
    copy.path.write_text(copy.text.replace('venue = "Corn Hall"', 'venue = "Corn Exchange"'))
    (version,) = found(tmp_path / "tour")
    assert version.merge is not None
    assert version.merge.other == ("the house is Corn Exchange there",)
    done = take(version, (), None)
    assert {entry.key for entry in done.taken} == {"bar.note", "notes.AK"}
    assert not done.settled
    page = open_page(file.path).page
    assert page.notes_on["bar"] == Remarks(note="bent", photos=("a.jpg",))
    assert dict(page.crew)["AK"] == "late"


def test_some_entries_are_taken_alone(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    copy = second_version(file)
    read(read(copy, None, KEY, 1.0), None, OTHER, 2.0)
    (version,) = found(tmp_path / "tour")
    assert version.merge is not None
    done = take_entries(version, version.merge.only_there[:1], None)
    assert [entry.key for entry in done.left] == [version.merge.only_there[1].key]
    assert not done.settled


def test_what_is_not_asked_or_cannot_be_is_refused(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    copy = read(second_version(file), None, KEY, 1.0)
    (version,) = found(tmp_path / "tour")
    with pytest.raises(CannotDo, match="not among what both say differently"):
        take(version, (OTHER,), None)
    record(file, ClosedEdit(closed=True))
    with pytest.raises(CannotDo, match="closed for the show"):
        take(version, (), None)
    copy.path.write_text("no page = ")
    assert list_book(tmp_path / "tour").copies == ()  # it is told with what cannot be read
    assert len(list_book(tmp_path / "tour").unreadable) == 1


def cut_off(file: PageFile, text: str, made: str | None = None) -> Path:
    """Leave an unfinished file behind, as a save that was cut off does."""
    name = temp_name(file.path.name, hash_of((made or text).encode()), file.sha256)
    path = file.path.with_name(name)
    path.write_text(text, "utf-8", newline="")
    return path


def test_what_a_cut_off_save_left_is_offered(tmp_path: Path) -> None:
    file, journal = night(tmp_path)
    ahead = read(replace(file, path=_elsewhere(file, tmp_path)), None, KEY, 800.0)
    cut_off(file, ahead.text)
    half = ahead.text[: ahead.text.index("[record]")] + "[record]\n"
    cut_off(file, half, made=ahead.text)
    assert beside_count(list_book(tmp_path / "tour"), journal) == 2
    sorts = {version.sort: version for version in found(tmp_path / "tour")}
    assert set(sorts) == {"kept", "displaced"}
    take(sorts["kept"], (), journal)
    assert on_disk(file, KEY).value == 800.0
    assert ahead.text.encode() in texts_of(tmp_path / "tour" / KEPT)
    assert half.encode() in texts_of(tmp_path / "tour" / KEPT)


def _elsewhere(file: PageFile, folder: Path) -> Path:
    path = folder / "elsewhere.toml"
    shutil.copy(file.path, path)
    return path


def test_a_leftover_that_says_nothing_more_is_put_aside_by_itself(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    cut_off(file, f"# someone's comment\n{file.text}")
    assert found(tmp_path / "tour") == ()
    (kept,) = (tmp_path / "tour" / KEPT / SETTLED).iterdir()
    assert kept.read_text("utf-8").startswith("# someone's comment")


def test_a_leftover_of_a_page_that_is_gone_becomes_that_page(tmp_path: Path) -> None:
    file, _ = night(tmp_path)
    cut_off(file, file.text, made="another")
    file.path.unlink()
    (version,) = found(tmp_path / "tour")
    assert version.merge is None
    assert version.problem is not None
    assert give_back(version).page == file.page
    assert found(tmp_path / "tour") == ()
    with pytest.raises(CannotDo, match="is there"):
        give_back(replace(version, path=file.path))


@pytest.mark.parametrize("name", ["book.toml", f"{SECOND}.putback"])
def test_a_leftover_of_another_file_is_told(tmp_path: Path, name: str) -> None:
    file, _ = night(tmp_path)
    (file.path.parent / name).touch()
    path = file.path.with_name(temp_name(name, "a" * 8, "b" * 8))
    path.write_text("something")
    (version,) = found(tmp_path / "tour")
    assert version.problem is not None
    assert "is no page" in version.problem.what
    with pytest.raises(CannotDo, match="nothing can be taken"):
        take(version, (), None)
    put_aside(version, None)
    assert found(tmp_path / "tour") == ()
    assert b"something" in texts_of(tmp_path / "tour")


def test_what_the_disk_refused_and_the_page_says_otherwise_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(read(file, journal, KEY, 800.0), journal, OTHER, 810.0)
    read(open_page(file.path), None, KEY, 799.0)
    (version,) = found(tmp_path / "tour", journal)
    assert version.sort == "waiting"
    assert version.merge is not None
    assert [entry.key for entry in version.merge.only_there] == [OTHER]
    assert [entry.key for entry in version.merge.both] == [KEY]
    assert not take(version, (), journal).settled
    (version,) = found(tmp_path / "tour", journal)
    put_aside(version, journal)
    assert found(tmp_path / "tour", journal) == ()
    assert (on_disk(file, KEY).value, on_disk(file, OTHER).value) == (799.0, 810.0)
    assert {line.fate for line in journal.read(file.id).lines} == {"aside", "saved"}


def test_what_waits_for_a_page_that_cannot_be_read_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, journal = night(tmp_path)
    with monkeypatch.context() as disk:
        full(disk)
        read(file, journal, KEY, 800.0)
    text = file.path.read_text()
    file.path.write_text(text.replace("clamp-l", "clamp-left"))
    (version,) = found(tmp_path / "tour", journal)
    assert version.problem is not None
    assert "a part that the page does not have" in version.problem.what
    file.path.write_text("no page = ")
    (version,) = found(tmp_path / "tour", journal)
    assert version.problem is not None


def marked(here: str, there: str, label: str = " of JM") -> str:
    """Return two texts as a line-wise merge leaves them, each line that differs between marks."""
    lines = []
    for one, other in zip(here.split("\n"), there.split("\n"), strict=True):
        if one == other:
            lines.append(one)
        else:
            lines += ["<<<<<<< ours", one, "||||||| base", "x", "=======", other, f">>>>>>>{label}"]
    return "\n".join(lines)


@pytest.mark.parametrize("label", [" of JM", ""])
def test_a_page_with_a_merges_marks_becomes_two(tmp_path: Path, label: str) -> None:
    from model.book.beside.marked import part

    file, journal = night(tmp_path)
    one = read(replace(file, path=_elsewhere(file, tmp_path)), None, KEY, 800.0)
    other = read(replace(file, path=_elsewhere(file, tmp_path)), None, KEY, 801.0)
    file.path.write_text(marked(one.text, other.text, label), "utf-8", newline="")
    (version,) = found(tmp_path / "tour", journal)
    assert version.sort == "merged"
    assert beside_count(list_book(tmp_path / "tour"), journal) == 1
    with pytest.raises(CannotDo, match="is the page itself"):
        put_aside(version, journal)
    part(version.page)
    assert open_page(file.path).text == one.text
    (version,) = found(tmp_path / "tour", journal)
    assert version.sort == "kept"
    assert version.merge is not None
    assert [entry.key for entry in version.merge.both] == [KEY]
    take(version, (KEY,), journal)
    assert on_disk(file, KEY).value == 801.0


def test_marks_out_of_order_are_left_to_an_editor(tmp_path: Path) -> None:
    from model.book.beside.marked import part

    file, _ = night(tmp_path)
    before = f"{file.text}<<<<<<< a\n=======\n"
    file.path.write_text(before, "utf-8", newline="")
    with pytest.raises(CannotDo, match="not in order"):
        part(file.path)
    assert file.path.read_text("utf-8") == before
