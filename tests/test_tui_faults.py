"""A terminal that goes away in the middle: nothing accepted is lost, and it is left as it was."""

from __future__ import annotations

import os
import select
import signal
import sys
import termios
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from model.book.page_file import open_page
from model.rig.declared import FLOOR_SETTINGS
from tests.rack_stage import SECOND, small_book
from tests.sizes import examples
from tests.tmux import clampbook, terminal
from tui.crash import crash_words, write_crash_log

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no Unix terminal here")
if sys.platform != "win32":
    from tests.bench.pty_program import PtyProgram, program

TRIALS = examples(6, 50)
LABELS = {declared.key: declared.label for declared in FLOOR_SETTINGS} | {"throne.x": "x"}
KEYS = list(LABELS)
LEAVES = (b"\x1b[?1049l", b"\x1b[?25h", b"\x1b[?2004l")
"""Alternate screen off, cursor shown, bracketed paste off (xterm's control sequences)."""


class Sitting:
    """The program on a page in a pty of its own, and what it said it saved."""

    def __init__(self, folder: Path, number: int) -> None:
        self.page = small_book(folder / f"tour{number}") / f"{SECOND}.toml"
        command = program(f"tour{number}/{SECOND}", "--unit", "mm")
        self.run = PtyProgram(command, folder)
        self.before = termios.tcgetattr(self.run.fd)
        self.run.read_until(b"part and setting")
        self.saved: dict[str, float] = {}

    def record(self, count: int) -> None:
        """Type readings, one after another, each seen to be saved before the next."""
        start = len(self.saved)
        for key in KEYS[start : start + count]:
            value = float(len(self.saved) + 1)
            os.write(self.run.fd, f"{value:g}\r".encode())
            # Its own words: a frame of the reading before may still be on its way.
            self._until(f"saved: {LABELS[key]} read {value:g}".encode())
            self.saved[key] = value

    def _until(self, text: bytes) -> None:
        end = time.monotonic() + 20
        while text not in self.run.seen and time.monotonic() < end:
            if select.select([self.run.fd], [], [], 0.05)[0]:
                self.run.seen += os.read(self.run.fd, 1 << 16)
        assert text in self.run.seen

    def lost(self) -> list[str]:
        """Return what was said to be saved and is not on the disk."""
        page = open_page(self.page).page
        return [key for key, value in self.saved.items() if page.setting(key).value != value]

    def ended(self) -> int:
        """Wait for the end; return the status. Drains what the program still writes."""
        end = time.monotonic() + 20
        while time.monotonic() < end:
            pid, status = os.waitpid(self.run.pid, os.WNOHANG)
            if pid:
                self.drain()
                return status
            self.drain()
            time.sleep(0.02)
        os.kill(self.run.pid, signal.SIGKILL)
        os.waitpid(self.run.pid, 0)
        pytest.fail("the program did not end")

    def drain(self) -> None:
        try:
            while select.select([self.run.fd], [], [], 0)[0]:
                data = os.read(self.run.fd, 1 << 16)
                if not data:
                    return
                self.run.seen += data
        except OSError:
            return

    def is_restored(self) -> bool:
        """Tell whether the terminal's modes are as they were before the program."""
        after = termios.tcgetattr(self.run.fd)
        flags = after[3] == self.before[3] and after[0] == self.before[0]
        return flags and all(leave in self.run.seen for leave in LEAVES)


@pytest.mark.parametrize("how", ["kill", "hang up", "terminate", "drop", "bad bytes"])
def test_nothing_accepted_is_lost(
    tmp_path: Path, how: str, capsys: pytest.CaptureFixture[str]
) -> None:
    lost = restored = 0
    for trial in range(TRIALS):
        sitting = Sitting(tmp_path, trial)
        sitting.record(1 + trial % 3)
        os.write(sitting.run.fd, b"9")  # in the middle of the next entry
        status = None
        if how == "bad bytes":
            os.write(sitting.run.fd, b"\xff\xfe\xc3(\x80")
            time.sleep(0.05)
            os.write(sitting.run.fd, b"\x15")  # empties the line, whatever came of it
            sitting.record(2)
            os.write(sitting.run.fd, b"qq")
            status = sitting.ended()
            assert os.waitstatus_to_exitcode(status) == 0
        elif how == "drop":
            os.close(sitting.run.fd)
            assert _gone(sitting.run.pid), "the program outlived its terminal"
        else:
            number = {
                "kill": signal.SIGKILL, "hang up": signal.SIGHUP, "terminate": signal.SIGTERM,
            }[how]  # fmt: skip
            os.kill(sitting.run.pid, number)
            code = os.waitstatus_to_exitcode(sitting.ended())
            assert code == (-number if how == "kill" else 128 + number)
        lost += len(sitting.lost())
        if how != "drop":
            restored += sitting.is_restored()
            os.close(sitting.run.fd)
    with capsys.disabled():
        print(f"\n  {how}: {TRIALS} trials, {lost} readings lost, {restored} restored", end="")
    assert lost == 0
    if how in ("hang up", "terminate", "bad bytes"):
        assert restored == TRIALS


def _gone(pid: int) -> bool:
    end = time.monotonic() + 20
    while time.monotonic() < end:
        if os.waitpid(pid, os.WNOHANG)[0]:
            return True
        time.sleep(0.02)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return False


def test_ctrl_z_goes_to_the_shell_and_fg_comes_back(tmp_path: Path) -> None:
    small_book(tmp_path / "tour")
    with terminal(tmp_path, PS1="shell> ") as term:
        term.start(["bash", "--norc", "--noprofile", "-i"], tmp_path)
        term.wait_for("shell>")
        term.type(f"{' '.join(clampbook('tour/' + SECOND))}", "Enter")
        term.wait_for("part and setting")
        term.type("5", "Enter")
        term.wait_for("saved: ")
        term.tmux("send-keys", "-t", "s", "C-z")
        term.wait_for("Stopped")
        term.type("fg", "Enter")
        term.wait_for("part and setting")
        term.type("6", "Enter")
        term.wait_for("saved: kit's heading read 6")
        term.type("q")
        term.wait_for("Two posts")
        term.type("q")
        term.wait_until(lambda s: s.rstrip().endswith("shell>"), "the shell")


def test_an_unexpected_end_leaves_a_log_and_one_clean_line(tmp_path: Path) -> None:
    try:
        raise ValueError("a name with \x1b[31m in it")
    except ValueError as error:
        log = write_crash_log(error, datetime(2025, 3, 14, 18, 40, tzinfo=UTC), tmp_path / "state")
        words = crash_words(error, log)
    assert log is not None
    assert log.name == "crash-20250314-184000.log"
    assert "test_tui_faults" in log.read_text()
    assert "\x1b" not in log.read_text()
    assert "\x1b" not in words
    assert str(log) in words


def test_a_log_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "state").write_text("in the way")
    log = write_crash_log(ValueError("x"), datetime(2025, 3, 14, tzinfo=UTC), tmp_path / "state")
    assert log is None
    assert "no log could be written" in crash_words(ValueError("x"), log)


def test_without_a_terminal_the_screens_are_refused_in_words(tmp_path: Path) -> None:
    import subprocess

    small_book(tmp_path / "tour")
    done = subprocess.run(
        clampbook("tour"), cwd=tmp_path, capture_output=True, text=True, timeout=60, check=False,
        stdin=subprocess.DEVNULL,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stdout == ""
    assert "need a terminal" in done.stderr
