"""The program in a pseudo-terminal of its own, for measuring: keys in, bytes and times out."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import sys
import termios
import time
from collections.abc import Sequence
from pathlib import Path


class PtyProgram:
    """A command running at 80x24; what it writes is read and counted."""

    def __init__(self, command: Sequence[str], folder: Path, columns: int = 80, rows: int = 24):
        self.begun = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor")
            # Not execv: readline, which pytest loads, leaves a size of its own in C's environment.
            os.execve(command[0], list(command), dict(os.environ))
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.seen = b""

    def read(self, quiet: float = 0.04, longest: float = 5.0) -> tuple[int, float]:
        """Read until nothing came for ``quiet`` seconds; return bytes and when the last came."""
        count, last = 0, time.perf_counter()
        end = last + longest
        while time.perf_counter() < end:
            ready, _, _ = select.select([self.fd], [], [], quiet)
            if not ready:
                if count:
                    break
                continue
            try:
                data = os.read(self.fd, 1 << 16)
            except OSError:
                break
            self.seen += data
            count += len(data)
            last = time.perf_counter()
        return count, last

    def read_until(self, text: bytes, longest: float = 20.0) -> float:
        """Read until ``text`` came; return the seconds since the start."""
        end = time.perf_counter() + longest
        while text not in self.seen and time.perf_counter() < end:
            if select.select([self.fd], [], [], 0.05)[0]:
                self.seen += os.read(self.fd, 1 << 16)
        assert text in self.seen, f"{text!r} never came"
        return time.perf_counter() - self.begun

    def key(self, data: bytes) -> tuple[float, int]:
        """Press a key; return milliseconds to the last byte of its frame, and its bytes."""
        begun = time.perf_counter()
        os.write(self.fd, data)
        count, last = self.read()
        return (last - begun) * 1000, count

    def key_until(self, data: bytes, text: bytes) -> tuple[float, float, int]:
        """Press a key; return milliseconds until ``text`` came and to the last byte of all, and
        the bytes.
        """
        begun = time.perf_counter()
        os.write(self.fd, data)
        came, count = b"", 0
        while text not in came and time.perf_counter() - begun < 5.0:
            if select.select([self.fd], [], [], 0.05)[0]:
                new = os.read(self.fd, 1 << 16)
                came += new
        shown = last = time.perf_counter()
        assert text in came, f"{text!r} never came"
        count, later = self.read()
        last = max(last, later)
        return (shown - begun) * 1000, (last - begun) * 1000, len(came) + count

    def idle(self, seconds: float) -> int:
        """Return how many bytes come while nobody presses anything."""
        end, count = time.perf_counter() + seconds, 0
        while time.perf_counter() < end:
            if select.select([self.fd], [], [], 0.1)[0]:
                count += len(os.read(self.fd, 1 << 16))
        return count

    def kill(self) -> None:
        """End it at once."""
        os.kill(self.pid, 9)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


def program(*arguments: str) -> list[str]:
    """Return the command of the program under measurement."""
    return [sys.executable, "-m", "tui.cli", *arguments]
