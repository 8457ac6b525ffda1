"""However the program ends, the terminal is as it was: its settings, its screen, its modes."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from model.book.page_file import open_page
from tests.hostile_texts import acting
from tests.rack_stage import SECOND, small_book
from tests.terminal_modes import Modes
from tests.tmux import clampbook

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no Unix terminal here")
if sys.platform != "win32":
    from tests.bench.pty_program import PtyProgram

PAGE = f"tour/{SECOND}"
LONGEST = 20.0
BOOM = """
import sys
from tui import cli
def boom(*_words, **_more):
    raise ValueError("\\x1b[31mboom\\x07")
{patch}
sys.exit(cli.main(sys.argv[1:]))
"""


class Seat:
    """A terminal of its own with the program in it: what it had before, what it has now."""

    def __init__(
        self, folder: Path, *arguments: str, patch: str = "", shell: str = 'exec "$@"'
    ) -> None:
        small_book(folder / "tour")
        command = clampbook(*arguments)
        if patch:
            command = [sys.executable, "-c", BOOM.format(patch=patch), *arguments]
        # The settings are those of a terminal before a program takes it.
        self.run = PtyProgram(["/bin/sh", "-c", f"read -r _; {shell}", "sh", *command], folder)
        self.before = termios.tcgetattr(self.run.fd)
        self.run.seen = b""
        os.write(self.run.fd, b"\n")

    def until(self, text: bytes) -> None:
        """Read until a text came since the last look."""
        end = time.monotonic() + LONGEST
        while text not in self.run.seen:
            assert time.monotonic() < end, f"{text!r} never came: {self.run.seen[-500:]!r}"
            self.read(0.05)

    def read(self, seconds: float) -> bool:
        if not select.select([self.run.fd], [], [], seconds)[0]:
            return False
        try:
            data = os.read(self.run.fd, 1 << 16)
        except OSError:
            return False
        self.run.seen += data
        return bool(data)

    def type(self, keys: bytes) -> None:
        os.write(self.run.fd, keys)

    def kill(self, number: int) -> None:
        os.kill(self.run.pid, number)

    def wait(self, flags: int = 0) -> int:
        """Wait until the program ended, or stopped; return the status. Reads all the while."""
        end = time.monotonic() + LONGEST
        while time.monotonic() < end:
            pid, status = os.waitpid(self.run.pid, os.WNOHANG | flags)
            if pid:
                while self.read(0.02):
                    pass
                return status
            self.read(0.02)
        os.kill(self.run.pid, signal.SIGKILL)
        os.waitpid(self.run.pid, 0)
        pytest.fail(f"the program did not end: {self.run.seen[-500:]!r}")

    def left(self) -> list[str]:
        """Return what of the terminal is not as it was."""
        names = ("input", "output", "control", "local", "speed in", "speed out", "characters")
        now = termios.tcgetattr(self.run.fd)
        changed = [
            f"{name} settings"
            for name, old, new in zip(names, self.before, now, strict=True)
            if old != new
        ]
        return changed + Modes(self.run.seen).left()

    def ended(self) -> int:
        return os.waitstatus_to_exitcode(self.wait())


@dataclass(frozen=True, slots=True)
class Way:
    """How the program is made to end, and with which status; ``patch`` breaks it beforehand."""

    end: Callable[[Seat], None]
    status: int
    patch: str = ""
    first: bytes = b"part and setting"


def _keys(keys: bytes) -> Callable[[Seat], None]:
    return lambda seat: seat.type(keys)


def _kill(*numbers: int) -> Callable[[Seat], None]:
    def kill(seat: Seat) -> None:
        for number in numbers:
            seat.kill(number)

    return kill


def _typing(then: Callable[[Seat], None]) -> Callable[[Seat], None]:
    def end(seat: Seat) -> None:
        seat.type(b"fclamp-l\r12")
        seat.until(b"= 12 mm")
        then(seat)

    return end


def _stopped(seat: Seat) -> None:
    """Stop it; the terminal is the shell's again; let it go on, and leave."""
    seat.kill(signal.SIGTSTP)
    assert os.WIFSTOPPED(seat.wait(os.WUNTRACED))
    assert seat.left() == [], "stopped"
    seat.run.seen = b""
    seat.kill(signal.SIGCONT)
    seat.until(b"part and setting")
    assert {25, 1049} <= Modes(seat.run.seen).on ^ {25}
    seat.type(b"qq")


def _ended_while_stopped(seat: Seat) -> None:
    seat.type(b"\x1a")
    assert os.WIFSTOPPED(seat.wait(os.WUNTRACED))
    assert seat.left() == []
    seat.kill(signal.SIGTERM)
    seat.kill(signal.SIGCONT)


def _working(seat: Seat) -> None:
    seat.type(b"h")
    seat.until(b"working out")
    seat.kill(signal.SIGTERM)


RACK = "from tui.screens.rack.screen import RackScreen\n"
BENCH = "from tui.screens.rack.bench import Bench\n"
WAYS: dict[str, Way] = {
    "q": Way(_keys(b"qq"), 0),
    "Ctrl-C": Way(_keys(b"\x03"), 0),
    "Ctrl-C while a reading is typed": Way(_typing(_keys(b"\x03")), 0),
    "Ctrl-C on a screen over another": Way(_keys(b"?\x03"), 0),
    "interrupted": Way(_kill(signal.SIGINT), 0),  # as Ctrl-C
    "terminated": Way(_kill(signal.SIGTERM), 143),
    "terminated as it starts": Way(_kill(signal.SIGTERM), 143, first=b"\x1b[?1049h"),
    "hung up as it starts": Way(_kill(signal.SIGHUP), 129, first=b"\x1b[?1049h"),
    "terminated twice": Way(_kill(signal.SIGTERM, signal.SIGTERM), 143),
    "terminated while a reading is typed": Way(_typing(_kill(signal.SIGTERM)), 143),
    "hung up": Way(_kill(signal.SIGHUP), 129),
    "terminated while moves are worked out": Way(_working, 143),
    "stopped, and on, and q": Way(_stopped, 0),
    "Ctrl-Z, and terminated": Way(_ended_while_stopped, 143),
    "a fault at a key": Way(_keys(b"!"), 2, f"{RACK}RackScreen._tell_odd = boom"),
    "a fault in drawing": Way(
        _keys(b"v"), 2, "from tui.widgets.pane import Pane\nPane.render_line = boom"
    ),
    "a fault at the first frame": Way(
        lambda _seat: None, 2, f"{RACK}RackScreen.draw = boom", b"unexpected end"
    ),
    "a fault beside, in a thread": Way(
        lambda _seat: None, 2, f"{BENCH}import tui.screens.rack.bench as b\nb.import_module = boom"
    ),
    "a fault in a timer": Way(_keys(b"v"), 2, f"{BENCH}Bench.catch_up = boom"),
    "a fault while a reading is saved": Way(
        _typing(_keys(b"\r")), 2, "import tui.screens.rack.screen as s\ns.put_on_disk = boom"
    ),
    "a fault in the input": Way(
        _keys(b"x"), 2,
        "from tui.pastes import Pastes\nPastes.without_escapes = boom",
    ),
}  # fmt: skip
FAULTS = [name for name, way in WAYS.items() if way.patch]
_CHECKED: set[str] = set()


@pytest.mark.parametrize("name", WAYS)
def test_the_terminal_is_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    way = WAYS[name]
    seat = Seat(tmp_path, PAGE, "--unit", "mm", patch=way.patch)
    seat.until(way.first)
    page = (tmp_path / f"{PAGE}.toml").read_bytes()
    way.end(seat)
    status = seat.ended()
    said = seat.run.seen
    assert Modes(said).ever >= {1049, 2004, 1004}, "nothing was turned on: nothing was tried"
    assert seat.left() == []
    assert status == way.status
    assert b"Traceback" not in said
    assert (tmp_path / f"{PAGE}.toml").read_bytes() == page
    open_page(tmp_path / f"{PAGE}.toml")
    if name in FAULTS:
        after = said.rpartition(b"\x1b[?1004l")[2].decode()
        assert "Clampbook came to an unexpected end" in after
        assert "boom" in after
        assert acting(after.replace("\r\n", "\n")) == []
        log = next((tmp_path / "state" / "clampbook").glob("crash-*.log"))
        assert acting(log.read_text("utf-8")) == []
        assert "boom" in log.read_text("utf-8")
    _CHECKED.add(name)


def test_the_terminal_is_as_it_was_when_its_input_is_gone(tmp_path: Path) -> None:
    """Keys from one terminal, drawing on another; the first one goes away."""
    small_book(tmp_path / "tour")
    keys, keys_side = os.openpty()
    shown, shown_side = os.openpty()
    run = subprocess.Popen(
        clampbook(PAGE), cwd=tmp_path, stdin=keys_side, stdout=shown_side, stderr=shown_side,
        start_new_session=True,
    )  # fmt: skip
    os.close(keys_side)
    os.close(shown_side)
    said = _all_of(shown, until=b"part and setting")
    os.close(keys)
    said += _all_of(shown)
    assert run.wait(LONGEST) == 129
    os.close(shown)
    assert Modes(said).ever >= {1049, 2004}
    assert Modes(said).left() == []
    _CHECKED.add("its input gone")


def _all_of(terminal: int, until: bytes | None = None) -> bytes:
    said, end = b"", time.monotonic() + LONGEST
    while (until is None or until not in said) and time.monotonic() < end:
        if select.select([terminal], [], [], 0.05)[0]:
            try:
                said += os.read(terminal, 1 << 16)
            except OSError:  # its other side was closed: there is no more
                return said
    return said


REFUSED = {
    "input closed": "<&-", "input from nowhere": "</dev/null", "input from a pipe": "pipe",
    "output closed": ">&-", "output to a file": ">shown", "output to nobody": "| true",
    "errors closed": "2>&-", "errors to a file": "2>said", "all closed": "<&- >&- 2>&-",
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_without_a_whole_terminal_it_is_not_touched(tmp_path: Path, name: str) -> None:
    """The screens are refused before anything is turned on: nothing has to be turned off."""
    how = REFUSED[name]
    words = 'true | "$@"; echo "status $?" >status' if how == "pipe" else (
        f'{{ "$@"; echo "status $?" >status; }} {how}'
    )  # fmt: skip
    seat = Seat(tmp_path, PAGE, shell=words)
    assert seat.ended() == 0
    assert seat.left() == []
    assert Modes(seat.run.seen).ever == set()
    assert (tmp_path / "status").read_text() == "status 2\n"
    assert b"Traceback" not in seat.run.seen
    told = seat.run.seen + (tmp_path / "said").read_bytes() if how == "2>said" else seat.run.seen
    assert b"need a terminal" in told or "closed" in name
    _CHECKED.add(name)


def test_how_many_ways_out(capsys: pytest.CaptureFixture[str]) -> None:
    every = len(WAYS) + len(REFUSED) + 1
    with capsys.disabled():
        print(f"\n  {len(_CHECKED)} of {every} ways out: the terminal as it was", end="")
