"""Which three pages are meant: the home, the last page, and this one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from model.book.heads import Listing, PageHead
from model.errors import CannotDo, Problem

Found = Literal["begun from", "the one before", "none"]


@dataclass(frozen=True, slots=True)
class Three:
    """Which pages of a book are meant: ``last`` is None for the book's first page."""

    home_name: str
    home: PageHead
    last: PageHead | None
    last_is: Found
    this: PageHead
    notes: tuple[str, ...] = ()


def three_pages(listing: Listing, this: str, home_name: str = "") -> Three:
    """Return which pages are meant with ``this`` one; the home by its name, or the first one.

    The last page is the one that this was begun from, else the one before it. Raises
    :class:`CannotDo` where there is no such home.
    """
    name = _home_name(listing, home_name)
    home = listing.named(listing.book.homes[name])
    now = listing.named(this)
    if home is None:
        raise refused_three(
            "no-home-page",
            f"the home {name} names {listing.book.homes[name]}, and the book has no such page",
            f'{name} = "{listing.pages[0].name if listing.pages else "2026-03-06-soundcheck"}"',
            f"homes.{name}",
        )
    if now is None:
        raise refused_three(
            "not-listed",
            f"{this} is no page that the book lists",
            listing.pages[-1].name if listing.pages else "a page of the book",
        )
    if home.name == now.name:
        others = [other for other, page in listing.book.homes.items() if page != this]
        raise refused_three(
            "is-home",
            f"{this} is the home {name} itself",
            f"--home {others[0]}, or another page" if others else "another page of the book",
        )
    last, how, notes = _last_page(listing, now)
    if last is not None and last.name == home.name:
        notes = (*notes, f"the last page is the home {name} itself")
    others = [other for other in listing.book.homes if other != name]
    if others and not home_name:
        notes = (*notes, f"home is {name}, the book's first; it has {', '.join(others)} as well")
    return Three(name, home, last, how, now, notes)


def _home_name(listing: Listing, name: str) -> str:
    homes = listing.book.homes
    if not homes:
        example = listing.pages[0].name if listing.pages else "2026-03-06-soundcheck"
        raise refused_three(
            "no-home",
            "the book names no home",
            f'main = "{example}" below [homes] in book.toml',
            "homes",
        )
    if name and name not in homes:
        right = " or ".join(f"--home {other}" for other in homes)
        raise refused_three("no-home", f"the book has no home {name}", right, "homes")
    return name or next(iter(homes))


def _last_page(listing: Listing, now: PageHead) -> tuple[PageHead | None, Found, tuple[str, ...]]:
    begun_from = listing.named(now.begun_from) if now.begun_from else None
    if begun_from is not None:
        return begun_from, "begun from", ()
    notes: tuple[str, ...] = ()
    if now.begun_from:
        notes = (f"it was begun from {now.begun_from}, and the book has no such page",)
    at = listing.pages.index(now)
    if at:
        return listing.pages[at - 1], "the one before", notes
    return None, "none", (*notes, "no page of the book is before it")


def refused_three(code: str, what: str, right: str, key: str | None = None) -> CannotDo:
    """Return the refusal of a comparison with home."""
    problem = Problem(code=code, what=what, right=right, key=key)
    return CannotDo("cannot compare with the home", (problem,))
