"""Names and ids of new parts: what a name may be, and an id that no other machine makes."""

from __future__ import annotations

import re
import secrets
import unicodedata
from collections.abc import Callable, Collection

from model.clean import clean
from model.readings.quantity import Refusal

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


def slug_of(name: str, longest: int = 40) -> str:
    """Return a name as small ASCII letters, digits and single hyphens; ``part`` for none."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:longest].strip("-") or "part"


def new_id(name: str, taken: Collection[str], pair: Pair = random_pair) -> str:
    """Return an id for a part of that name: what it is called, and a random pair."""
    while (made := f"{slug_of(name)}-{pair()}") in taken:
        continue
    return made


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
