"""What compare tells as changed, held against deepdiff on the plain TOML.

Source: deepdiff 9, ``DeepDiff(…, view="tree")`` and ``path(output_format="list")`` as its
documentation describes them (MIT licence). It knows nothing of rigs: it names every path at which
two nested tables differ. Notes, photos and limits of the record are no part of the answer.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from deepdiff import DeepDiff

from model.book.heads import list_book
from model.book.read import parse_page
from model.compare.answer import Compared, RecordedValue, compare_pages
from model.rig.page import Page

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
BOOKS = sorted(path.parent.name for path in SAMPLES.glob("*/book.toml"))
STATES = {"read", "seen", "carried", "open", "follows"}
FIELDS = {"page": "page", "using": "using", "by": "by", "u": "u", "from": "read_from"}
HANGING = {"on", "at", "rail"}
Change = tuple[str, ...]


def paths(before: object, after: object) -> Iterator[list[Any]]:
    # By default it names a table whole where most of it differs.
    for found in DeepDiff(before, after, view="tree", threshold_to_diff_deeper=0).values():
        for change in found:
            yield change.path(output_format="list")


def record_by_deepdiff(before: dict[str, Any], after: dict[str, Any]) -> set[Change]:
    """Return (setting, field) of every recorded value that differs; its state counts as value."""
    found: set[Change] = set()
    for path in paths(before["record"], after["record"]):
        steps = [str(step) for step in path]
        is_dial = steps[1:2] == ["dial"]
        key, rest = ".".join(steps[: 2 + is_dial]), steps[2 + is_dial :]
        if len(rest) == 1 and rest[0] in STATES:
            found.add((key, "value"))
        elif len(rest) == 1 and rest[0] in FIELDS:
            found.add((key, FIELDS[rest[0]]))
    return found


def record_by_compare(answer: Compared) -> set[Change]:
    found: set[Change] = set()
    for setting in answer.settings:
        one, two = setting.before, setting.after
        if held(one) != held(two):
            found.add((setting.setting, "value"))
        for field in FIELDS.values():
            if getattr(one, field) != getattr(two, field):
                found.add((setting.setting, field))
    return found


def held(value: RecordedValue) -> tuple[object, object]:
    return value.state, value.value


def structure_by_deepdiff(before: dict[str, Any], after: dict[str, Any]) -> set[Change]:
    """Return (sort, id, what) of every difference of parts, spots, marks, and kinds in use."""
    found: set[Change] = set()
    used = {p.get("kind") for table in (before, after) for p in table["part"].values()}
    for sort in ("part", "spot", "mark", "kind"):
        one, two = (table.get(sort, {}) for table in (before, after))
        for path in paths(one, two):
            id_, *rest = (str(step) for step in path)
            if not rest and sort != "kind":
                found.add((sort, id_, "added" if id_ in two else "removed"))
            elif rest and sort == "kind" and id_ in used:
                found.add((sort, id_, "changed"))
            elif rest and sort != "kind":
                found.add((sort, id_, "on" if rest[0] in HANGING else rest[0]))
    return found


def structure_by_compare(answer: Compared) -> set[Change]:
    found: set[Change] = set()
    for part in answer.structure:
        what = "from" if part.field == "measured_from" else part.field or part.change
        found.add((part.sort, part.id, "changed" if part.sort == "kind" else what))
    return found


def page_of(text: str) -> Page:
    page = parse_page(text).page
    assert page is not None
    return page


def same_changes(one: str, two: str) -> tuple[int, int]:
    """Hold both against each other; return how many changes of the record and of the structure."""
    before, after = tomllib.loads(one), tomllib.loads(two)
    answer = compare_pages(page_of(one), page_of(two), ("before", "after"))
    record = record_by_deepdiff(before, after)
    common = {found.setting for found in answer.settings}
    record = {change for change in record if change[0] in common}
    structure = structure_by_deepdiff(before, after)
    assert record_by_compare(answer) == record
    assert structure_by_compare(answer) == structure
    return len(record), len(structure)


@pytest.mark.parametrize("book", BOOKS)
def test_every_two_sample_pages_that_follow_each_other(book: str) -> None:
    texts = [page.path.read_text("utf-8") for page in list_book(SAMPLES / book).pages]
    found = [same_changes(one, two) for one, two in pairwise(texts)]
    assert sum(record for record, _ in found) > 50
    assert book != "harbour-dance" or sum(structure for _, structure in found) > 5


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('name = "Ride boom"', 'name = "Big boom"'),
        ('name = "Ride boom"', 'name = "Ride boom"\nfrom = "B"'),
        ('on = "double"\nat = "left"', 'on = "double"\nat = "right"'),
        ("tube = 36.9", "tube = 38.1"),
        ('felt_colour = "red"', 'felt_colour = "blue"'),
        ("sagitta = 100.0", "sagitta = 101.0"),
        ('gap = ["ride", "splash"]', 'gap = ["ride", "tom-1"]'),
        ("teeth = 24", "teeth = 36"),
        ('side = ["right", "right"]', 'side = ["right", "left"]'),
        ("weight = { kg = 2.9 }", "weight = { kg = 3.1 }"),
        ("[spot.ride-splash]", "[mark]\n\ncase = { x = 10.0, y = 20.0 }\n\n[spot.ride-splash]"),
    ],
)
def test_one_change_of_the_structure(data: Path, old: str, new: str) -> None:
    text = (data / "page_two_post.toml").read_text("utf-8")
    assert old in text
    assert same_changes(text, text.replace(old, new, 1)) == (0, 1)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('by = "AK", u = 4.0', 'by = "AK", u = 3.0'),
        ('by = "AK", u = 4.0', 'by = "AK"'),
        ('{ read = 1001.0, using = "tape"', '{ read = 1002.0, using = "tape"'),
        ('{ read = 1001.0, using = "tape"', '{ read = 1001.0, using = "eye"'),
    ],
)
def test_one_change_of_the_record(data: Path, old: str, new: str) -> None:
    text = (data / "page_two_post.toml").read_text("utf-8")
    assert old in text
    assert same_changes(text, text.replace(old, new, 1)) == (1, 0)


def test_a_mark_that_was_moved() -> None:
    text = (SAMPLES / "harbour-dance" / "2026-03-21-soundcheck.toml").read_text("utf-8")
    mark = tomllib.loads(text)["mark"]["ahead"]
    old = f"y = {mark['y']}"
    assert text.count(old) == 1
    assert same_changes(text, text.replace(old, "y = 1234.5")) == (0, 1)
