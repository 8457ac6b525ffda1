"""A process that saves when it is told to, while strace(1) makes its system calls fail.

Source of the faults: strace's own injection (strace(1), "Tampering"), in the kernel's entry to the
call and below everything that Python does. The process is told and tells over a socket, whose calls
are not among those that fail.
"""

from __future__ import annotations

import contextlib
import ctypes
import json
import re
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from model.disk.guard import hash_of
from model.disk.save import save
from model.errors import ClampbookError

SET_TRACER, ANYONE = 0x59616D61, -1
"""PR_SET_PTRACER of prctl(2): where only a parent may trace, anyone may trace this process."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a save said: the name of its error, or nothing, and the words."""

    error: str
    text: str


class Saver:
    """The process that saves; ours to ask, and to let fail."""

    def __init__(self) -> None:
        ours, theirs = socket.socketpair()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "tests.syscall_faults", str(theirs.fileno())],
            pass_fds=[theirs.fileno()],
        )
        theirs.close()
        self.socket = ours
        self.lines = ours.makefile("rw", encoding="utf-8")

    def save(self, path: Path, text: str, before: bytes | None) -> Answer:
        """Let it save; return what it says."""
        expected = None if before is None else hash_of(before)
        self.lines.write(json.dumps([str(path), text, expected]) + "\n")
        self.lines.flush()
        return Answer(*json.loads(self.lines.readline()))

    def close(self) -> None:
        """End it."""
        self.lines.close()
        self.socket.close()
        assert self.process.wait(timeout=60) == 0

    @contextmanager
    def failing(self, calls: str, error: str, first: int, every: int, log: Path) -> Iterator[None]:
        """Let one of these calls fail, and then one in so many; skip where that is forbidden.

        strace writes what it did to ``log``.
        """
        strace = shutil.which("strace", path="/usr/bin:/bin:/usr/local/bin")
        if strace is None:
            pytest.skip("strace is not installed")
        inject = f"inject={calls}:error={error}:when={first}+{every}"
        to = ["-f", "-o", str(log), "-p", str(self.process.pid)]
        tracer = subprocess.Popen(
            [strace, *to, "-e", f"trace={calls}", "-e", inject],
            stderr=subprocess.PIPE,
            text=True,
        )
        assert tracer.stderr is not None
        with tracer.stderr:
            said = tracer.stderr.readline()
            if "attached" not in said:
                tracer.kill()
                tracer.wait()
                pytest.skip(f"no process may be traced here: {said.strip()}")
            try:
                yield
            finally:
                tracer.send_signal(signal.SIGINT)
                tracer.wait(timeout=60)


def injected(log: Path) -> dict[str, int]:
    """Return how often each system call was made to fail."""
    found = re.findall(r"^\d+ +(\w+)\(.*\(INJECTED\)$", log.read_text("utf-8", "replace"), re.M)
    return {call: found.count(call) for call in sorted(set(found))}


def main(handle: int) -> None:
    """Save what is asked for, and answer, until nobody asks any more."""
    with contextlib.suppress(AttributeError, OSError):
        ctypes.CDLL(None).prctl(SET_TRACER, ANYONE, 0, 0, 0)
    with socket.socket(fileno=handle) as asked, asked.makefile("rw", encoding="utf-8") as lines:
        for line in lines:
            path, text, expected = json.loads(line)
            answer = ["", ""]
            try:
                save(Path(path), text, expected)
            except ClampbookError as error:
                answer = [type(error).__name__, error.text()]
            except Exception as error:
                answer = [f"another: {error!r}", ""]
            lines.write(json.dumps(answer) + "\n")
            lines.flush()


if __name__ == "__main__":
    main(int(sys.argv[1]))
