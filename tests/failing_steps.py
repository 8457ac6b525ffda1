"""One step of a save that fails once: the disk refuses it, or the process is gone there."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from model.disk.swap import exchange


class Killed(BaseException):
    """The process is gone: nothing after this runs."""


@contextmanager
def at(where: str, error: BaseException) -> Iterator[None]:
    """Let one step of a save fail, once."""
    flushes = {"flush": 1, "flush of the folder": 2}
    calls: Counter[str] = Counter()
    real_open, real_flush, real_fdopen = os.open, os.fsync, os.fdopen

    def opening(path: Any, flags: int, *rest: Any, **named: Any) -> int:
        if where == "open" and flags & os.O_EXCL:
            raise error
        return real_open(path, flags, *rest, **named)

    def flushing(handle: int) -> None:
        calls["flush"] += 1
        if calls["flush"] == flushes.get(where):
            raise error
        real_flush(handle)

    def writing(handle: int, mode: str = "r", *rest: Any, **named: Any) -> Any:
        file = real_fdopen(handle, mode, *rest, **named)
        if where == "write" and mode == "wb":
            file.close()
            raise error
        return file

    def exchanging(one: Path, other: Path) -> bool:
        if where == "exchange":
            raise error
        done = exchange(one, other)
        if where == "exchanged":
            raise error
        return done

    with ExitStack() as stack:
        stack.enter_context(patch("os.open", opening))
        stack.enter_context(patch("os.fsync", flushing))
        stack.enter_context(patch("os.fdopen", writing))
        stack.enter_context(patch("model.disk.save.exchange", exchanging))
        yield
