"""A folder in memory, for tests that write ten thousand times: faults strike there as well."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

MEMORY = Path("/dev/shm")


@contextmanager
def in_memory(otherwise: Path) -> Iterator[Path]:
    """Give an empty folder in memory; where there is none, the one that was given."""
    if not MEMORY.is_dir():
        yield otherwise
        return
    folder = Path(tempfile.mkdtemp(dir=MEMORY))
    try:
        yield folder
    finally:
        shutil.rmtree(folder)
