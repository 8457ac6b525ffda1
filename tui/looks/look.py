"""A look: one style for each role that a text has. A state is always told by its word as well."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from rich.style import Style

Role = Literal[
    "text", "quiet", "title", "heading", "part", "read", "seen", "carried", "open", "follows",
    "moved", "refused", "good", "prompt", "footer",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Look:
    """Styles by role, and what is laid over the row that the cursor is on."""

    name: str
    styles: Mapping[Role, Style]
    cursor: Style

    def style(self, role: Role, on_cursor: bool = False) -> Style:
        """Return the style of a role, with the cursor's laid over it."""
        style = self.styles[role]
        return style + self.cursor if on_cursor else style


_BACK = "#0d0f11"


def _on(colour: str, extra: str = "") -> Style:
    return Style.parse(f"{extra} {colour} on {_BACK}".strip())


DARK_STAGE = Look(
    "dark stage",
    {
        "text": _on("#cfc8b8"),
        "quiet": _on("#9a9488"),
        "title": _on("#e9dfc6", "bold"),
        "heading": _on("#9a9488", "underline"),
        "part": _on("#e9dfc6", "bold"),
        "read": _on("#cfe3d4"),
        "seen": _on("#a9c4e0", "italic"),
        "carried": _on("#a39a86"),
        "open": _on("#d9b56a"),
        "follows": _on("#8f97a3", "italic"),
        "moved": _on("#f0b35a", "bold"),
        "refused": Style.parse("bold #1a0d06 on #e8a15c"),
        "good": _on("#9fd3a8"),
        "prompt": Style.parse("#f4ead2 on #24282c"),
        "footer": _on("#9a9488"),
    },
    Style.parse("on #2b3036"),
)

PLAIN = Look(
    "plain",
    {
        "text": Style(),
        "quiet": Style(),
        "title": Style(bold=True),
        "heading": Style(underline=True),
        "part": Style(bold=True),
        "read": Style(),
        "seen": Style(italic=True),
        "carried": Style(),
        "open": Style(),
        "follows": Style(italic=True),
        "moved": Style(bold=True),
        "refused": Style(reverse=True, bold=True),
        "good": Style(),
        "prompt": Style(underline=True),
        "footer": Style(),
    },
    Style(reverse=True),
)

LOOKS: Mapping[str, Look] = {look.name: look for look in (DARK_STAGE, PLAIN)}
