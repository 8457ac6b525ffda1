"""Large figures of our own, five lines tall: a value that can be read from across a kit."""

from __future__ import annotations

HEIGHT = 5

# Drawn for this program: each glyph five lines of # and space.
_DRAWN = {
    "0": ("####", "#  #", "#  #", "#  #", "####"),
    "1": (" ## ", "  # ", "  # ", "  # ", " ###"),
    "2": ("####", "   #", "####", "#   ", "####"),
    "3": ("####", "   #", " ###", "   #", "####"),
    "4": ("#  #", "#  #", "####", "   #", "   #"),
    "5": ("####", "#   ", "####", "   #", "####"),
    "6": ("####", "#   ", "####", "#  #", "####"),
    "7": ("####", "   #", "  # ", " #  ", " #  "),
    "8": ("####", "#  #", "####", "#  #", "####"),
    "9": ("####", "#  #", "####", "   #", "####"),
    "-": ("    ", "    ", "####", "    ", "    "),
    "+": ("    ", " #  ", "### ", " #  ", "    "),
    "/": ("   #", "  # ", "  # ", " #  ", "#   "),
    ".": ("  ", "  ", "  ", "  ", "# "),
    ",": ("  ", "  ", "  ", "# ", "#  "),
    '"': ("# #", "# #", "   ", "   ", "   "),
    "'": ("# ", "# ", "  ", "  ", "  "),
    "°": ("###", "# #", "###", "   ", "   "),
    "~": ("     ", " #  #", "# # #", "#  # ", "     "),
    "(": (" #", "# ", "# ", "# ", " #"),
    ")": ("# ", " #", " #", " #", "# "),
    "=": ("    ", "####", "    ", "####", "    "),
    "t": (" #  ", "####", " #  ", " #  ", " ###"),
    "m": ("     ", "## ##", "# # #", "# # #", "# # #"),
    "c": ("   ", "###", "#  ", "#  ", "###"),
    " ": ("  ", "  ", "  ", "  ", "  "),
}


def can_be_big(text: str) -> bool:
    """Tell whether every character of ``text`` has a large figure."""
    return all(char in _DRAWN for char in text)


def big_lines(text: str, width: int, block: str = "█") -> list[str] | None:
    """Return ``text`` in large figures, or None where it has others or does not fit ``width``."""
    if not text or not can_be_big(text):
        return None
    lines = [" ".join(_DRAWN[char][row].ljust(len(_DRAWN[char][0])) for char in text)
             for row in range(HEIGHT)]  # fmt: skip
    if max(map(len, lines)) > width:
        return None
    return [line.replace("#", block).rstrip() for line in lines]
