"""Making the disk confirm: what a file holds, and which names a folder has."""

from __future__ import annotations

import os
import sys
from pathlib import Path as FilePath


def flush_file(path: FilePath) -> None:
    """Wait until a file that someone else wrote is on the disk; raises :class:`OSError`."""
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def flush_folder(folder: FilePath) -> None:
    """Wait until a folder's names are on the disk; raises :class:`OSError`. Windows has no way."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
        os.fstat(handle)  # xfs passes the flush of a disk that is gone, and says so only here
    finally:
        os.close(handle)
