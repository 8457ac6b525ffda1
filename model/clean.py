"""The one sanitiser: what a file or a person wrote, made fit for a terminal, a page or a log."""

import unicodedata

# Categories that can steer a terminal, hide text or change its direction.
_UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def _stand_in(char: str) -> str:
    code = ord(char)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\u2421"
    return f"\u2039{code:04X}\u203a"


def clean(text: str) -> str:
    """Return ``text`` with every control, format, unassigned or separator character made visible.

    C0 controls become their control pictures (ESC is ``␛``, a line break ``␊``), the others their
    code between single angle quotes, so nothing is lost and nothing acts. Printable text comes
    back unchanged, and cleaning twice changes nothing more.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_stand_in(c) if unicodedata.category(c) in _UNFIT else c for c in text)


def clean_lines(text: str) -> str:
    """Clean each line of ``text`` and keep its line breaks: for messages that have several."""
    return "\n".join(clean(line) for line in text.split("\n"))
