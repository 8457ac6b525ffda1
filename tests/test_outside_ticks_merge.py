"""git itself merges two people's ticks of one put-back: clean and right, or a conflict that is one.

Source of the judgement: ``git merge-file``; values are compared by the standard library's tomllib.
The moves are of a large sample page, neighbours among them; each person ticks on a copy of the
file, as on two machines. 50 seeded trials a case, 200 with ``--long``.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest

from model.book.ticks import Tick, Ticks, TicksFile, with_tick
from model.book.ticks_text import parse_ticks, write_ticks
from tests.merging import leaves, merged
from tests.sizes import examples

PAGE = (
    Path(__file__).parent.parent / "sample_rigs" / "harbour-dance" / "2026-03-21-after-fill-in.toml"
)
TRIALS = examples(50, 200)
READINGS = 'readings = ""'
Case = Callable[["Hand", "Hand", Random], None]


def base_ticks() -> str:
    """Return a put-back with a move for every third value of the page, and some of structure."""
    record = tomllib.loads(PAGE.read_text("utf-8"))["record"]
    keys = [
        ".".join(path) for path, value in leaves({"record": record}).items() if has_value(value)
    ]
    moves = [Tick(key=key.removeprefix("record."), start=1.0, to=2.5) for key in keys[::3]]
    structure = [Tick(key=f"{what}.{part}") for what in ("put", "ask", "hang") for part in "abc"]
    ticks = Ticks(now="a", wanted="b", moves=(*moves, *structure))
    return write_ticks(ticks)


def has_value(setting: object) -> bool:
    return isinstance(setting, dict) and bool(setting.keys() & {"read", "seen", "carried"})


class Hand:
    """One person's copy of the file."""

    def __init__(self, file: TicksFile, by: str) -> None:
        self.file = file
        self.by = by

    @property
    def open_keys(self) -> list[str]:
        return [move.key for move in self.file.ticks.moves if not move.done]

    def tick(self, *keys: str, done: bool = True) -> None:
        for key in keys:
            self.file = with_tick(self.file, key, done, self.by)

    @property
    def text(self) -> str:
        return self.file.text


def different(a: Hand, b: Hand, rng: Random) -> None:
    one, two = rng.sample(a.open_keys, 2)
    a.tick(one)
    b.tick(two)


def neighbours(a: Hand, b: Hand, rng: Random) -> None:
    keys = a.open_keys
    at = rng.randrange(len(keys) - 1)
    a.tick(keys[at])
    b.tick(keys[at + 1])


def some_each(a: Hand, b: Hand, rng: Random) -> None:
    dealt = rng.sample(a.open_keys, 8)
    a.tick(*dealt[:4])
    b.tick(*dealt[4:])


def every_other(a: Hand, b: Hand, rng: Random) -> None:
    start = rng.randrange(len(a.open_keys) - 8)
    run = a.open_keys[start : start + 8]
    a.tick(*run[::2])
    b.tick(*run[1::2])


def a_tick_and_one_taken_away(a: Hand, b: Hand, rng: Random) -> None:
    a.tick(rng.choice(a.open_keys))
    b.tick(rng.choice(DONE), done=False)


def both_the_same_way(a: Hand, b: Hand, rng: Random) -> None:
    """Without initials both write the very same line."""
    a.by = b.by = ""
    key, other = rng.sample(a.open_keys, 2)
    a.tick(key, other)
    b.tick(key)


CLEAN: list[Case] = [
    different, neighbours, some_each, every_other, a_tick_and_one_taken_away, both_the_same_way,
]  # fmt: skip
DONE = ["floor.rug", "put.b"]


@pytest.fixture(scope="module")
def base() -> TicksFile:
    text = base_ticks()
    ticks, _, index = parse_ticks(text, "t")
    assert ticks is not None
    assert len(ticks.moves) > 60
    hand = Hand(TicksFile(Path("t"), text, "", ticks, index), "KD")
    hand.tick(*DONE)
    return hand.file


@cache
def moves_of(text: str) -> dict[tuple[str, ...], Any]:
    """Return the moves by path, read by tomllib; a move's table is one value."""
    found: dict[tuple[str, ...], Any] = {}

    def walk(table: dict[str, Any], path: tuple[str, ...]) -> None:
        for name, held in table.items():
            if "done" in held and not isinstance(held["done"], dict):
                found[(*path, name)] = held
            else:
                walk(held, (*path, name))

    walk(tomllib.loads(text)["move"], ())
    return found


def expected(base: str, ours: str, theirs: str) -> dict[tuple[str, ...], Any]:
    """Return the base's moves with what each of the two changed."""
    old = moves_of(base)
    changed = [{k: v for k, v in moves_of(side).items() if old[k] != v} for side in (ours, theirs)]
    return {**old, **changed[0], **changed[1]}


@pytest.mark.parametrize("case", CLEAN, ids=lambda case: case.__name__)
def test_ticks_of_two_people_merge_clean_and_right(
    tmp_path: Path, base: TicksFile, case: Case, capsys: pytest.CaptureFixture[str]
) -> None:
    right = 0
    for trial in range(TRIALS):
        a, b = Hand(base, "KD"), Hand(base, "MO")
        case(a, b, Random(f"{case.__name__} {trial}"))
        assert base.text not in (a.text, b.text)
        conflicts, text = merged(tmp_path, base.text, a.text, b.text)
        assert conflicts == 0, f"trial {trial}"
        assert moves_of(text) == expected(base.text, a.text, b.text), f"trial {trial}"
        ticks, _, _ = parse_ticks(text, "t")
        assert ticks is not None
        taken_away = set(DONE) - (a.file.ticks.done & b.file.ticks.done)
        assert ticks.done == (a.file.ticks.done | b.file.ticks.done) - taken_away
        right += 1
    with capsys.disabled():
        print(f"\n  {case.__name__}: {right} of {TRIALS} clean and right", end="")


def test_the_page_of_the_readings_named_by_one_and_ticks_by_the_other(
    tmp_path: Path, base: TicksFile
) -> None:
    a = base.text.replace(READINGS, 'readings = "2026-03-22-soundcheck"')
    for key in Hand(base, "MO").open_keys:
        b = Hand(base, "MO")
        b.tick(key)
        conflicts, text = merged(tmp_path, base.text, a, b.text)
        assert conflicts == 0
        assert tomllib.loads(text)["readings"] == "2026-03-22-soundcheck"
        assert moves_of(text) == moves_of(b.text)


def test_the_same_move_ticked_by_two_names_is_a_conflict_and_the_file_says_so(
    tmp_path: Path, base: TicksFile
) -> None:
    told = 0
    for trial in range(TRIALS):
        a, b = Hand(base, "KD"), Hand(base, "MO")
        key = Random(trial).choice(a.open_keys)
        a.tick(key)
        b.tick(key)
        conflicts, text = merged(tmp_path, base.text, a.text, b.text)
        ticks, problems, _ = parse_ticks(text, "t")
        told += conflicts == 1 and ticks is None and any(p.line for p in problems)
    assert told == TRIALS
