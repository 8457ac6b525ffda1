"""The sample pages as plain TOML tables: what the checks from outside the model read."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2] / "sample_rigs"
PAGES = sorted(path for path in ROOT.glob("*/*.toml") if path.name != "book.toml")
STATES = ("read", "seen", "carried")


@cache
def page_at(path: Path) -> dict[str, Any]:
    """Read one page's tables."""
    return tomllib.loads(path.read_text("utf-8"))


def pages_of(book: str) -> dict[str, dict[str, Any]]:
    """Return a book's pages by name, in the order in which they were begun."""
    held = {path.stem: page_at(path) for path in PAGES if path.parent.name == book}
    return dict(sorted(held.items(), key=lambda item: item[1]["began"]))


def value_of(page: dict[str, Any], owner: str, name: str) -> float | None:
    """Return a setting's value in mm, degrees or teeth; None where it is open or follows."""
    setting = page["record"][owner][name]
    return next((setting[state] for state in STATES if state in setting), None)
