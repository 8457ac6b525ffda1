"""Whatever happens to a page in any order: what was acknowledged is on the disk, and theirs too.

A page in a folder, someone who records on it, someone else who writes to the file in an editor, a
disk that refuses, a process that dies. The model is a plain dict of what the page says, read by the
standard library's tomllib; it changes where a save was acknowledged, or where the other hand wrote.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from random import Random
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from model.book.edits import ClosedEdit, CrewNoteEdit, RemarksEdit, SettingEdit
from model.disk.leftovers import KEPT, TEMP_MARK
from model.disk.lock import LOCK_NAME
from model.disk.swap import exchange
from model.errors import NotConfirmed, NotSaved
from model.rig.page import Remarks
from model.rig.setting import OPEN, Setting
from tests.failing_steps import Killed, at
from tests.kept_page import DONE, KeptPage, path_of
from tests.other_hand import (
    KEYS,
    OWNERS,
    Entries,
    commented,
    entries_of,
    other_value,
    reordered,
    truncated,
)
from tests.sizes import examples

SEEDS = st.integers(0, 10**6).map(Random)


class Keeping(KeptPage, RuleBasedStateMachine):
    """What may happen to the page, in any order."""

    def __init__(self) -> None:
        RuleBasedStateMachine.__init__(self)
        KeptPage.__init__(self)

    def teardown(self) -> None:
        self.folder.cleanup()

    # ---- what our process does ----

    @rule(key=st.sampled_from(KEYS), number=st.integers(-4000, 4000), by=st.sampled_from("AB"))
    def take_reading(self, key: str, number: int, by: str) -> None:
        value: float | int | str = number / 4
        if "tilt" in key:
            value = number % 11
        elif "mic" in key:
            value = f"notch {number} # {by}"
        edit = SettingEdit(key, Setting(state="read", value=value, using="tape", by=by))
        self.save(edit, {path_of(key): {"read": value, "using": "tape", "by": by}})

    @rule(key=st.sampled_from(KEYS[:5]), by=st.sampled_from("AB"))
    def see_at_its_mark(self, key: str, by: str) -> None:
        edit = SettingEdit(key, Setting(state="seen", value=12.5, page="2027-06-30-x", by=by))
        self.save(edit, {path_of(key): {"seen": 12.5, "page": "2027-06-30-x", "by": by}})

    @rule(key=st.sampled_from(KEYS))
    def say_that_it_is_open(self, key: str) -> None:
        self.save(SettingEdit(key, OPEN), {path_of(key): {"open": True}})

    @rule(owner=st.sampled_from(OWNERS), note=st.sampled_from(("", "stiff", 'say "left" # = [x]')))
    def write_a_note(self, owner: str, note: str) -> None:
        self.up_to_date()
        held = self.entries.get(("record", owner, "photos"), [])
        edit = RemarksEdit(owner, Remarks(note=note, photos=tuple(held)))
        new: Entries = {("record", owner, "note"): note, ("record", owner, "photos"): held}
        self.save(edit, new)

    @rule(crew=st.sampled_from(("EV", "NO", "Q. R.")), note=st.sampled_from(("", "moved\ntwice")))
    def write_about_the_page(self, crew: str, note: str) -> None:
        self.save(CrewNoteEdit(crew, note), {("notes", crew): note})

    @rule(closed=st.booleans())
    def close_or_open_again(self, closed: bool) -> None:
        self.save(ClosedEdit(closed), {("closed",): closed})

    @precondition(lambda self: self.file is not None and bool(self.undo))
    @rule()
    def take_it_back(self) -> None:
        edit, before = self.undo[-1]
        if self.save(edit, before, is_undo=True) and self.undo:
            del self.undo[-1]

    @rule()
    def begin_again(self) -> None:
        self.open_it_anew()

    @precondition(lambda self: self.file is not None)
    @rule()
    def die(self) -> None:
        self.file = None
        self.undo.clear()

    # ---- what someone else does ----

    @rule(rng=SEEDS, key=st.sampled_from(KEYS))
    def another_records(self, rng: Random, key: str) -> None:
        self.theirs(other_value(rng, self.disk, key))

    @rule(rng=SEEDS, how=st.sampled_from((reordered, commented, commented)))
    def another_tidies(self, rng: Random, how: Callable[[Random, str], str]) -> None:
        self.theirs(how(rng, self.disk))

    @rule(rng=SEEDS)
    def another_puts_an_older_version_back(self, rng: Random) -> None:
        self.theirs(rng.choice(sorted(self.versions)))

    @precondition(lambda self: entries_of(self.disk) is not None)
    @rule(rng=SEEDS)
    def another_cuts_it_off(self, rng: Random) -> None:
        if rng.random() < 0.3:
            self.theirs(truncated(rng, self.disk))

    # ---- what goes wrong ----

    @rule(
        key=st.sampled_from(KEYS[:5]),
        where=st.sampled_from(("open", "write", "flush", "exchange", "flush of the folder")),
        number=st.sampled_from((errno.ENOSPC, errno.EIO, errno.EROFS, errno.EDQUOT)),
    )
    def the_disk_refuses(self, key: str, where: str, number: int) -> None:
        self.opened()
        with at(where, OSError(number, os.strerror(number))):
            self.save_badly(key, NotConfirmed if where == "flush of the folder" else NotSaved)
        DONE["saves refused by the disk"] += 1

    @rule(
        key=st.sampled_from(KEYS[:5]),
        where=st.sampled_from(("flush", "exchange", "exchanged", "flush of the folder")),
    )
    def the_process_dies_in_a_save(self, key: str, where: str) -> None:
        self.opened()
        with at(where, Killed()):
            self.save_badly(key, Killed)
        self.die()
        DONE["saves that were cut off"] += 1

    @precondition(lambda self: not self.stale)
    @rule(rng=SEEDS, key=st.sampled_from(KEYS[:5]))
    def another_writes_at_the_last_moment(self, rng: Random, key: str) -> None:
        self.opened()
        text = other_value(rng, commented(rng, self.disk), key)
        beside = self.path.with_name("theirs")

        def late(one: Path, other: Path) -> bool:
            if not self.versions >= {text}:
                beside.write_text(text, "utf-8")
                beside.replace(self.path)
                self.versions.add(text)
            return exchange(one, other)

        with patch("model.disk.save.exchange", late):
            self.save_badly(key, NotSaved, theirs=text)
        DONE["saves into which another wrote"] += 1

    @invariant()
    def the_disk_says_what_was_acknowledged(self) -> None:
        """Nothing changes but by a save that was acknowledged, or by the other hand."""
        assert self.path.read_bytes() == self.disk.encode()

    @invariant()
    def nothing_else_is_left(self) -> None:
        """What a cut-off save leaves is a whole version, or one that never counted."""
        for path in self.path.parent.rglob("*"):
            if path.is_dir() or path.name in (self.path.name, LOCK_NAME):
                continue
            assert path.name.endswith(TEMP_MARK) or path.parent.name == KEPT, path
            assert path.read_text("utf-8") in self.versions | self.attempted, path
            DONE["leftovers looked at"] += 1


def test_what_was_acknowledged_is_kept_whatever_happens(
    capsys: pytest.CaptureFixture[str],
) -> None:
    tried = examples(short=150, long=300)
    DONE.clear()
    run_state_machine_as_test(
        Keeping,
        settings=settings(
            max_examples=tried,
            stateful_step_count=40,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    assert DONE["saves acknowledged"] > 5 * tried
    with capsys.disabled():
        told = ", ".join(f"{count} {what}" for what, count in sorted(DONE.items()))
        print(f"\n  {tried} stories of 40 steps: {told}", end="")
