"""Whether someone else has a file open to write: what they write next would go with it."""

from __future__ import annotations

import contextlib
import errno
import os
import signal
import sys
from pathlib import Path as FilePath


def is_being_written(path: FilePath) -> bool:
    """Tell whether a file is open for writing; False as well where the system does not tell.

    Linux refuses a read lease on such a file (fcntl(2), F_SETLEASE). It tells only about one's own
    files; a network disk refuses every lease, and knows no exchange after which one would ask.
    """
    if not sys.platform.startswith("linux"):
        return False
    import fcntl

    try:
        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
    except OSError:
        return False
    try:
        # Who opens it before the lease is given back sends a signal: one that nobody heeds.
        fcntl.fcntl(handle, fcntl.F_SETSIG, signal.SIGURG)
        fcntl.fcntl(handle, fcntl.F_SETLEASE, fcntl.F_RDLCK)
    except OSError as error:
        return error.errno == errno.EAGAIN
    finally:
        with contextlib.suppress(OSError):
            os.close(handle)  # and the lease with it
    return False
