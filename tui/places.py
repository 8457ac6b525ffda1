"""Where one was on a page's walk: a word in the user's state folder, no part of any book."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

from model.disk.journal import Journal


def state_folder(environ: Mapping[str, str] = os.environ) -> Path:
    """Return the folder for what the program remembers between two starts."""
    base = environ.get("XDG_STATE_HOME")
    return (Path(base) if base else Path.home() / ".local" / "state") / "clampbook"


def page_journal(clock: Callable[[], datetime], folder: Path | None = None) -> Journal:
    """Return the journal of the pages' changes, in the user's state folder."""
    return Journal((folder or state_folder()) / "journal", clock)


def short_path(folder: Path) -> str:
    """Return a folder as a person writes it: from the home folder on, where it is in it."""
    try:
        return str(Path("~") / folder.relative_to(Path.home()))
    except (ValueError, RuntimeError):
        return str(folder)


def remember_place(page: Path, key: str, folder: Path | None = None) -> None:
    """Remember the setting that one was at. A place that cannot be kept is no loss of readings."""
    path = _path(page, folder or state_folder())
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(key, "utf-8")
    except OSError:
        return


def remembered_place(page: Path, folder: Path | None = None) -> str | None:
    """Return the setting that one was at when the page was left, if it is known."""
    try:
        return _path(page, folder or state_folder()).read_text("utf-8")[:200] or None
    except (OSError, ValueError):
        return None


def _path(page: Path, folder: Path) -> Path:
    name = hashlib.sha256(str(page.resolve()).encode("utf-8", "surrogateescape")).hexdigest()[:24]
    return folder / "places" / name
