"""Names and ids of new parts: what a name may be, and an id that no other machine makes."""

from __future__ import annotations

import re
import secrets
import unicodedata
from collections.abc import Callable, Collection

from model.clean import clean
from model.readings.quantity import Refusal
from model.rig.page import Page
from model.rig.part import FLOOR, NOT_HUNG

LONGEST_NAME = 80
PAIR = "abcdefghjkmnpqrstuvwxyz23456789"
"""What the random pair at an id's end is of: nothing that looks like another."""

Pair = Callable[[], str]


def random_pair() -> str:
    """Return two random characters: two people who add a part at once get two ids."""
    return "".join(secrets.choice(PAIR) for _ in range(2))


def checked_name(typed: str, what: str = "a name") -> str | Refusal:
    """Return a name as it is kept, or why it is none.

    Any letters of any script may stand in it; what steers a terminal or hides text may not.
    """
    name = re.sub(" +", " ", typed).strip()
    if not name:
        return Refusal(f"{what} is needed", "Ride boom")
    if len(name) > LONGEST_NAME:
        return Refusal(f"{what} of {len(name)} characters", f"{LONGEST_NAME} at most")
    if clean(name) != name:
        return Refusal(f"{what} with characters that do not show", "letters, digits and signs")
    return name


def hyphened(text: str) -> str:
    """Return a text as small ASCII letters, digits and single hyphens; it may come out empty."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")


def slug_of(name: str, longest: int = 40) -> str:
    """Return a name as the beginning of an id; ``part`` where nothing of it can stand in one."""
    return hyphened(name)[:longest].strip("-") or "part"


def new_id(name: str, taken: Collection[str], pair: Pair = random_pair) -> str:
    """Return an id for a part of that name: what it is called, and a random pair."""
    while (made := f"{slug_of(name)}-{pair()}") in taken:
        continue
    return made


def free_id(
    page: Page, own: str | None, name: str, pair: Pair = random_pair, example: str = "ride-boom"
) -> str | Refusal:
    """Return the id of a part or a spot that is new on a page: ``own`` where it may be that."""
    taken = {FLOOR, NOT_HUNG, *page.by_id, *page.by_spot}
    if own is None:
        return new_id(name, taken, pair)
    if refused := refused_id(own, example):
        return refused
    if own in taken:
        return Refusal(f"{own} is there already", new_id(name, taken, pair))
    return own


def refused_id(text: str, example: str) -> Refusal | None:
    """Return why a text is no id; None where it may be one."""
    if is_id(text):
        return None
    return Refusal(f"{text!r} is no id", f"small letters, digits and hyphens: {example}")


def names_of(page: Page) -> set[str]:
    """Return what the parts are called."""
    return {part.name for part in page.parts}


def free_name(name: str, taken: Collection[str]) -> str:
    """Return the name, with the first free number behind it where another part has it."""
    stem, number = re.sub(r" \d+$", "", name), 2
    if name not in taken:
        return name
    while (made := f"{shortened(stem, LONGEST_NAME - 1 - len(str(number)))} {number}") in taken:
        number += 1
    return made


def shortened(name: str, longest: int = LONGEST_NAME) -> str:
    """Return a name that is made from others, as long as one may be."""
    return name if len(name) <= longest else f"{name[: longest - 1].rstrip()}…"


def is_id(text: str) -> bool:
    """Tell whether a text may be the id of a part, a spot or a kind."""
    return re.fullmatch(r"[a-z0-9][a-z0-9_-]{0,63}", text) is not None
