"""The kernel refuses a save's system calls: nothing torn, nothing lost, and what is said is so.

Source: the fault injection of strace(1), on a process of its own that really saves.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest

from model.clean import clean_lines
from model.disk.leftovers import collect
from tests.killing import files
from tests.saving import version
from tests.sizes import examples
from tests.syscall_faults import Answer, Saver, injected

CALLS = {
    "/^rename": 1,
    "fsync": 2,
    "openat": 6,
    "write": 1,
    "/^unlink": 1,
    "/^link": 1,
    "/chmod": 1,
    "flock": 1,
    "read": 4,
    "/stat": 10,
    "fcntl": 2,
}
"""The system calls that fail, and how often a save makes each."""
ERRORS = ("ENOSPC", "EIO", "EROFS", "EDQUOT", "EACCES", "ESTALE", "EINTR")


@pytest.fixture
def saver() -> Iterator[Saver]:
    if sys.platform != "linux":
        pytest.skip("strace is for Linux alone")
    saver = Saver()
    yield saver
    saver.close()


class Batch:
    """Saves of one page, or of new ones, one after another, and what came of them."""

    def __init__(self, saver: Saver, page: Path) -> None:
        self.saver, self.page = saver, page
        self.number, self.told, self.wrong = 0, Counter[str](), Counter[str]()

    def save(self, is_new: bool) -> None:
        """Save the next version, and look whether what is there agrees with what is said."""
        self.number += 1
        path = self.page.with_name(f"{self.number}.toml") if is_new else self.page
        before = path.read_bytes() if path.exists() else None
        text = version(self.number)
        answer = self.saver.save(path, text, before)
        found = path.read_bytes() if path.exists() else None
        self.told[answer.error or "saved"] += 1
        self.wrong["torn"] += found not in (before, text.encode())
        self.wrong["said to be saved and lost"] += not answer.error and found != text.encode()
        is_new_one = answer.error in ("", "NotConfirmed")
        self.wrong["where what is said is not so"] += (found == text.encode()) != is_new_one
        self._judge(answer, path)
        assert not self.wrong.total(), (self.wrong, answer)
        if is_new and found is not None:
            path.unlink()

    def _judge(self, answer: Answer, path: Path) -> None:
        ours = ("", "NotSaved", "NotConfirmed", "UnreadableFile")
        assert answer.error in ours, answer
        if answer.error:
            assert answer.text == clean_lines(answer.text)
            assert str(path) in answer.text
            assert "right: " in answer.text


def test_system_calls_that_fail_tear_nothing_and_lose_nothing(
    saver: Saver, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    batch, faults = Batch(saver, tmp_path / "page.toml"), Counter[str]()
    batch.save(is_new=False)  # and all that is imported at the first one
    places = [(calls, nth) for calls, times in CALLS.items() for nth in range(1, times + 1)]
    for (calls, nth), error in product(places, ERRORS[: examples(3, len(ERRORS))]):
        log = tmp_path / "log"
        # Every second save: one that fails ends there, and the next one makes its calls in full.
        with saver.failing(calls, error, nth, nth + CALLS[calls], log):
            for _ in range(examples(4, 6)):
                batch.save(is_new=calls == "/^link")
        done = injected(log)
        assert done, f"no {calls} failed"
        faults.update(done)
        log.unlink()
        batch.save(is_new=False)
        before = batch.page.read_bytes()
        collect(tmp_path)
        assert batch.page.read_bytes() == before
        assert files(tmp_path) <= {"page.toml", ".recovered"}
    with capsys.disabled():
        each = ", ".join(f"{call} {n}" for call, n in sorted(faults.items()))
        told = ", ".join(f"{n} {what}" for what, n in sorted(batch.told.items()))
        print(f"\n  {faults.total()} faults by strace ({each}) in {batch.number} saves: {told};")
        print("  " + ", ".join(f"{n} {what}" for what, n in batch.wrong.items()), end="")
    assert faults.total() >= examples(100, 500)
    assert batch.told["saved"] > len(CALLS)
