"""A screen to seek one of many things: what is typed narrows the list, Enter takes one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tui.keys import Keys
from tui.looks.look import Look
from tui.widgets.base import StageScreen
from tui.widgets.cursor import moved
from tui.widgets.line import Cell
from tui.widgets.typed import Typed

MOVES = {"up": "up", "down": "down", "pageup": "page_up", "pagedown": "page_down"}
SEEK_KEYS = "type to narrow the list   ↑ ↓ choose   Enter take   Esc back"


@dataclass(frozen=True, slots=True)
class Sought:
    """One thing to be found: its id, its line, the words it is sought by, and lines about it."""

    id: str
    words: str
    by: str = ""
    about: tuple[str, ...] = ()


def matching(choices: Sequence[Sought], typed: str) -> list[Sought]:
    """Return the choices that hold every word that was typed.

    Those that begin so come first, then those in which a word does.
    """
    words = typed.casefold().split()
    found = [c for c in choices if all(word in f"{c.words} {c.by}".casefold() for word in words)]
    if not words:
        return found
    return sorted(found, key=lambda c: _rank(c, words[0]))


def _rank(choice: Sought, word: str) -> int:
    own = f"{choice.words} {choice.by}".casefold()
    if own.startswith(word):
        return 0
    return 1 if any(one.startswith(word) for one in own.replace("-", " ").split()) else 2


class SeekScreen(StageScreen):
    """The choices, a row each, with lines about the one that the cursor is on."""

    details = 3

    def __init__(
        self,
        look: Look,
        keys: Keys,
        title: str,
        choices: Sequence[Sought],
        taken: Callable[[Sought], None],
    ) -> None:
        super().__init__(look, keys)
        self.words, self.choices, self.taken = title, list(choices), taken
        self.typed, self.cursor = Typed(), 0

    @property
    def found(self) -> list[Sought]:
        """What matches what was typed so far."""
        return matching(self.choices, self.typed.text)

    def takes_text(self, _text: str, /) -> bool:
        """Take pasted text as what is sought."""
        return True

    def press(self, key: str, char: str | None, /) -> None:
        """Move, narrow, take or go back."""
        found = self.found
        place = moved(MOVES.get(key), self.cursor, len(found), self.grid.rows_in_view)
        if place is not None:
            self.cursor = place
            return
        answer = self.typed.press(key, char)
        if answer == "leave":
            self.leave()
        elif answer == "take":
            if found:
                self.leave()
                self.taken(found[self.cursor])
        elif isinstance(answer, Typed):
            self.typed, self.cursor = answer, 0

    def draw(self) -> None:
        """Show what matches."""
        found = self.found
        self.cursor = min(self.cursor, max(0, len(found) - 1))
        self.title_bar.show([Cell(self.words, "title")])
        self.heading.show([Cell(f"{len(found)} of {len(self.choices)}", "heading")])
        self.grid.show(
            len(found), lambda row, _width: [Cell(f"  {found[row].words}", "text")], self.cursor
        )
        about = found[self.cursor].about if found else ("nothing is called so: Backspace",)
        for number, bar in enumerate(self.detail_bars):
            bar.show([Cell(about[number] if number < len(about) else "", "quiet")])
        self.prompt_bar.show([Cell(f"seek: {self.typed.shown(60)}", "prompt")])
        self.footer.show([Cell(SEEK_KEYS, "footer")])
