"""The page's layout: one setting a line, a blank line between, stable order. Scalars by tomli-w."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time

import tomli_w

Plain = object
"""A TOML value: text, number, boolean, date, sequence, mapping, or :class:`AsWritten`."""

_MOST_BITS = 14_000
_BARE = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True)
class AsWritten:
    """A value that is TOML text already: one that Clampbook does not know."""

    text: str


def key_text(*parts: str) -> str:
    """Return a dotted key, each part bare where TOML allows it."""
    return ".".join(part if _BARE.fullmatch(part) else _scalar(part) for part in parts)


def value_text(value: Plain) -> str:
    """Return a value as TOML on one line."""
    if isinstance(value, AsWritten):
        return value.text
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key_text(k)} = {value_text(v)}" for k, v in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(value_text(item) for item in value)}]"
    return _scalar(value)


def _scalar(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return f"{value:.1f}"
    if isinstance(value, int) and value.bit_length() > _MOST_BITS:
        return hex(value)  # Python writes no decimal number of so many digits
    if isinstance(value, datetime):
        return value.isoformat()  # with the T of RFC 3339
    if isinstance(value, str | int | float | date | time):
        return tomli_w.dumps({"k": value})[4:-1]
    raise TypeError(f"{type(value).__name__} is no TOML scalar")


def entry_line(key: Iterable[str], value: Plain) -> str:
    """Return ``key = value``."""
    return f"{key_text(*key)} = {value_text(value)}"


def table_lines(path: Iterable[str], entries: Mapping[str, Plain]) -> list[str]:
    """Return a table: its header, then one line an entry."""
    return [f"[{key_text(*path)}]", *(entry_line((k,), v) for k, v in entries.items())]


def spaced_table_lines(path: Iterable[str], entries: Mapping[str, Plain]) -> list[str]:
    """Return a table with a blank line round each entry, so that neighbours merge."""
    lines = [f"[{key_text(*path)}]"]
    for key, value in entries.items():
        lines += ["", entry_line((key,), value)]
    return lines


def paragraphs(blocks: Iterable[list[str]]) -> str:
    """Join blocks of lines with a blank line between, a line break at the end."""
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"
