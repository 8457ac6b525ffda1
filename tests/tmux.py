"""A real terminal for the tests: tmux runs the program, real keys are typed, the screen is read."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

PATIENCE = 20.0


def need_tmux() -> None:
    """Skip with the reason where there is no tmux, unless this run must have it."""
    if shutil.which("tmux") is None:
        if os.environ.get("CLAMPBOOK_NEEDS_TMUX"):
            pytest.fail("tmux is needed here and is not installed")
        pytest.skip("tmux is not installed: keys cannot be typed into a real terminal")


@dataclass
class Terminal:
    """One tmux session of its own server."""

    socket: Path
    environ: dict[str, str]

    def tmux(self, *words: str) -> str:
        """Run one tmux command; return what it prints."""
        command = ["tmux", "-S", str(self.socket), *words]
        done = subprocess.run(command, capture_output=True, text=True, env=self.environ, check=True)
        return done.stdout

    def start(
        self, command: Sequence[str], folder: Path, width: int = 80, height: int = 24
    ) -> None:
        """Run a command in a new session of that size."""
        sized = ["-x", str(width), "-y", str(height), "-c", str(folder)]
        self.tmux("-f", "/dev/null", "new-session", "-d", "-s", "s", *sized, *command)

    def type(self, *keys: str) -> None:
        """Type keys by their tmux names; other words letter by letter, as a hand would."""
        for key in keys:
            if key in NAMED:
                self.tmux("send-keys", "-t", "s", key)
            else:
                for char in key:
                    self.tmux("send-keys", "-t", "s", "-l", char)

    def screen(self) -> str:
        """Return what the terminal shows now."""
        return self.tmux("capture-pane", "-p", "-t", "s")

    def wait_for(self, text: str) -> str:
        """Wait until the screen shows ``text``; return it. Fails with the screen that it found."""
        return self.wait_until(lambda screen: text in screen, repr(text))

    def wait_until(self, is_there: Callable[[str], bool], what: str) -> str:
        """Wait until the screen is as wanted; return it. Fails with the screen that it found."""
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            if is_there(screen := self.screen()):
                return screen
            time.sleep(0.03)
        pytest.fail(f"{what} did not come up in {PATIENCE:.0f} s; the screen was:\n{self.screen()}")

    def process(self) -> int:
        """Return the process id of what runs in the terminal."""
        return int(self.tmux("display-message", "-p", "-t", "s", "#{pane_pid}"))


NAMED = frozenset({"Enter", "Escape", "BSpace", "Up", "Down", "Left", "Right", "PPage", "NPage",
                   "Home", "End", "Space", "Tab"})  # fmt: skip


@contextmanager
def terminal(folder: Path, **environ: str) -> Iterator[Terminal]:
    """Give a tmux server of its own, killed at the end."""
    need_tmux()
    home = folder / "home"
    home.mkdir(exist_ok=True)
    kept = {name: os.environ[name] for name in ("PATH", "LANG", "LC_ALL") if name in os.environ}
    full = {"LANG": "C.UTF-8", **kept, "HOME": str(home), "XDG_CONFIG_HOME": str(home / "config"),
            "PYTHONDONTWRITEBYTECODE": "1", **environ}  # fmt: skip
    # A socket's path is limited to about 100 bytes: it does not go into the test's deep folder.
    import tempfile

    with tempfile.TemporaryDirectory(prefix="cb") as short:
        held = Terminal(Path(short) / "s", full)
        try:
            yield held
        finally:
            subprocess.run(["tmux", "-S", str(held.socket), "kill-server"], capture_output=True,
                           check=False)  # fmt: skip


def clampbook(*arguments: str) -> list[str]:
    """Return the command that starts the program under test."""
    return [sys.executable, "-m", "tui.cli", *arguments]
