"""A disk whose power is cut: all that it did not put down yet is gone when it is mounted again.

Source: the shutdown ioctl of xfs, which ext4 knows by the same number; with the flag that the log
is not flushed either. What the page cache holds never reaches the disk, as in a real cut.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import struct
import subprocess
import time
from pathlib import Path
from random import Random

import pytest

from model.errors import NotConfirmed, NotSaved, UnreadableFile
from tests.saving import Writer
from tests.small_disks import mount

SHUTDOWN = (2 << 30) | (4 << 16) | (ord("X") << 8) | 125
"""XFS_IOC_GOINGDOWN and EXT4_IOC_SHUTDOWN: _IOR('X', 125, __u32)."""
NO_LOG_FLUSH = 2
TOLD, ELSE = 3, 4
"""How a writer ends: with an error of ours, or with another one."""
LATEST = 0.15
"""Seconds after which the power goes at the latest."""


class PowerDisk:
    """A file system in a file, whose power can be cut."""

    def __init__(self, kind: str, folder: Path) -> None:
        make = shutil.which(f"mkfs.{kind}", path=f"{os.environ['PATH']}:/usr/sbin:/sbin")
        if make is None:
            pytest.skip(f"mkfs.{kind} is not installed")
        self.image, self.place = folder / "image", folder / "disk"
        self.place.mkdir()
        with self.image.open("wb") as file:
            file.truncate(320 << 20)
        subprocess.run([make, "-q", str(self.image)], check=True, capture_output=True)
        self.mount()

    def mount(self) -> None:
        """Mount it; what was on its way when the power went is put right by its journal."""
        mount("-o", "loop", str(self.image), str(self.place))

    def unmount(self) -> None:
        """Take it away."""
        subprocess.run(["umount", str(self.place)], check=True)

    def cut(self) -> None:
        """Cut the power; skip where this file system knows no such thing."""
        handle = os.open(self.place, os.O_RDONLY)
        try:
            fcntl.ioctl(handle, SHUTDOWN, struct.pack("I", NO_LOG_FLUSH))
        except OSError as error:
            pytest.skip(f"no power to cut here: {error.strerror}")
        finally:
            os.close(handle)


def cut_a_writer(disk: PowerDisk, page: Path, writer: Writer, first: int, rng: Random) -> int:
    """Start a writer, cut its disk's power, bring it back; return the last version that it told.

    The writer outlives its disk, as when that is pulled out: it may tell nothing that is lost.
    """
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        ended = ELSE
        try:
            os.close(read)
            writer(page, first, write)
        except (NotSaved, NotConfirmed, UnreadableFile):
            ended = TOLD
        finally:
            os._exit(ended)
    os.close(write)
    time.sleep(rng.uniform(0, LATEST))
    disk.cut()
    _, status = os.waitpid(child, 0)
    disk.unmount()
    disk.mount()
    assert os.waitstatus_to_exitcode(status) == TOLD, "another exception than ours"
    with os.fdopen(read, "rb") as told:
        numbers = told.read().split()
    return int(numbers[-1]) if numbers else first - 1
