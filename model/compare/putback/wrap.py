"""Lines no wider than a terminal, or a sheet of paper."""

from __future__ import annotations

import textwrap

from model.clean import clean

WIDTH = 80


def wrapped(text: str, indent: str = "") -> list[str]:
    """Return a text in lines of 80 columns, the later ones indented; a longer word is not cut."""
    return textwrap.wrap(
        clean(text), WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    ) or [""]
