"""Readings as they are written on the command line or in standard input: which, and how."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from model.readings.angles import READ_FROM

if TYPE_CHECKING:
    from model.book.take import Hand
    from model.readings.quantity import Refusal

_LINE = re.compile(r'\s*(?:"(?P<quoted>[^"]*)"|(?P<part>\S+))\s+(?P<setting>\S+)(?P<value>.*)')
_OPTION = re.compile(r"(using|u|from)=(\"[^\"]*\"|\S+)|note=(.*)")


@dataclass(frozen=True, slots=True)
class Line:
    """One reading as it was written: which line, what part and setting, what value, how."""

    number: int | None
    part: str
    setting: str
    value: str
    options: str = ""


def lines_of(texts: Iterable[str]) -> Iterable[Line]:
    """Yield the readings of a text; a line that is none is one without a setting."""
    for number, text in enumerate(texts, 1):
        written = text.strip()
        if not written or written.startswith("#"):
            continue
        body, _, options = written.partition(" | ")
        if match := _LINE.fullmatch(body):
            part = match["quoted"] if match["quoted"] is not None else match["part"]
            yield Line(number, part, match["setting"], match["value"].strip(), options)
        else:
            yield Line(number, written, "", "", options)


def with_options(hand: Hand, text: str) -> Hand | Refusal:
    """Return how a reading was taken, with what its line says after the bar, or why not."""
    from model.readings.quantity import Refusal

    rest = text.strip()
    while rest:
        match = _OPTION.match(rest)
        if match is None:
            return Refusal(f"{rest!r} is none of using=, u=, from=, note=", "using=level u=0.2")
        name, value = (match[1] or "note"), (match[2] or match[3] or "").strip('"')
        if name == "u":
            try:
                u = float(value)
            except ValueError:
                u = -1.0
            if not 0 <= u < 1e5:
                return Refusal(f"u={value} is no uncertainty", "u=4")
            hand = replace(hand, u=u)
        elif name == "from":
            found = next((word for word in READ_FROM if word == value), None)
            if found is None:
                return Refusal(f"from={value} is none of {', '.join(READ_FROM)}", "from=gravity")
            hand = replace(hand, read_from=found)
        elif name == "using":
            hand = replace(hand, using=value)
        else:
            hand = replace(hand, note=value)
        rest = rest[match.end() :].strip()
    return hand
