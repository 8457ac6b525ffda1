"""The work that is done beside the screen: the geometry, in a later frame than the row."""

from __future__ import annotations

import os
from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING

from model.rig.naming import owner_names
from tui.looks.choice import draws_braille

if TYPE_CHECKING:
    from collections.abc import Callable

    from textual.timer import Timer

    from model.errors import Problem
    from model.picture.scene import Scene
    from model.space.positions import Positions
    from tui.screens.rack.screen import RackScreen

LATER = 0.05
"""Seconds after the last key: the row paints first, and keys typed fast are drawn once."""
PRELOAD = 0.6
"""Seconds after a page was opened until the geometry is loaded beside it."""
LEAST_WIDTH = 70
"""Columns under which the rows need all the room."""
NARROW_PANE, WIDE_PANE = 34, 46
WIDE = 110


def pane_width(width: int) -> int:
    """Return how many columns the drawing takes of a screen's."""
    return WIDE_PANE if width >= WIDE else NARROW_PANE


class Bench:
    """Keeps the positions of the page in hand, and shows what they say when there is time.

    The geometry is loaded beside, in a thread, and nothing is worked out until a drawing or an
    entry wants it: the keys do not wait.
    """

    def __init__(self, screen: RackScreen) -> None:
        self.screen = screen
        self.effect = ""
        self.positions: Positions | None = None
        self._is_loaded = False
        self._loading = False
        self._timer: Timer | None = None
        self._waiting: list[Callable[[], None]] = []
        self._drawn: tuple[Positions, Scene] | None = None
        self._faulty: tuple[Positions, dict[str, str]] | None = None

    @property
    def _typing(self) -> bool:
        prompt = self.screen.state.prompt
        return prompt is not None and prompt.sort == "reading"

    def settle_effect(self) -> None:
        """Take back what was said about an edit, unless it is still going on or was just saved."""
        page = self.screen.state.page
        just_saved = self.positions is not None and self.positions.page is not page
        if not self._typing and not just_saved:
            self.effect = ""

    def load(self) -> None:
        """Load the geometry in a thread, the first time."""
        if not self._is_loaded and not self._loading and self.screen.is_attached:
            self._loading = True
            self.screen.run_worker(self._load, thread=True, exit_on_error=True)

    def wanted(self) -> None:
        """Ask for the drawing and the effect to be brought up to date, in a later frame."""
        if not self.screen.is_attached:
            return
        if self.screen.state.view is None and not self._typing and self.positions is None:
            return
        if not self._is_loaded:
            self.load()
            return
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.screen.set_timer(LATER, self.catch_up)

    @property
    def is_idle(self) -> bool:
        """Whether all that was asked for has been shown."""
        return self._timer is None and not self._loading

    def _load(self) -> None:
        import_module("tui.screens.rack.beside")
        self._is_loaded = True
        with suppress(RuntimeError):  # the program was left meanwhile: nothing waits for it
            self.screen.app.call_from_thread(self._loaded)

    def _loaded(self) -> None:
        self._loading = False
        self.wanted()
        waiting, self._waiting = self._waiting, []
        for tell in waiting:
            tell()

    def when_loaded(self, tell: Callable[[], None]) -> None:
        """Load the geometry, and call back in the screen's own thread when it is there."""
        self._waiting.append(tell)
        self.load()

    def faults(self) -> tuple[Problem, ...] | None:
        """Return what stands in the way of places; None while the geometry is not loaded."""
        if not self._is_loaded:
            return None
        from model.space.positions import Positions

        return Positions(self.screen.state.page, self.positions).faults()

    def own_fault(self) -> str:
        """Return what is at fault with the part under the cursor, where its place is worked out."""
        now, state = self.positions, self.screen.state
        if now is None or now.page is not state.page:
            return ""
        if self._faulty is None or self._faulty[0] is not now:
            keys = {problem: (problem.key or "").split(".") for problem in now.faults()}
            own = {key[1]: problem.what for problem, key in keys.items() if len(key) > 1}
            self._faulty = (now, own)
        name = owner_names(state.page).get(state.row.owner, "")
        return self._faulty[1].get(state.row.owner, "").removeprefix(f"{name}: ")

    def catch_up(self) -> None:
        """Work out what changed, and show it."""
        from model.space.positions import Positions
        from model.space.scene import scene_of
        from tui.screens.rack.beside import effect_words, pane_lines, typed_page

        self._timer = None
        state = self.screen.state
        before = self.positions
        if before is None or before.page is not state.page:
            self.positions = Positions(state.page, before)
        now = self.positions
        assert now is not None
        shown = now
        picked = frozenset(state.tree.below(state.row.owner))
        typed = typed_page(state)
        if typed is not None:
            shown = Positions(typed, now)
            self.effect = effect_words(now, shown, state.hand.unit, picked)
        elif before is not None and before is not now:
            self.effect = effect_words(before, now, state.hand.unit, picked)
        else:
            self.effect = ""
        self.screen.draw_below()
        size = self.screen.pane.size
        if state.view is not None and size.width:
            if self._drawn is None or self._drawn[0] is not shown:
                self._drawn = (shown, scene_of(shown, ""))
            lines = pane_lines(
                state,
                shown,
                self._drawn[1],
                (size.width, size.height),
                braille=draws_braille(os.environ),
            )
            self.screen.pane.show(lines)
