"""What fills the differences in after they were painted: joints by their own values, and pieces.

It loads the geometry: the screen calls it in a thread, and waits for nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.compare.whole import whole_comparison

if TYPE_CHECKING:
    from model.book.book import Book
    from model.compare.answer import Compared
    from tui.screens.differences.state import DifferencesState


def whole_answer(state: DifferencesState, book: Book | None) -> Compared:
    """Return the answer with all that geometry tells; a home of the ``book`` is wanted."""
    name = state.answer.before.page
    return whole_comparison(
        (state.before_page, state.page),
        (name, state.answer.after.page),
        walk=book.walk if book else (),
        tolerances=book.tolerances if book else (),
        wanted=book is not None and name in dict(book.homes).values(),
    )
