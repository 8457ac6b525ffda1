"""The answer of building: what is printed, and ``--json``."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from model.book.page_file import PageFile
from model.frozen import Frozen
from model.rig.tree import rig_tree


class StepTaken(Frozen):
    """One step: done, with the part to look at, or refused and why."""

    line: int | None = None
    typed: str
    done: bool
    what: str | None = None
    id: str | None = None
    refused: str | None = None
    right: str | None = None


class KindTold(Frozen):
    """A kind that can hang somewhere: its joints from root to tip, and its outlets."""

    id: str
    name: str
    joints: tuple[str, ...]
    outlets: tuple[str, ...]


class Built(Frozen):
    """All the steps of one call; ``loose`` are the parts that are not hung now.

    ``kinds`` are those that were asked for.
    """

    answer: Literal["build"] = "build"
    version: Literal[1] = 1
    page: str
    path: str
    steps: tuple[StepTaken, ...]
    parts: int
    loose: tuple[str, ...] = ()
    kinds: tuple[KindTold, ...] = ()


class BookBegun(Frozen):
    """A book that was made, and its first page."""

    answer: Literal["rig"] = "rig"
    version: Literal[1] = 1
    book: str
    page: str
    path: str


def built_answer(file: PageFile, steps: Iterable[StepTaken]) -> Built:
    """Tell the page after its steps."""
    loose = tuple(part.id for part in rig_tree(file.page).not_hung)
    return Built(
        page=file.name,
        path=str(file.path),
        steps=tuple(steps),
        parts=len(file.page.parts),
        loose=loose,
    )
