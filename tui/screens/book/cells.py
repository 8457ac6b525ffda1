"""How the book screen is drawn: nights and pages with house, homes and counts."""

from __future__ import annotations

from model.book.heads import PageHead
from tui.screens.book.state import BookState
from tui.widgets.line import Cell

DATE, MOMENT, HOME, COUNT = 11, 16, 9, 7
WORDS = ("read", "seen", "carried", "open")


def title_cells(state: BookState) -> list[Cell]:
    """Return the first line: the book, how many nights and pages."""
    nights, pages = len(state.listing.nights()), len(state.listing.pages)
    right = f" {nights} night{'s' * (nights != 1)}, {pages} page{'s' * (pages != 1)}"
    beside = f" {state.beside} beside the pages: v " if state.beside else ""
    return [
        Cell(state.listing.book.title, "title"),
        Cell(beside, "refused", len(beside), right=True),
        Cell(right, "quiet", len(right), right=True),
    ]


def heading_cells() -> list[Cell]:
    """Return the columns' names."""
    return [
        Cell("night", "heading", DATE),
        Cell("moment", "heading", MOMENT),
        Cell("house", "heading"),
        Cell(" home", "heading", HOME),
        *(Cell(word, "heading", COUNT + 1 if word == "carried" else COUNT - 2, right=True)
          for word in WORDS),
    ]  # fmt: skip


def row_cells(state: BookState, index: int) -> list[Cell]:
    """Return one page: its date where a night begins, moment, house, homes, counts."""
    row = state.rows[index]
    if not isinstance(row, PageHead):
        return [
            Cell("", "refused", DATE),
            Cell("cannot be read", "refused", MOMENT),
            Cell(row.title, "text"),
        ]
    before = state.rows[index - 1] if index else None
    is_new = not (isinstance(before, PageHead) and before.date == row.date)
    homes = ",".join(state.listing.homes_of(row.name))
    return [
        Cell(row.date.isoformat() if is_new else "", "part", DATE),
        Cell(f"{row.moment}{'' if row.closed else ' *'}", "text", MOMENT),
        Cell(row.venue or "-", "text"),
        Cell(f" {homes}", "good", HOME),
        *_counts(state, row),
    ]


def _counts(state: BookState, page: PageHead) -> list[Cell]:
    counts = state.counts.get(page.name)
    cells = []
    for word in WORDS:
        width = COUNT + 1 if word == "carried" else COUNT - 2
        if counts is None:
            text = "·"
        elif isinstance(counts, str):
            text = "?"
        else:
            text = str(counts[word])
        cells.append(Cell(text, "quiet" if word == "carried" else "text", width, right=True))
    return cells


def detail_cells(state: BookState) -> list[Cell]:
    """Return the line about the page that the cursor is on."""
    row = state.rows[state.cursor] if state.rows else None
    if row is None:
        return [Cell("no page yet", "quiet")]
    if not isinstance(row, PageHead):
        problem = row.problems[0] if row.problems else None
        return [Cell(f"{row.title}: {problem.what}" if problem else row.title, "quiet")]
    words = [row.name, *([row.venue] if row.venue else [])]
    words += ["closed for the show" if row.closed else "* may be changed"]
    if homes := state.listing.homes_of(row.name):
        words.append(f"home {', '.join(homes)}")
    words += [f"because: {row.reason}"] if row.reason else []
    words += [f"begun from {row.begun_from}"] if row.begun_from else []
    counts = state.counts.get(row.name)
    if isinstance(counts, str):
        words.append(f"cannot be counted: {counts}")
    return [Cell("  ".join(words), "quiet")]


def prompt_cells(state: BookState) -> list[Cell]:
    """Return the draft's line being typed, or what was said last."""
    message = Cell(state.message, "refused" if state.refused else "quiet")
    if state.new_book is not None:
        asks = f"what is the rig called: {state.new_book.typed.shown(40)}"
        return [Cell(asks, "prompt", 48), message] if state.message else [Cell(asks, "prompt")]
    if state.draft is None:
        return [message]
    draft = state.draft
    asks = {"date": "date of the show", "moment": "moment", "house": "house"}[draft.step]
    if state.message and state.refused:
        return [Cell(f"{asks}: {draft.typed.shown(24)}", "prompt", 48), message]
    return [Cell(f"begin from {draft.source.name}: {asks}: {draft.typed.shown(40)}", "prompt")]
