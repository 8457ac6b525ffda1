"""The building screen: the thin part between Textual and the pure state."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from model.errors import ClampbookError
from tui.keys import Keys
from tui.looks.look import Look
from tui.screens.building import choices
from tui.screens.building.asking import (
    add_spot,
    ask_bar,
    ask_field,
    ask_for,
    give_kind,
    hang_on,
)
from tui.screens.building.cells import (
    detail_cells,
    heading_cells,
    prompt_cells,
    row_cells,
    title_cells,
)
from tui.screens.building.press import press
from tui.screens.building.state import BuildState, with_rack
from tui.screens.rack.odd import odd_lines
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import RackState, Save
from tui.screens.seek import SeekScreen, Sought
from tui.screens.text import TextScreen
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell

TYPING = "Enter take  Esc leave it as it was  Ctrl-U empty the line"
HELP = [
    "",
    "a on the floor adds what stands, on a post or a bar what is clamped to it,",
    "on a mount what it holds; type a few letters of what it is",
    "b: mark one tube with Space for a bar on two; end A is toward the first",
    "what hung on a part that is taken off is not hung then: u brings it back",
    "» before a name: it is marked for the next step",
]


class BuildScreen(StageScreen):
    """The parts as a tree; leaving it gives the rack's state back."""

    details = 2

    def __init__(
        self,
        look: Look,
        keys: Keys,
        state: BuildState,
        left: Callable[[RackState], None],
    ) -> None:
        super().__init__(look, keys)
        self.state, self.left = state, left

    def takes_text(self, _text: str, /) -> bool:
        """Take pasted text into a line that is open."""
        return self.state.asking is not None

    def marks(self, key: str, /) -> bool:
        """Tell the keys that take a part off or copy it: one held down does it once."""
        action = self.keys.action("build", key)
        return self.state.asking is None and action in ("take_off", "copy_part")

    def press(self, key: str, char: str | None, /) -> None:
        """Change the state, then do what it asks for."""
        self._go(lambda: press(self.state, key, char, self.keys, self.grid.rows_in_view))

    def _go(self, act: Callable[[], BuildState]) -> None:
        """Take the state that an act leads to, save what it wants, and ask what it wants."""
        try:
            self.state = act()
        except ClampbookError as error:  # a page that is written in a way of its own
            self.state = replace(self.state, asking=None).saying(error.in_a_line(), "refused")
            return
        wanted = self.state.rack.wanted
        if isinstance(wanted, Save):
            rack = put_on_disk(self.state.rack, wanted)
            at = getattr(wanted.step.edit, "at", "")
            state = with_rack(self.state, rack, at)
            if rack.message.sort != "refused":  # what was typed stays until it is saved
                state = replace(state, asking=None, marked=())
            self.state = state
        elif self.state.wanted is not None:
            asked = self.state.wanted
            self.state = replace(self.state, wanted=None)
            self._ask(asked)

    def _ask(self, wanted: str) -> None:
        state, width = self.state, self.size.width - 1
        name = state.row.name
        match wanted:
            case "back":
                self.left(replace(state.rack, wanted=None))
                self.leave()
            case "look":
                self.next_look()
            case "help":
                lines = self.keys.help_lines("build") + HELP
                self.app.push_screen(TextScreen(self.look, self.keys, "keys of building", lines))
            case "problems":
                title, lines = odd_lines(state.rack, width)
                self.app.push_screen(TextScreen(self.look, self.keys, title, lines))
            case "kinds":
                self._seek(f"what to add on {name}", choices.kind_choices(state),
                           lambda found: ask_for(self.state, found.id))  # fmt: skip
            case "other kind":
                self._seek(f"what {name} is", choices.other_kind_choices(state),
                           lambda found: give_kind(self.state, found.id))  # fmt: skip
            case "bars":
                self._seek("how the bar is held", choices.bar_choices(state), self._bar)
            case "places":
                self._seek(f"what {name} hangs on", choices.place_choices(state), self._place)
            case "fields":
                self._seek(f"what to set of {name}", choices.field_choices(state), self._field)
            case "spots":
                self._seek("the spot to add", choices.spot_choices(state),
                           lambda found: add_spot(self.state, found.id))  # fmt: skip

    def _bar(self, found: Sought) -> BuildState:
        grip, _, curved = found.id.partition(" ")
        return ask_bar(self.state, grip, curved=bool(curved))  # type: ignore[arg-type]

    def _place(self, found: Sought) -> BuildState:
        on, _, more = found.id.partition(" ")
        if more in self.state.kinds and on not in self.state.page.by_id:
            return hang_on(self.state, on, None, more)
        return hang_on(self.state, on, more or None)

    def _field(self, found: Sought) -> BuildState:
        if found.id == "dial":
            return ask_field(self.state, "dial", "")
        return ask_field(self.state, found.id, choices.typed_now(self.state, found.id))

    def _seek(
        self, title: str, found: Sequence[Sought], taken: Callable[[Sought], BuildState]
    ) -> None:
        if not found:
            self.state = self.state.saying("there is nothing that fits there", "refused")
            return

        def take(choice: Sought) -> None:
            self._go(lambda: taken(choice))
            self.draw()

        self.app.push_screen(SeekScreen(self.look, self.keys, title, found, take))

    def draw(self) -> None:
        """Show the state."""
        state, width = self.state, self.size.width
        self.title_bar.show(title_cells(state))
        self.heading.show(heading_cells(width))
        self.grid.show(len(state.rows), lambda row, room: row_cells(state, row, room), state.cursor)
        above, below = detail_cells(state, width)
        self.detail_bars[0].show(above)
        self.detail_bars[1].show(below)
        self.prompt_bar.show(prompt_cells(state, width))
        words = TYPING if state.asking is not None else self.keys.footer("build")
        self.footer.show([Cell(words, "footer")])
