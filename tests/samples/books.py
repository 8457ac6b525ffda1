"""The sample books as files: book.toml and the pages, by path below ``sample_rigs``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from model.book.into_toml import instrument_table, kind_table
from model.book.layout import entry_line, paragraphs, spaced_table_lines, table_lines
from model.readings.instruments import GENERIC_INSTRUMENTS
from tests.samples.drawing import Drawing, read_drawing
from tests.samples.fly_rack import fly_rack
from tests.samples.harbour_dance import harbour_dance
from tests.samples.pit_percussion import pit_percussion

TITLE = "# Clampbook book. Millimetres, degrees, teeth."


def sample_files() -> dict[str, str]:
    """Return every file of the sample books: its path below ``sample_rigs``, and its text."""
    files: dict[str, str] = {}
    for name, drawing_name, pages, homes, about in BOOKS:
        drawing = read_drawing(drawing_name)
        files[f"{name}/book.toml"] = book_text(drawing, homes, about)
        for page, sheet in pages().items():
            files[f"{name}/{page}.toml"] = sheet.text
    return files


BOOKS = (
    (
        "harbour-dance",
        "harbour_dance",
        harbour_dance,
        {"main": "2026-03-08-soundcheck", "fill-in": "2026-03-21-after-fill-in"},
        "# Look at: 2026-03-21-soundcheck and 2026-03-21-after-fill-in (a fill-in moved much), "
        "2026-03-22-soundcheck (put back), 2026-03-26-soundcheck (the rig changed), and the clamp "
        "of serial C-07 over the nights (it slips).",
    ),
    (
        "pit-percussion",
        "pit_percussion",
        pit_percussion,
        {"main": "2026-04-15-soundcheck", "second-house": "2026-04-19-soundcheck"},
        "# Look at: 2026-04-16-after-show (the splash droops) and 2026-04-18-between-shows (the "
        "player's new stool height, normal from then on).",
    ),
    (
        "fly-rack",
        "fly_rack",
        fly_rack,
        {"main": "2026-05-09-soundcheck"},
        "# Look at: 2026-05-08-collected (nearly everything open), then how the two dates fill it.",
    ),
)


def book_text(drawing: Drawing, homes: Mapping[str, str], about: str) -> str:
    """Return a book's own file."""
    book = drawing.book
    head: list[str] = [TITLE, about]
    head += [entry_line((name,), book[name]) for name in ("title", "rig", "crew")]
    head += [entry_line((name,), book[name]) for name in ("walk", "short_walk")]
    blocks = [head, spaced_table_lines(("homes",), homes)]
    instruments = {i.id: instrument_table(i) for i in GENERIC_INSTRUMENTS}
    blocks.append(spaced_table_lines(("instrument",), instruments))
    for role, tolerance in drawing.tolerances.items():
        blocks.append(table_lines(("tolerance", role), _plain(tolerance)))
    for kind in drawing.own_kinds.values():
        blocks.append(table_lines(("kind", kind.id), kind_table(kind)))
    return paragraphs(blocks)


def _plain(table: Mapping[str, Any]) -> dict[str, object]:
    return dict(table)
