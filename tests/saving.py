"""Writers that save one version after another, and say each only when it is on the disk."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from itertools import count
from pathlib import Path

from model.book.edits import SettingEdit
from model.book.page_file import open_page
from model.book.recording import record
from model.disk import save as save_module
from model.disk.guard import hash_of
from model.disk.save import save
from model.errors import NotSaved
from model.rig.setting import taken

KEY = "clamp-l.height"
TAIL = "whole\n"
Writer = Callable[[Path, int, int], None]
"""Saves to a page from a first number on, and says each to a handle once its save has returned."""


def version(number: int) -> str:
    """Return the text of a version: its number, some length, and a last line that ends it."""
    return f"version = {number}\n" + f"# {number}\n" * (20 + number % 400) + TAIL


def write_versions(path: Path, first: int, said: int) -> None:
    """Save versions of many lengths for ever, from the one before the first on."""
    sha256 = hash_of(version(first - 1).encode())
    for number in count(first):
        sha256 = save(path, version(number), sha256)
        os.write(said, f"{number}\n".encode())


def write_readings(path: Path, first: int, said: int) -> None:
    """Record readings of one setting for ever."""
    file = open_page(path)
    for number in count(first):
        setting = taken(file.page.setting(KEY), float(number), using="tape", by="AK")
        file = record(file, SettingEdit(KEY, setting))
        os.write(said, f"{number}\n".encode())


def count_up(times: int, can_exchange: bool) -> None:
    """Add 1 to a setting so many times; its page and key are the command line's."""
    path, key = Path(sys.argv[1]), sys.argv[2]
    if not can_exchange:
        vars(save_module)["exchange"] = lambda *_: False
    done = 0
    while done < times:
        file = open_page(path)
        now = file.page.setting(key).value
        assert now is None or isinstance(now, float)
        try:
            record(file, SettingEdit(key, taken(file.page.setting(key), (now or 0.0) + 1.0)))
        except NotSaved:
            continue
        done += 1
