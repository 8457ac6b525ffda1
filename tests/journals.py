"""A page with a journal beside it, and a book that can be made to take nothing."""

from __future__ import annotations

import errno
import os
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from model.book.edits import SettingEdit
from model.book.page_file import PageFile, open_page
from model.book.recording import record
from model.disk.journal import Journal
from model.rig.setting import Setting, taken
from tests.rack_stage import SECOND, small_book

FIRST_TIME = datetime(2025, 3, 15, 18, 40, tzinfo=UTC)


def journal_in(folder: Path) -> Journal:
    """Return a journal whose clock goes a second on with each line."""
    seconds = count()
    return Journal(folder / "journal", lambda: FIRST_TIME + timedelta(seconds=next(seconds)))


def night(folder: Path) -> tuple[PageFile, Journal]:
    """Return the second page of a small book, just begun, and its journal."""
    book = small_book(folder / "tour")
    return open_page(book / f"{SECOND}.toml"), journal_in(folder)


def reading(file: PageFile, key: str, value: float, by: str = "AK") -> SettingEdit:
    """Return the edit that reads a setting."""
    return SettingEdit(key, taken(file.page.setting(key), value, using="tape", by=by))


def read(file: PageFile, journal: Journal | None, key: str, value: float) -> PageFile:
    """Record a reading."""
    return record(file, reading(file, key, value), journal, f"{key} read")


def on_disk(file: PageFile, key: str) -> Setting:
    """Return what the disk says of a setting."""
    return open_page(file.path).page.setting(key)


def full(monkeypatch: pytest.MonkeyPatch, name: str = "model.disk.save._written_beside") -> None:
    """Let the book's folder take nothing any more."""

    def refuse(*_args: object) -> Path:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(name, refuse)
