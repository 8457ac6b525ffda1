"""Pasted text on its way in: an escape in it begins no sequence, and no key comes of it."""

from __future__ import annotations

ESC = "\x1b"
BEGIN, END = "\x1b[200~", "\x1b[201~"
"""What a terminal puts round pasted text (xterm's bracketed paste)."""


class Pastes:
    """Takes the escapes out of what is pasted, however the input is cut into pieces.

    The library's parser follows a sequence into the paste, and hands what it does not know on as
    keys that were typed: a text from somewhere else would record readings and close pages.
    """

    def __init__(self) -> None:
        self._inside = False
        self._last = ""
        self._held = ""

    def without_escapes(self, text: str) -> str:
        """Return the next piece of input; outside a paste it is as it came, and nothing waits."""
        return "".join(map(self._char, text))

    def _char(self, char: str) -> str:
        if self._inside:
            return self._pasted(char)
        self._last = (self._last + char)[-len(BEGIN) :]
        self._inside = self._last == BEGIN
        return char

    def _pasted(self, char: str) -> str:
        held, self._held = self._held + char, ""
        if held == END:
            self._inside, self._last = False, ""
            return END
        if END.startswith(held):
            self._held = held
            return ""
        if char == ESC:
            held, self._held = held[:-1], ESC
        return held.replace(ESC, "")
