"""Second versions of a page that a file service or a hand put beside it: conflicts, no nights."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar


class _Head(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def date(self) -> object: ...
    @property
    def moment(self) -> str: ...
    @property
    def rig(self) -> str: ...
    @property
    def venue(self) -> str: ...
    @property
    def began(self) -> object: ...


H = TypeVar("H", bound=_Head)


def without_copies(heads: Iterable[H]) -> tuple[list[H], list[tuple[H, str]]]:
    """Return the pages, and apart from them each second version with the name of its page.

    Every service has its own way of naming one, and all of them put something after the name: what
    begins with another page's whole name, and says the same rig, date and moment in its head, and
    the same house or the same beginning, is a version of that page. A page of another moment is a
    page, whatever it is called.
    """
    pages: list[H] = []
    copies: list[tuple[H, str]] = []
    for head in sorted(heads, key=lambda head: (len(head.name), head.name)):
        page = next((page for page in pages if _is_version(head, page)), None)
        if page is None:
            pages.append(head)
        else:
            copies.append((head, page.name))
    return pages, copies


def _is_version(head: _Head, page: _Head) -> bool:
    if not head.name.startswith(page.name):
        return False
    same = (head.rig, head.date, head.moment) == (page.rig, page.date, page.moment)
    return same and (head.began == page.began or head.venue == page.venue)
