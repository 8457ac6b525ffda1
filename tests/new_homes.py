"""A small book for new homes: two nights of a sample, and the home between them."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from model.book.adopt_answer import Adopted
from model.book.new_home import Wish, adopt_pieces
from model.disk.lock import LOCK_NAME

ROOT = Path(__file__).parent.parent / "sample_rigs" / "harbour-dance"
HOME, FILL_IN, BACK = (
    "2026-03-08-soundcheck",
    "2026-03-21-after-fill-in",
    "2026-03-22-soundcheck",
)
BEGAN = datetime(2026, 4, 10, 12, 0, tzinfo=UTC)


def book_of(folder: Path, *names: str) -> Path:
    """Copy book.toml and some pages of the sample into a folder of their own."""
    folder.mkdir(parents=True)
    for name in ("book", *names):
        shutil.copy(ROOT / f"{name}.toml", folder)
    return folder


def wish(*pieces: str, **more: Any) -> Wish:
    return Wish(pieces=pieces, reason="lower since the injury", began=BEGAN, **more)


def adopt(book: Path, page: str, *pieces: str, **more: Any) -> Adopted:
    return adopt_pieces(book, book / f"{page}.toml", wish(*pieces, **more))


def contents(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.name != LOCK_NAME}
