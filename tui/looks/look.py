"""A look: one style for each role that a text has. A state is always told by its word as well."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, get_args

from rich.style import Style

Role = Literal[
    "text", "quiet", "title", "heading", "part", "read", "seen", "carried", "open", "follows",
    "moved", "refused", "good", "prompt", "footer",
    "bar_1", "bar_2", "bar_3", "bar_4", "bar_5", "bar_6",
]  # fmt: skip
ROLES: tuple[Role, ...] = get_args(Role)
BAR_ROLES: tuple[Role, ...] = ("bar_1", "bar_2", "bar_3", "bar_4", "bar_5", "bar_6")
"""What bars are drawn in, in turn; their letters tell them apart as well."""


class Look:
    """Styles by role, and what is laid over the row that the cursor is on.

    ``words`` are rich's style words by role; one without a ground of its own is drawn on ``back``.
    ``terminal_colours`` says that the colours are the terminal's own sixteen, or its default ones,
    and must reach it as they are. Styles are made when they are first drawn with: the looks that
    nobody wears cost nothing.
    """

    def __init__(
        self,
        name: str,
        back: str,
        words: Mapping[Role, str],
        cursor: str,
        *,
        terminal_colours: bool = False,
    ) -> None:
        self.name, self.terminal_colours = name, terminal_colours
        self._back, self._words, self._cursor = back, words, cursor
        self._made: dict[tuple[Role, bool], Style] = {}

    def style(self, role: Role, on_cursor: bool = False) -> Style:
        """Return the style of a role, with the cursor's laid over it.

        A role with a ground of its own keeps it: its letters were chosen for that ground.
        """
        made = self._made.get((role, on_cursor))
        if made is None:
            made = self._made[role, on_cursor] = self._make(role, on_cursor)
        return made

    def _make(self, role: Role, on_cursor: bool) -> Style:
        word = self._words[role]
        has_own_ground = " on " in word
        if self._back and not has_own_ground:
            word = f"{word} on {self._back}"
        style = Style.parse(word)
        return style + Style.parse(self._cursor) if on_cursor and not has_own_ground else style
