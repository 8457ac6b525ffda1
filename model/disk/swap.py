"""Two files change names in one step, where the system can: then nothing is written over."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from functools import cache
from pathlib import Path as FilePath
from typing import Any

AT_FDCWD = -100
NO_REPLACE, EXCHANGE = 1, 2
"""RENAME_NOREPLACE and RENAME_EXCHANGE of renameat2(2), Linux 3.15."""
UNKNOWN = frozenset({errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EPERM})
"""What a system or a file system says that does not know the exchange."""


def exchange(one: FilePath, other: FilePath) -> bool:
    """Let two files change names; False where that cannot be done in one step here.

    Raises :class:`OSError` where the disk refuses it.
    """
    return _renamed(one, other, EXCHANGE)


def rename_to_free(one: FilePath, other: FilePath) -> bool:
    """Give a file a name that nobody has; False where that cannot be done in one step here.

    Raises :class:`FileExistsError` where it is taken, :class:`OSError` where the disk refuses it.
    """
    return _renamed(one, other, NO_REPLACE)


def _renamed(one: FilePath, other: FilePath, how: int) -> bool:
    call = _renameat2()
    if call is None:
        return False
    names = os.fsencode(one), os.fsencode(other)
    if call(AT_FDCWD, names[0], AT_FDCWD, names[1], how) == 0:
        return True
    number = ctypes.get_errno()
    if number in UNKNOWN:
        return False
    raise OSError(number, os.strerror(number), str(other))


@cache
def _renameat2() -> Any:
    if not sys.platform.startswith("linux"):
        return None
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is not None:
        text, number = ctypes.c_char_p, ctypes.c_int
        call.argtypes = (number, text, number, text, ctypes.c_uint)
        call.restype = number
    return call
