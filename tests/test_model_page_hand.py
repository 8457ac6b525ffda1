"""Edits of pages that someone wrote or rearranged by hand: their line changes, and nothing else."""

from __future__ import annotations

import re
from functools import lru_cache

import pytest

from model.book.edits import ClosedEdit, CrewNoteEdit, Edit, RemarksEdit, SettingEdit, edit_text
from model.book.read import PageRead, parse_page
from model.book.tokens import index_text
from model.errors import CannotDo
from model.rig.page import Page, Remarks
from model.rig.setting import Setting
from tests.shapes import PAGE, SHAPES
from tests.sizes import RUN

READING = Setting(state="read", value=123.25, using="tape", by="AK", note='the "#" mark, # 3')
ODD_LINES = ("floor.rug", "post-l.x", "ride-boom.reach", "kick.dial.beater_angle", "bar.grip_b")


@lru_cache(maxsize=4)
def _read(text: str) -> PageRead:
    read = parse_page(text)
    assert read.page is not None, "\n".join(problem.text() for problem in read.problems)
    return read


def _page(text: str) -> Page:
    page = _read(text).page
    assert page is not None
    return page


def _edit(text: str, edit: Edit) -> str:
    after, index = edit_text(text, _read(text).index, edit)
    assert index == _read(after).index
    return after


@pytest.mark.parametrize("shape", SHAPES)
def test_a_setting_of_every_shape_is_edited_where_it_stands(shape: str) -> None:
    """All of the settings with ``--long``; else those of the odd lines and every seventh other."""
    text = SHAPES[shape](PAGE)
    page = _page(text)
    assert shape == "a value over lines" or page.settings == _page(PAGE).settings
    keys = page.record if RUN.long else [*page.record[list(SHAPES).index(shape) % 7 :: 7]]
    odd = [(key, page.setting(key)) for key in ODD_LINES]
    for key, before in dict([*keys, *odd]).items():
        value = "fourth # notch" if key.startswith("kick.dial") else 123.25
        value = 3 if page.declared[key].quantity == "teeth" else value
        edit = SettingEdit(key, READING.model_copy(update={"value": value}))
        after = _edit(text, edit)
        assert _page(after) == edit.on_page(page)
        _one_line_changed(text, after, key)
        if shape != "a value over lines":  # an undone value comes back in the layout's own form
            assert _page(_edit(after, SettingEdit(key, before))) == page


def _one_line_changed(before: str, after: str, key: str) -> None:
    place = index_text(before.removeprefix("\ufeff")).places[("record", *key.split("."))]
    old, new = before.split("\n"), after.split("\n")
    assert old[: place.line - 1] == new[: place.line - 1]
    assert old[place.last_line :] == new[place.line :]
    line = new[place.line - 1]
    assert line.startswith(old[place.line - 1][: place.value_column])
    assert line.endswith(old[place.last_line - 1][place.end_column :])


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize(
    "edit",
    [
        SettingEdit("clamp-l.unknown", READING),
        SettingEdit("kick.dial.unknown", READING),
        SettingEdit("nobody.height", READING),
        RemarksEdit("kick", Remarks(note="a # b", photos=("a.jpg", 'b".jpg'))),
        RemarksEdit("nobody", Remarks(note="two\nlines")),
        CrewNoteEdit("AK", "one more"),
        CrewNoteEdit("New. #", "first\nsecond"),
        ClosedEdit(True),
    ],
    ids=lambda edit: f"{type(edit).__name__} {getattr(edit, 'key', getattr(edit, 'owner', ''))}",
)
def test_what_has_no_line_yet_gets_one_in_every_shape(shape: str, edit: Edit) -> None:
    text = SHAPES[shape](PAGE)
    after = _edit(text, edit)
    assert _page(after) == edit.on_page(_page(text))
    kept = [line for line in text.split("\n") if line not in after.split("\n")]
    assert len(kept) <= len(edit.lines()) + ("no end" in shape)
    if "\r\n" in text:
        assert not re.search(r"[^\r]\n", after.rstrip("\n")), "a line lost its carriage return"


@pytest.mark.parametrize("lost", ["notes", "record", "closed"])
def test_a_section_that_is_missing_is_added(lost: str) -> None:
    text = re.sub(rf"^\[{lost}\].*?(?=^\[|^# ----)|^{lost} = .*?\n", "", PAGE, flags=re.M | re.S)
    assert text != PAGE
    for edit in (CrewNoteEdit("JM", "1st"), SettingEdit("post-l.x", READING), ClosedEdit(True)):
        for ended in (text, text.rstrip(), text.replace("\n", "\r\n").rstrip()):
            assert _page(_edit(ended, edit)) == edit.on_page(_page(text))


def test_a_setting_written_inside_another_value_is_refused_and_said_where() -> None:
    text = "".join(line for line in PAGE.splitlines(True) if not line.startswith("throne."))
    text = text.replace("[record]\n", "[record]\nthrone = { x = { read = 1.0 }, note = 'hm' }\n")
    with pytest.raises(CannotDo) as refused:
        _edit(text, SettingEdit("throne.x", READING))
    (problem,) = refused.value.problems
    assert problem.code == "inside-another"
    assert problem.line == text.split("\n").index("[record]") + 2
    assert "throne.x = { read = 123.25" in problem.right


def test_a_line_that_no_page_may_have_is_refused_before_it_is_made() -> None:
    edit = RemarksEdit("bar", Remarks(note="\x07" * 900))
    with pytest.raises(CannotDo, match="characters"):
        _edit(PAGE, edit)
    _edit(PAGE, RemarksEdit("bar", Remarks(note="a" * 1000)))
