"""How the file of a put-back's ticks is called: after the page as it is now, and the one wanted."""

from __future__ import annotations

from pathlib import Path as FilePath

from model.book.ticks_value import Ticks
from model.errors import CannotDo, Problem

ENDING = ".putback"
"""No page's ending: the list of pages looks at ``*.toml`` alone."""

LONGEST_NAME = 255


def ticks_path(folder: FilePath, now: str, wanted: str) -> FilePath:
    """Return the file of the ticks from the page ``now`` to ``wanted``, by their pages' names.

    Raises :class:`CannotDo` for what is no page's name.
    """
    for name in (now, wanted):
        check_page_name(name)
    file = _file_name(now, wanted)
    if len(file.encode()) > LONGEST_NAME:
        raise _no_page_name(file, f"a file's name has {LONGEST_NAME} bytes at most")
    return folder / file


def check_page_name(name: str) -> None:
    """Raise :class:`CannotDo` for what can be no page's name."""
    is_file = name.isprintable() and name == name.strip() and not set(name) & {"/", "\\"}
    if not is_file or name[:1] in ("", "."):
        raise _no_page_name(name, "a page is named by its file, without the ending")


def _file_name(now: str, wanted: str) -> str:
    return f"{now}--{wanted}{ENDING}"


def _no_page_name(name: str, why: str) -> CannotDo:
    problem = Problem(
        code="no-page-name",
        what="no put-back can be named after it",
        why=why,
        right="2026-03-21-after-fill-in",
        key=name or "(nothing)",
    )
    return CannotDo("the put-back has no file", (problem,))


def other_pages(path: FilePath, ticks: Ticks) -> Problem | None:
    """Return what is wrong where a file of ticks is not named after its two pages."""
    right = _file_name(ticks.now, ticks.wanted)
    if path.name == right:
        return None
    return Problem(
        code="other-pages",
        what=f"it is about {ticks.now} and {ticks.wanted}, and its name is of other pages",
        why="a file of ticks is named after the page as it is now and the page that is wanted",
        right=right,
        path=str(path),
        key="now",
    )
