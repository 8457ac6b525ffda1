"""The rack screen: the thin part between Textual and the pure state."""

from __future__ import annotations

from dataclasses import replace

from textual.app import ComposeResult
from textual.containers import Horizontal

from model.book.book import Book
from model.book.heads import Listing
from model.errors import ClampbookError
from tui.keys import ENTRY_STARTS, Keys
from tui.looks.look import Look
from tui.places import remember_place, remembered_place
from tui.screens.pick import Choice, PickScreen
from tui.screens.rack.bench import LEAST_WIDTH, PRELOAD, Bench, pane_width
from tui.screens.rack.cells import heading_cells, row_cells, title_cells
from tui.screens.rack.odd import odd_lines
from tui.screens.rack.press import press
from tui.screens.rack.prompt_cells import bottom_cells
from tui.screens.rack.saving import put_on_disk
from tui.screens.rack.state import RackState, Save, not_saved
from tui.screens.text import TextScreen
from tui.widgets.base import StageScreen
from tui.widgets.line import Cell
from tui.widgets.pane import Pane

TYPING = "Enter take  Esc leave it as it was  Ctrl-U empty the line"
ENTRY_HELP = [
    "",
    "a digit begins an entry; Enter takes it and steps on, Esc leaves it as it was",
    '   812   81.2cm   32"   32 3/16   2\' 8 1/2"   12½   -12.5°   3t (teeth)',
    "   =  the value shown, measured again",
    "   ++1/4  so much more;  --12  so much less;  -12 is the value's own sign",
    "words (a dial) are typed after Enter",
    "",
    "moved by: in brackets, less than the readings can tell; ~ rounded to the nearest",
    "(0°) beside open: what is assumed until it is measured; left: carried or open",
    "the last column is the action's name, for keys of your own in config.toml",
]


class RackScreen(StageScreen):
    """The page in hand, as a tree with its settings in columns."""

    details = 2
    DEFAULT_CSS = "RackScreen > Horizontal { height: 1fr; }"

    def __init__(
        self, look: Look, keys: Keys, state: RackState, listing: Listing | None, book: Book
    ) -> None:
        super().__init__(look, keys)
        self.state, self.listing, self.book = state, listing, book
        self.bench = Bench(self)
        self.pane = Pane(look, self.bench.wanted)

    def compose(self) -> ComposeResult:
        """Lay the lines from top to bottom, the drawing beside the rows."""
        yield self.title_bar
        yield self.heading
        with Horizontal():
            yield self.grid
            yield self.pane
        yield from self.detail_bars
        yield self.prompt_bar
        yield self.footer

    def takes_text(self, text: str, /) -> bool:
        """Take pasted text into an open line, or as an entry on a setting."""
        return self.state.prompt is not None or text[0] in ENTRY_STARTS

    def marks(self, key: str, /) -> bool:
        """Tell the keys that mark a setting, while nothing is typed."""
        action = self.keys.action("rack", key)
        return self.state.prompt is None and action in ("seen", "unknown", "close")

    def press(self, key: str, char: str | None) -> None:
        """Change the state, then do what it asks for."""
        self.state = press(self.state, key, char, self.keys, self.grid.rows_in_view)
        if self.state.view and self.size.width < LEAST_WIDTH:
            words = f"the drawing has room from {LEAST_WIDTH} columns on"
            self.state = replace(self.state, view=None).saying(words, "refused")
        wanted = self.state.wanted
        if isinstance(wanted, Save):
            self.state = put_on_disk(self.state, wanted)
        elif wanted is not None:
            self.state = replace(self.state, wanted=None)
            self._ask(wanted)

    def _ask(self, wanted: str) -> None:
        width = self.size.width - 1
        match wanted:
            case "back":
                self.leave()
            case "help":
                lines = self.keys.help_lines("rack") + ENTRY_HELP
                self.app.push_screen(TextScreen(self.look, self.keys, "keys of the rack", lines))
            case "problems":
                self._tell_odd(width)
            case "other":
                self._choose_other()
            case "walk":
                self._walk()
            case "differences":
                self._differences()
            case "putback":
                self._put_back()
            case "build":
                self.build()
            case "look":
                self.next_look()

    def build(self) -> None:
        """Open the building screen on this page."""
        from model.book.build import known_kinds
        from tui.screens.building.screen import BuildScreen
        from tui.screens.building.state import start_building

        kinds = known_kinds(self.state.page, self.book.kinds)
        state = start_building(self.state, kinds)
        self.app.push_screen(BuildScreen(self.look, self.keys, state, self._come_back))

    def _put_back(self) -> None:
        beside, listing = self.state.beside, self.listing
        head = listing.named(beside.name) if beside and listing else None
        if beside is None or head is None:
            words = "choose the page to put it back to first: c"
            self.state = self.state.saying(words, "refused")
            return
        from tui.screens.putback.screen import PutBackScreen

        self.app.push_screen(
            PutBackScreen(
                self.look,
                self.keys,
                (self.state.file.path, head.path),
                beside.label,
                self.state.hand,
                self.state.journal,
            )
        )

    def _tell_odd(self, width: int) -> None:
        """Show what is odd, and what stands in the way of places as soon as that is known."""
        state, found = self.state, self.bench.faults()
        title, lines = odd_lines(state, width, found)
        screen = TextScreen(self.look, self.keys, title, lines)
        self.app.push_screen(screen)
        if found is None:
            self.bench.when_loaded(
                lambda: screen.tell(odd_lines(state, width, self.bench.faults())[1])
            )

    def _choose_other(self) -> None:
        if self.listing is None:
            self.state = self.state.saying("this page is in no book: there is no other", "refused")
            return
        from tui.screens.rack.opening import beside_choices

        choices, cursor = beside_choices(self.listing, self.state)
        self.app.push_screen(
            PickScreen(
                self.look,
                self.keys,
                "the page to show beside this one",
                choices,
                self._take_other,
                cursor,
            )
        )

    def _walk(self) -> None:
        from tui.screens.walk.screen import WalkScreen
        from tui.screens.walk.state import start_walk, walked_keys

        if not walked_keys(self.state.page, self.book.walk):
            self.state = self.state.saying("there is nothing to measure on this page", "refused")
            return
        path = self.state.file.path
        place = remembered_place(path)
        walk = start_walk(self.state, self.book.walk, self.book.short_walk, place)
        self.app.push_screen(
            WalkScreen(
                self.look, self.keys, walk, self._come_back, lambda key: remember_place(path, key)
            )
        )

    def _come_back(self, state: RackState) -> None:
        """Go on with the state that another screen gives back."""
        self.state = state.saying("")
        self.draw()

    def _differences(self) -> None:
        beside = self.state.beside
        if beside is None:
            self.state = self.state.saying("choose the page to compare with first: c", "refused")
            return
        from model.compare.answer import compare_pages
        from tui.screens.differences.screen import DifferencesScreen
        from tui.screens.differences.state import start as start_differences

        names = (beside.name, self.state.file.name)
        answer = compare_pages(beside.page, self.state.page, names, self.book.walk)
        unit = self.state.hand.unit
        state = start_differences(answer, beside.page, self.state.page, beside.label, unit)
        self.app.push_screen(
            DifferencesScreen(self.look, self.keys, state, self._show, book=self.book)
        )

    def _show(self, row_id: str) -> None:
        self.state = self.state.shown_row(row_id)
        self.draw()

    def _take_other(self, choice: Choice) -> None:
        from tui.screens.rack.opening import load_beside

        assert self.listing is not None
        try:
            beside = load_beside(self.listing, choice.id)
        except ClampbookError as error:
            self.state = not_saved(self.state, error)
        else:
            self.state = replace(self.state, beside=beside)
        self.draw()

    def draw(self) -> None:
        """Show the state."""
        state = self.state
        has_room = state.view and self.size.width >= LEAST_WIDTH
        pane = pane_width(self.size.width) if has_room else 0
        self.pane.widen(pane)
        self.grid.styles.width = self.size.width - pane
        self.title_bar.show(title_cells(state))
        heading = heading_cells(state, self.size.width - pane)
        self.heading.show([*heading, Cell("", "heading", pane)])
        self.grid.show(
            len(state.rows), lambda row, width: row_cells(state, row, width), state.index
        )
        self.bench.settle_effect()
        self.draw_below()
        words = self.keys.footer("rack") if state.prompt is None else TYPING
        self.footer.show([Cell(words, "footer")])
        self.bench.wanted()

    def on_mount(self) -> None:
        """Draw for the first time, and load the geometry when that has been shown."""
        super().on_mount()
        self.set_timer(PRELOAD, self.bench.load)

    def wear(self, look: Look) -> None:
        """Draw everything in another look, the drawing too."""
        super().wear(look)
        self.pane.look = look
        self.pane.refresh()

    def draw_below(self) -> None:
        """Show the lines below the rows."""
        below = bottom_cells(self.state, self.size.width, self.bench.effect, self.bench.own_fault())
        for bar, cells in zip((*self.detail_bars, self.prompt_bar), below, strict=True):
            bar.show(cells)
