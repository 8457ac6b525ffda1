"""Golden files of format 1: every version of Clampbook reads each of them to exactly its JSON.

A page means the same for ever, so these files and their JSON are written once. They are never
regenerated: ``--update-golden`` does not touch them. A version that reads one of them otherwise is
wrong, and a new sort of page gets a new file beside them. ``format_one.py`` says how a value and
its JSON are compared. The second judge of what stands in a file is the standard library's tomllib.
"""

from __future__ import annotations

import json
import shutil
import tomllib
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from typing import Any

import pytest

from model.book.book import parse_book
from model.book.edits import ClosedEdit, CrewNoteEdit, Edit, RemarksEdit, SettingEdit
from model.book.heads import list_book
from model.book.home_line import with_home
from model.book.page_file import PageFile, changed, open_page
from model.book.read import parse_page
from model.book.recording import record
from model.book.ticks import read_ticks, with_tick
from model.book.ticks_text import parse_ticks
from model.disk.guard import read_text
from model.errors import CannotDo
from model.frozen import Frozen
from model.readings.quantity import Quantity, Value
from model.rig.page import Remarks
from model.rig.setting import STATES, taken
from tests.format_one import (
    FOLDER,
    golden_files,
    golden_json,
    golden_pages,
    one_line,
    plain,
    value_json,
)

FILES = pytest.mark.parametrize("path", golden_files(), ids=lambda path: path.stem[-24:])
PAGES = pytest.mark.parametrize("path", golden_pages(), ids=lambda path: path.stem)
NEW: dict[Quantity | None, Value] = {"teeth": 7, "word": "another # notch", None: 7}


def read_as(path: Path) -> Frozen:
    """Return a golden file's value, by the reader of its sort."""
    held: Frozen | None
    if path.suffix == ".putback":
        return read_ticks(path).ticks
    if path.name == "book.toml":
        held, problems = parse_book(read_text(path).text, path.name)
        assert held is not None, problems
        return held
    return open_page(path).page


def test_every_sort_of_page_has_a_golden_file_and_each_its_json() -> None:
    files = golden_files()
    assert len(files) >= 23
    assert {path.stem for path in FOLDER.glob("*.json")} == {"absent", *(f.stem for f in files)}
    states = {
        s["state"] for p in golden_pages() for s in json.loads(golden_json(p))["record"].values()
    }
    assert states == set(STATES)


@FILES
def test_a_golden_file_reads_as_exactly_its_value(path: Path) -> None:
    assert value_json(read_as(path)) == golden_json(path)


def test_they_are_all_listed(tmp_path: Path) -> None:
    book = shutil.copytree(FOLDER, tmp_path / "book")
    listing = list_book(book)
    assert listing.unreadable == ()
    assert {page.path.stem for page in listing.pages} == {path.stem for path in golden_pages()}
    for page in listing.pages:
        head = json.loads(golden_json(page.path))["head"]
        assert (page.rig, page.moment, page.began.isoformat()) == (
            head["rig"], head["moment"], head["began"],
        )  # fmt: skip
        assert page.closed is head.get("closed", False)
        assert page.reason == head.get("reason", "")


@PAGES
def test_the_json_says_of_the_record_what_tomllib_reads(path: Path) -> None:
    text = path.read_bytes().decode("utf-8-sig")
    written = tomllib.loads(text.replace("\r\n", "\n")).get("record", {})
    told = json.loads(golden_json(path))
    for key, setting in told["record"].items():
        table = _at(written, key.split("."))
        if table is None:
            assert setting == {"state": "open"}, f"{key} has no line and is not open"
            continue
        known = {
            name: value
            for name, value in setting.items()
            if name not in ("state", "value", "extra")
        }
        state, value = setting["state"], setting.get("value", True)
        mine = (
            {"follows": True, "read": value}
            if state == "follows" and "value" in setting
            else {state: value}
        )
        assert {k: v for k, v in table.items() if k not in setting.get("extra", {})} == {
            **mine,
            **known,
        }
    for owner, remarks in told.get("remarks", {}).items():
        table = written.get(owner, {})
        assert (remarks.get("note", ""), remarks.get("photos", [])) == (
            table.get("note", ""), table.get("photos", []),
        )  # fmt: skip


def _at(tables: dict[str, Any], path: list[str]) -> Any:
    held: Any = tables
    for step in path:
        held = held.get(step) if isinstance(held, dict) else None
    return held


def edits(file: PageFile) -> Iterator[Edit]:
    """Yield an edit of every entry that has a line of its own."""
    places = {path for path, place in file.index.places.items() if not place.more_lines}
    for key, setting in file.page.record:
        declared = file.page.declared.get(key)
        value = NEW.get(declared.quantity if declared else None, 41.25)
        if ("record", *key.split(".")) in places:
            yield SettingEdit(key, taken(setting, value, using="tape", by="NO"))
    for crew, _ in file.page.crew:
        yield CrewNoteEdit(crew, 'another "note" # of the night')
    for owner, remarks in file.page.remarks:
        if {("record", owner, "note"), ("record", owner, "photos")} <= file.index.places.keys():
            yield RemarksEdit(owner, Remarks(note="another note", photos=remarks.photos))
    if ("closed",) in places:
        yield ClosedEdit(not file.page.head.closed)


def lines_that_differ(before: str, after: str) -> int:
    """Return how many lines differ; what ends them counts as part of them."""
    pairs = zip_longest(before.split("\n"), after.split("\n"))
    return sum(old != new for old, new in pairs)


def test_an_edit_of_a_golden_page_changes_one_line_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edited = saved = 0
    for golden in golden_pages():
        path = tmp_path / golden.name
        path.write_bytes(golden.read_bytes())
        file = open_page(path)
        for edit in edits(file):
            after = changed(file, edit)
            assert lines_that_differ(file.text, after.text) == 1, (golden.name, edit)
            assert parse_page(after.text).page == edit.on_page(file.page) == after.page
            assert changed(after, edit.undone_on(file.page)).page == file.page
            edited += 1
        for edit in edits(file):
            try:
                now = record(file, edit)
            except CannotDo:
                assert file.page.head.closed
                continue
            assert lines_that_differ(golden.read_bytes().decode(), path.read_bytes().decode()) == 1
            assert open_page(path).page == now.page
            path.write_bytes(golden.read_bytes())
            saved += 1
    with capsys.disabled():
        print(f"\n  golden pages: {edited} edits made, {saved} saved, one line each", end="")
    assert edited > 200
    assert saved > 200


@PAGES
def test_undoing_brings_every_byte_back_where_the_program_wrote_the_line(path: Path) -> None:
    """A line that a hand wrote otherwise comes back with its value, in the program's words."""
    file = open_page(path)
    for edit in edits(file):
        after = changed(file, edit)
        again = changed(changed(after, edit.undone_on(file.page)), edit)
        assert again.text == after.text
        assert changed(again, edit.undone_on(file.page)).page == file.page


def test_a_tick_changes_one_line_of_the_golden_put_back() -> None:
    path = next(path for path in golden_files() if path.suffix == ".putback")
    file = read_ticks(path)
    for move in file.ticks.moves:
        after = with_tick(file, move.key, not move.done, "EV")
        assert lines_that_differ(file.text, after.text) == 1
        assert parse_ticks(after.text, path.name)[0] == after.ticks
        others = [m for m in after.ticks.moves if m.key != move.key]
        assert others == [m for m in file.ticks.moves if m.key != move.key]


def test_one_more_home_is_one_more_line_of_the_golden_book() -> None:
    path = FOLDER / "book.toml"
    text = path.read_bytes().decode()
    book, _ = parse_book(text, path.name)
    assert book is not None
    for first in (True, False):
        after = with_home(text, "fill-in", "2027-05-04-after-the-show", first=first)
        added = [line for line in after.split("\n") if line not in text.split("\n")]
        assert added == ['fill-in = "2027-05-04-after-the-show"']
        assert [line for line in after.split("\n") if line and line not in added] == [
            line for line in text.split("\n") if line
        ]
        told = dict(json.loads(golden_json(path)))
        mine, homes = {"fill-in": "2027-05-04-after-the-show"}, told["homes"]
        told["homes"] = {**mine, **homes} if first else {**homes, **mine}
        again, _ = parse_book(after, path.name)
        assert again is not None
        assert one_line(plain(again)) == one_line(told)
