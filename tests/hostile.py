"""Hostile inputs, each a function of its number: small files of a book with things amiss.

Each is a head and some tables of a golden file, or a fragment that looks like TOML, with one to
three mutations: bytes flipped, cut, doubled, spliced from another file, odd tokens, deep nesting,
long keys, huge numbers, controls, bad UTF-8, strange line ends.
"""

from __future__ import annotations

import re
from functools import cache
from random import Random

from tests.hostile_mutations import BYTE_MUTATIONS, MUTATIONS, Sort, bases, odd_token

WORDS = (
    "format", "rig", "part", "record", "kind", "a", "bell", "read", "open", "on", "x", '"q k"',
    "''", "1",
)  # fmt: skip
VALUES = (
    "1", "-2.5", '"text"', "'raw'", "true", "[1, 2]", "{ open = true }", "2027-01-01", "[]", "{}",
)  # fmt: skip


def hostile(number: int) -> tuple[Sort, bytes]:
    """Return one input: the sort of file that it pretends to be, and its bytes."""
    rng = Random(number)
    sort: Sort = rng.choice(("page", "page", "page", "page", "page", "page", "book", "ticks"))
    text = fragment(rng) if rng.random() < 0.2 else some_sections(rng, rng.choice(bases(sort)))
    for _ in range(rng.choice((1, 1, 1, 1, 1, 2, 3))):
        text = rng.choice(MUTATIONS)(rng, text)
    data = text.encode("utf-8", "surrogatepass")
    if rng.random() < 0.15:
        data = rng.choice(BYTE_MUTATIONS)(rng, data)
    return sort, data


def fragment(rng: Random) -> str:
    """Return lines that look like TOML, of any words; now and then below a page's head."""
    lines = bases("page")[0].split("\n")[:-1] if rng.random() < 0.8 else []
    for _ in range(rng.randrange(1, 8)):
        key = ".".join(rng.choices(WORDS, k=rng.choice((1, 1, 1, 2, 2, 3, 5))))
        shape = rng.randrange(6)
        if shape == 0:
            lines.append(f"[{key}]")
        elif shape == 1:
            lines.append(f"[[{key}]]")
        else:
            value = rng.choice(VALUES) if shape < 5 else odd_token(rng)
            lines.append(f"{key} = {value}")
    return "\n".join(lines) + "\n"


@cache
def _sections(text: str) -> tuple[str, ...]:
    return tuple(re.split(r"\n(?=\[)", text))


def some_sections(rng: Random, text: str) -> str:
    """Return a file's head and some of its tables: a page of few parts."""
    head, *tables = _sections(text)
    return "\n".join([head, *(table for table in tables if rng.random() < 0.6)])
