"""A look: one style for each role that a text has. A state is always told by its word as well."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from rich.style import Style

Role = Literal[
    "text", "quiet", "title", "heading", "part", "read", "seen", "carried", "open", "follows",
    "moved", "refused", "good", "prompt", "footer",
]  # fmt: skip
ROLES: tuple[Role, ...] = get_args(Role)


@dataclass(frozen=True, slots=True)
class Look:
    """Styles by role, and what is laid over the row that the cursor is on.

    ``terminal_colours`` says that the colours are the terminal's own sixteen, or its default ones,
    and must reach it as they are.
    """

    name: str
    styles: Mapping[Role, Style]
    cursor: Style
    terminal_colours: bool = False

    def style(self, role: Role, on_cursor: bool = False) -> Style:
        """Return the style of a role, with the cursor's laid over it.

        A role with a ground of its own keeps it: its letters were chosen for that ground.
        """
        style = self.styles[role]
        own_ground = style.bgcolor != self.styles["text"].bgcolor
        return style if own_ground or not on_cursor else style + self.cursor


def look_of(
    name: str, back: str, words: Mapping[Role, str], cursor: str, *, terminal_colours: bool = False
) -> Look:
    """Make a look from words: ``"bold #e9dfc6"`` is drawn on ``back`` unless it has its own."""
    styles = {
        role: Style.parse(word if " on " in word or not back else f"{word} on {back}".strip())
        for role, word in words.items()
    }
    return Look(name, styles, Style.parse(cursor), terminal_colours)
