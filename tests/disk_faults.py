"""A disk that refuses: every file operation of a save passes here, and any of them can fail.

One place between the program and the system: the functions of ``os`` that take files, the raw
files below Python's buffers, the lock, and the exchange of two names. A fault strikes an operation
at its nth call, once or from then on. ``after`` means that the disk did it and says that it did
not, as a network disk does when the answer was lost.
"""

from __future__ import annotations

import ctypes
import errno
import io
import os
import stat
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from model.disk import swap

PLAIN = ("stat", "fstat", "link", "rename", "replace", "unlink", "chmod", "mkdir")
"""Functions of ``os`` that are watched under their own name."""
OPERATIONS = (
    *("open", "close", "read", "write", "fsync of the file", "fsync of the folder", "flock"),
    *("lease", "exchange", *PLAIN),
)
ANY = "any"
"""All operations together, numbered through: a disk that is pulled out."""
AS_LONG = 3
"""An interrupted read or write is tried again by Python itself, so that one lasts no longer."""


@dataclass(frozen=True, slots=True)
class Fault:
    """``error`` at the ``nth`` call of ``operation``, once or ``lasting``; done all the same?"""

    operation: str
    nth: int
    error: int
    lasting: bool = False
    after: bool = False

    def strikes(self, call: int) -> bool:
        """Tell whether the fault strikes at this call."""
        if not self.lasting or call <= self.nth:
            return call == self.nth
        return self.error != errno.EINTR or call < self.nth + AS_LONG


@dataclass(slots=True)
class Disk:
    """What was called, what struck, and what someone else does just before an operation.

    The nth of ``late`` is done just before the nth call of ``late_at``.
    """

    faults: tuple[Fault, ...] = ()
    calls: Counter[str] = field(default_factory=Counter)
    struck: list[Fault] = field(default_factory=list)
    late_at: str = ""
    late: list[Callable[[], None]] = field(default_factory=list)
    unknown: tuple[str, ...] = ()
    is_armed: bool = False

    def begin(
        self,
        faults: tuple[Fault, ...],
        unknown: tuple[str, ...] = (),
        late_at: str = "",
        late: tuple[Callable[[], None], ...] = (),
    ) -> None:
        """Count from nothing, with these faults, on a disk that does not know some operations."""
        self.faults, self.unknown, self.late_at, self.late = faults, unknown, late_at, list(late)
        self.calls.clear()
        self.struck.clear()
        self.is_armed = True

    def end(self) -> None:
        """Let everything through again."""
        self.is_armed = False

    def strike(self, operation: str) -> Fault | None:
        """Count a call; return the fault that strikes it."""
        if self.late and operation == self.late_at:
            self.is_armed = False
            self.late.pop(0)()
            self.is_armed = True
        for name in (operation, ANY):
            self.calls[name] += 1
        for fault in self.faults:
            if fault.operation in (operation, ANY) and fault.strikes(self.calls[fault.operation]):
                self.struck.append(fault)
                return fault
        return None

    def do(self, operation: str, real: Callable[..., Any], *args: Any, **named: Any) -> Any:
        """Do an operation, unless a fault strikes it."""
        fault = self.strike(operation) if self.is_armed else None
        if self.is_armed and operation in self.unknown:
            raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP))
        if fault is None:
            return real(*args, **named)
        if fault.after:
            real(*args, **named)
        raise said(fault)


def said(fault: Fault) -> OSError:
    """Return what the system says of a fault."""
    return OSError(fault.error, os.strerror(fault.error))


class WatchedFile(io.FileIO):
    """A raw file whose reads, writes and closing pass the disk; half of a failed write is there."""

    disk: Disk

    def write(self, data: Any) -> int:
        fault = self.disk.strike("write") if self.disk.is_armed else None
        if fault is None:
            return super().write(data)
        if fault.error != errno.EINTR:  # an interrupted one has written nothing
            super().write(data if fault.after else bytes(data)[: len(data) // 2])
        raise said(fault)

    def readinto(self, buffer: Any) -> int:
        done: int = self.disk.do("read", super().readinto, buffer)
        return done

    def readall(self) -> bytes:
        data: bytes = self.disk.do("read", super().readall)
        return data

    def close(self) -> None:
        """Close it: the system does so even where it says that it failed."""
        if self.closed or not self.closefd:
            return super().close()
        fault = self.disk.strike("close") if self.disk.is_armed else None
        super().close()
        if fault is not None:
            raise said(fault)
        return None


def watched_disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    """Put a disk between the program and the system until the test is over."""
    disk = Disk()
    _watch_handles(disk, monkeypatch)
    _watch_files(disk, monkeypatch)
    for name in PLAIN:
        monkeypatch.setattr(os, name, _passing(disk, name, getattr(os, name)))
    if sys.platform != "win32":
        import fcntl

        monkeypatch.setattr(fcntl, "flock", _passing(disk, "flock", fcntl.flock))
        monkeypatch.setattr(fcntl, "fcntl", _passing(disk, "lease", fcntl.fcntl))
    call = swap._renameat2()
    monkeypatch.setattr(swap, "_renameat2", lambda: call and _exchanging(disk, call))
    return disk


def _passing(disk: Disk, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
    def passed(*args: Any, **named: Any) -> Any:
        return disk.do(name, real, *args, **named)

    return passed


def _watch_handles(disk: Disk, monkeypatch: pytest.MonkeyPatch) -> None:
    real_open, real_close, real_fsync, real_fstat = os.open, os.close, os.fsync, os.fstat

    def opened(*args: Any, **named: Any) -> int:
        fault = disk.strike("open") if disk.is_armed else None
        if fault is None:
            return real_open(*args, **named)
        if fault.after:
            real_close(real_open(*args, **named))
        raise said(fault)

    def closed(handle: int) -> None:
        fault = disk.strike("close") if disk.is_armed else None
        real_close(handle)
        if fault is not None:
            raise said(fault)

    def flushed(handle: int) -> None:
        is_folder = stat.S_ISDIR(real_fstat(handle).st_mode)
        disk.do(f"fsync of the {'folder' if is_folder else 'file'}", real_fsync, handle)

    monkeypatch.setattr(os, "open", opened)
    monkeypatch.setattr(os, "close", closed)
    monkeypatch.setattr(os, "fsync", flushed)


def _watch_files(disk: Disk, monkeypatch: pytest.MonkeyPatch) -> None:
    real = io.open

    class Watched(WatchedFile):
        pass

    Watched.disk = disk

    def opened(file: Any, mode: str = "r", buffering: int = -1, *rest: Any, **named: Any) -> Any:
        if not disk.is_armed:
            return real(file, mode, buffering, *rest, **named)
        assert "b" in mode, "a save writes and reads bytes"
        if not isinstance(file, int) and (fault := disk.strike("open")) is not None:
            raise said(fault)
        raw = Watched(file, mode.replace("b", ""), closefd=named.get("closefd", True))
        if buffering == 0:
            return raw
        return io.BufferedWriter(raw) if "w" in mode else io.BufferedReader(raw)

    monkeypatch.setattr(io, "open", opened)


def _exchanging(disk: Disk, real: Callable[..., int]) -> Callable[..., int]:
    def called(*args: Any) -> int:
        try:
            done: int = disk.do("exchange", real, *args)
        except OSError as error:
            ctypes.set_errno(error.errno or 0)
            return -1
        return done

    return called
