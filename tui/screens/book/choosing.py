"""The lists to choose from over what lies beside a book's pages, one over the other."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from model.book.beside.answer import VersionTold
from model.book.beside.versions import Version
from model.disk.journal import Journal
from model.errors import ClampbookError
from tui.screens.book.beside import do, found_beside, version_choices, ways, whole
from tui.screens.pick import Choice, PickScreen
from tui.screens.text import TextScreen, wrapped

if TYPE_CHECKING:
    from tui.screens.book.screen import BookScreen


class Choosing:
    """Which version, then what to do with it; the answer is said on the list of pages."""

    def __init__(self, screen: BookScreen, journal: Journal) -> None:
        self.screen, self.journal = screen, journal

    def versions(self) -> None:
        """Show the versions, a row each; where there are none, say so."""
        state = self.screen.state
        try:
            found = found_beside(state.listing.folder, self.journal, state.unit)
        except ClampbookError as error:
            self.screen.said(error.title, refused=True)
            return
        except OSError as error:
            self.screen.said(f"cannot be looked at: {error.strerror or error}", refused=True)
            return
        if not found:
            self.screen.said("nothing lies beside the pages")
            return
        self._pick(
            "beside the pages of this book",
            version_choices(found),
            lambda choice: self._ways(*found[int(choice.id)]),
        )

    def _ways(self, version: Version, told: VersionTold) -> None:
        self._pick(whole(told)[0], ways(version, told), lambda way: self._go(version, told, way.id))

    def _go(self, version: Version, told: VersionTold, way: str) -> None:
        screen = self.screen
        if way == "look":
            title, *lines = whole(told)
            shown = [row for line in lines for row in wrapped(line, screen.size.width - 1)]
            screen.app.push_screen(TextScreen(screen.look, screen.keys, title, shown))
            return
        try:
            words, refused = do(version, way, self.journal, screen.state.unit), False
        except ClampbookError as error:
            first = error.first
            words, refused = f"{first.what}; {first.right}" if first else error.title, True
        except OSError as error:
            words, refused = f"not put aside: {error.strerror or error}", True
        screen.reload(version.page)
        screen.said(words, refused=refused)

    def _pick(self, title: str, choices: list[Choice], taken: Callable[[Choice], None]) -> None:
        screen = self.screen
        screen.app.push_screen(PickScreen(screen.look, screen.keys, title, choices, taken))
