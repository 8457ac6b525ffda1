"""A page and its text say the same: written and read again, and after every edit of either."""

from __future__ import annotations

import pytest
from hypothesis import given, seed, settings
from hypothesis import strategies as st

from model.book.edits import (
    ClosedEdit,
    CrewNoteEdit,
    Edit,
    RemarksEdit,
    SettingEdit,
    SettingsEdit,
    edit_text,
)
from model.book.read import PageRead, parse_page
from model.book.tokens import index_text
from model.book.write import write_page
from model.rig.page import Page
from model.rig.setting import STATES
from tests.sizes import examples
from tests.strategies import CREW, pages, remarks, settings_for
from tests.strategies_values import pick, picks, texts, upto

# Ten thousand examples in a long run, a thousand at a time: what was tried is kept in memory.
IN_PARTS = pytest.mark.parametrize("part", range(examples(short=1, long=10)))


def read_whole(text: str) -> PageRead:
    """Read a page that must be readable; say every reason where it is not."""
    read = parse_page(text)
    assert read.page is not None, "\n".join(problem.text() for problem in read.problems)
    return read


@st.composite
def edited_pages(draw: st.DrawFn) -> tuple[Page, Edit]:
    """A page and any edit that fits it; one time in eight of something the page lacks."""
    page = draw(pages(most_parts=4))
    sort = draw(upto(4))
    is_new = draw(upto(7)) == 7
    if sort == 0 or (sort == 1 and not page.remarks):
        key = "nobody.unknown" if is_new else pick(draw, [key for key, _ in page.record])
        declared = page.declared.get(key)
        return page, SettingEdit(key, draw(settings_for(declared.quantity if declared else None)))
    if sort == 1:
        owner = "no body" if is_new else pick(draw, [owner for owner, _ in page.remarks])
        return page, RemarksEdit(owner, draw(remarks()))
    if sort == 4:
        keys = picks(draw, [key for key, _ in page.record], 6)
        sorts = {key: d.quantity for key, d in page.declared.items()}
        new = tuple((key, draw(settings_for(sorts.get(key)))) for key in keys)
        return page, SettingsEdit(new)
    if sort == 2:
        return page, CrewNoteEdit(pick(draw, CREW), draw(texts()))
    return page, ClosedEdit(draw(st.booleans()))


@IN_PARTS
@settings(max_examples=examples(short=300, long=1_000))
@given(pages())
def test_a_page_that_is_written_reads_as_the_same_page(part: int, page: Page) -> None:
    read = read_whole(write_page(page))
    assert read.page == page
    assert not any(problem.grave or problem.code == "no-line" for problem in read.problems)


@IN_PARTS
@settings(max_examples=examples(short=300, long=1_000))
@given(edited_pages())
def test_an_edit_of_the_text_equals_one_of_the_value(part: int, case: tuple[Page, Edit]) -> None:
    page, edit = case
    before = write_page(page)
    text, index = edit_text(before, index_text(before), edit)
    assert read_whole(text).page == edit.on_page(page)
    assert index == index_text(text)
    _only_its_own_lines_changed(before, text, edit)
    _undoing_brings_both_back(page, before, text, edit)
    _the_value_equals_its_validated_dump(edit.on_page(page))


def _only_its_own_lines_changed(before: str, after: str, edit: Edit) -> None:
    old, new = index_text(before).places, index_text(after).places
    paths = [path for path, _ in edit.lines()]
    assert new.keys() - old.keys() <= set(paths)
    # A new entry has a line of its own and a blank one above; both away, the rest is as it was.
    own = {new[path].line for path in paths if path not in old}
    lines = after.split("\n")
    assert all(lines[line - 2] == "" for line in own)
    added = own | {line - 1 for line in own}
    rest = [line for number, line in enumerate(lines, 1) if number not in added]
    pairs = zip(before.split("\n"), rest, strict=True)
    differ = {number for number, (a, b) in enumerate(pairs, 1) if a != b}
    assert differ <= {old[path].line for path in paths if path in old}
    if isinstance(edit, SettingEdit | CrewNoteEdit | ClosedEdit):
        assert len(differ) + len(own) <= 1


def _undoing_brings_both_back(page: Page, before: str, after: str, edit: Edit) -> None:
    if before.count("\n") != after.count("\n"):
        return  # a line that is new stays, and says that nothing is known
    undo = edit.undone_on(page)
    assert undo.on_page(edit.on_page(page)) == page
    assert edit_text(after, index_text(after), undo)[0] == before


def _the_value_equals_its_validated_dump(page: Page) -> None:
    assert Page.model_validate(page.model_dump()) == page


@settings(max_examples=examples(short=50, long=1_000))
@given(pages())
def test_writing_again_what_was_read_changes_no_character(page: Page) -> None:
    text = write_page(page)
    again = read_whole(text).page
    assert again is not None
    assert write_page(again) == text


@settings(max_examples=examples(short=50, long=1_000))
@given(pages())
def test_every_setting_has_a_line_of_its_own_with_a_blank_one_above(page: Page) -> None:
    text = write_page(page)
    lines, places = text.split("\n"), index_text(text).places
    for key, setting in page.record:
        place = places[("record", *key.split("."))]
        assert place.line == place.last_line
        assert lines[place.line - 2] == ""
        assert f" {setting.state} = " in lines[place.line - 1]


def test_the_random_pages_reach_what_they_are_meant_to() -> None:
    """Guard the strategy: every state, sort of part and odd shape turns up within 600 pages."""
    seen: set[str] = set()

    @settings(max_examples=100, database=None)
    @given(pages())
    def look(page: Page) -> None:
        seen.update(setting.state for _, setting in page.record)
        seen.update(part.type for part in page.parts)
        seen.update("check" for _, s in page.record if s.state == "follows" and s.value is not None)
        seen.update("stray" for key, _ in page.record if key not in page.declared)
        seen.update("teeth" for d in page.declared.values() if d.quantity == "teeth")
        seen.update("word" for d in page.declared.values() if d.quantity == "word")
        seen.update("two grips" for part in page.parts if len(part.on) == 2)
        seen.update("own kind" for kind in page.kinds if kind.id == "own-arm" and kind.joints)
        seen.update("vector" for k in page.kinds for j in k.joints if isinstance(j.turns, tuple))
        seen.update("holds" for kind in page.kinds for outlet in kind.outlets if outlet.holds)
        seen.update("extra" for part in page.parts if part.extra)
        seen.update("extra of a setting" for _, setting in page.record if setting.extra)
        seen.update("many" for _ in page.record[29:])

    wanted = {"check", "stray", "teeth", "word", "two grips", "own kind", "vector", "holds"}
    wanted |= {"extra", "extra of a setting", "many", "post", "bar", "mount", "piece", *STATES}
    for number in range(6):
        seed(number)(look)()
        if wanted <= seen:
            break
    assert wanted <= seen, wanted - seen
