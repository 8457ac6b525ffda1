"""A line being typed: pure, so that every key can be tested without a terminal."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

LONGEST = 500


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed so far, and where the next character goes."""

    text: str = ""
    caret: int = 0
    is_offer: bool = False

    @classmethod
    def of(cls, text: str) -> Typed:
        """Return a line that holds ``text``, the caret after it."""
        return cls(text, len(text))

    @classmethod
    def offer(cls, text: str) -> Typed:
        """Return a line that offers ``text``: the first thing typed takes its place."""
        return cls(text, len(text), is_offer=True)

    def press(self, key: str, char: str | None) -> Typed | Literal["take", "leave"] | None:
        """Return the line after a key; ``take`` or ``leave`` when it is done, None if unknown.

        Backspace on an empty line leaves it: a lone Escape is slow to arrive over some lines.
        """
        if self.is_offer and key not in ("enter", "escape"):
            kept = replace(self, is_offer=False)
            return Typed().put(char) if char and char.isprintable() else kept.press(key, char)
        match key:
            case "enter":
                return "take"
            case "escape":
                return "leave"
            case "backspace":
                return self._without_last() if self.text else "leave"
            case "delete":
                return replace(self, text=self.text[: self.caret] + self.text[self.caret + 1 :])
            case "left":
                return replace(self, caret=max(0, self.caret - 1))
            case "right":
                return replace(self, caret=min(len(self.text), self.caret + 1))
            case "home":
                return replace(self, caret=0)
            case "end":
                return replace(self, caret=len(self.text))
            case "ctrl+u":
                return Typed()
            case _:
                return self.put(char) if char and char.isprintable() else None

    def put(self, text: str) -> Typed:
        """Return the line with printable ``text`` put in at the caret, up to the longest."""
        text = "".join(c for c in text if c.isprintable())[: LONGEST - len(self.text)]
        before, after = self.text[: self.caret], self.text[self.caret :]
        return Typed(before + text + after, self.caret + len(text))

    def _without_last(self) -> Typed:
        if self.caret == 0:
            return self
        before, after = self.text[: self.caret - 1], self.text[self.caret :]
        return Typed(before + after, self.caret - 1)

    def shown(self, room: int = 1000) -> str:
        """Return the line with its caret drawn into it, in ``room`` characters round the caret."""
        whole = f"{self.text[: self.caret]}▏{self.text[self.caret :]}"
        if len(whole) <= room:
            return whole
        start = min(max(0, self.caret - room + 4), len(whole) - room + 1)
        return f"…{whole[start + 1 : start + room]}" if start else f"{whole[: room - 1]}…"
