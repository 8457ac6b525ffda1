"""The rack screen's state: rows, cursor, what is typed, what can be undone, what is to be saved."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from model.book.edits import Edit, SettingEdit, SettingsEdit, StructureEdit
from model.book.page_file import PageFile
from model.book.take import Hand
from model.disk.journal import Journal
from model.errors import ClampbookError
from model.picture.scene import View
from model.rig.page import Page
from model.rig.tree import Tree, rig_tree
from tui.screens.rack.rows import Row, owners_above, rack_rows
from tui.widgets.typed import Typed

PromptSort = Literal["reading", "note", "page note", "photos", "find", "reader"]
Ask = Literal[
    "back", "help", "problems", "other", "walk", "differences", "putback", "build", "look"
]

Sort = Literal["said", "saved", "kept", "refused"]
EMPTY = Typed()


@dataclass(frozen=True, slots=True)
class Prompt:
    """A line being typed, and what for: the setting's key or the part's id."""

    sort: PromptSort
    target: str
    typed: Typed = EMPTY


@dataclass(frozen=True, slots=True)
class Message:
    """What the program says: how, and in which words.

    ``kept``: the reading is safe, outside the book, which took nothing.
    """

    text: str = ""
    sort: Sort = "said"


@dataclass(frozen=True, slots=True)
class Step:
    """One change that can be undone and done again."""

    edit: Edit
    inverse: Edit
    what: str


@dataclass(frozen=True, slots=True)
class Save:
    """A change that the screen is to put on the disk. ``way`` says which list it came from."""

    step: Step
    way: Literal["new", "undo", "redo"] = "new"
    step_on: bool = False


@dataclass(frozen=True, slots=True)
class Beside:
    """The page that is shown beside this one; what a home carries is wanted all the same."""

    label: str
    name: str
    page: Page
    is_home: bool = False


@dataclass(frozen=True, slots=True)
class RackState:
    """All of the screen but its size. ``wanted`` is what the screen is to do next."""

    file: PageFile
    tree: Tree
    rows: tuple[Row, ...]
    cursor: str
    hand: Hand
    beside: Beside | None = None
    folded: frozenset[str] = frozenset()
    prompt: Prompt | None = None
    message: Message = Message()
    done: tuple[Step, ...] = ()
    undone: tuple[Step, ...] = ()
    wanted: Save | Ask | None = None
    instruments: tuple[tuple[str, str], ...] = ()
    view: View | None = None
    at: dict[str, int] = field(default_factory=dict, compare=False)
    journal: Journal | None = field(default=None, compare=False)

    @property
    def page(self) -> Page:
        """The page in hand."""
        return self.file.page

    @property
    def row(self) -> Row:
        """The row that the cursor is on."""
        return self.rows[self.index]

    @property
    def index(self) -> int:
        """The cursor's row number."""
        return self.at.get(self.cursor, 0)

    def moved_to(self, index: int) -> RackState:
        """Return the state with the cursor on another row, kept within the rows."""
        index = min(max(index, 0), len(self.rows) - 1)
        return replace(self, cursor=self.rows[index].id)

    def saying(self, text: str, sort: Sort = "said") -> RackState:
        """Return the state with a message."""
        return replace(self, message=Message(text, sort))

    def without_what_was_said(self, before: RackState) -> RackState:
        """Return the state after a key that said nothing: without what was said before it."""
        return self.saying("") if self.message is before.message else self

    def with_folded(self, folded: frozenset[str]) -> RackState:
        """Return the state with other parts folded; the cursor goes to a row that is seen."""
        rows = rack_rows(self.page, self.tree, folded)
        at = {row.id: index for index, row in enumerate(rows)}
        cursor = self.cursor
        if cursor not in at:
            owner = self.row.owner
            cursor = next(
                (o for o in (owner, *owners_above(self.page, owner)) if o in at), rows[0].id
            )
        return replace(self, folded=folded, rows=rows, cursor=cursor, at=at)

    def shown_row(self, row_id: str) -> RackState:
        """Return the state with the cursor on a part or setting, unfolding what hides it."""
        declared = self.page.declared.get(row_id)
        owner = declared.owner if declared else row_id
        above = owners_above(self.page, owner) + ([owner] if declared else [])
        state = self
        if hidden := self.folded & set(above):
            state = self.with_folded(self.folded - hidden)
        return replace(state, cursor=row_id) if row_id in state.at else state


def start(file: PageFile, hand: Hand, beside: Beside | None, walk: tuple[str, ...]) -> RackState:
    """Return the state in which a page is opened: nothing folded, the cursor on the first setting.

    The order of the rows is that of the page as it is now, and stays while it is open: a row does
    not walk away under the hand that changes it.
    """
    tree = rig_tree(file.page, walk)
    rows = rack_rows(file.page, tree, frozenset())
    at = {row.id: index for index, row in enumerate(rows)}
    first = next((row.id for row in rows if row.sort == "setting"), rows[0].id)
    state = RackState(file, tree, rows, first, hand, beside, at=at)
    flags = len(file.problems)
    if flags:
        things = "one thing is" if flags == 1 else f"{flags} things are"
        state = state.saying(f"{things} odd about this page: ! tells")
    return state


def reopened(state: RackState, file: PageFile) -> RackState:
    """Return the state on the same page read again; the roots keep their order."""
    roots = tuple(root.part.id for root in state.tree.roots)
    after = replace(state, file=file, tree=rig_tree(file.page, roots))
    prompt = state.prompt
    if prompt is not None and prompt.sort == "reading" and prompt.target not in file.page.declared:
        after = replace(after, prompt=None)
    return after.with_folded(state.folded)


def saved(state: RackState, file: PageFile, save: Save, words: str) -> RackState:
    """Return the state after a change reached the disk."""
    step = save.step
    done, undone = state.done, state.undone
    match save.way:
        case "new":
            done, undone = (*done, step), ()
        case "undo":
            done, undone = done[:-1], (*undone, step)
        case "redo":
            done, undone = (*done, step), undone[:-1]
    if isinstance(step.edit, StructureEdit):
        state = reopened(state, file)
    after = replace(
        state,
        file=file,
        prompt=None,
        done=done,
        undone=undone,
        wanted=None,
        message=Message(words, "kept" if file.held else "saved"),
    )
    if isinstance(step.edit, SettingEdit | SettingsEdit):
        after = after.shown_row(step.edit.settings[0][0])
    return next_setting(after) if save.step_on else after


def not_saved(state: RackState, error: ClampbookError) -> RackState:
    """Return the state after a change did not reach the disk: what was typed stays to be seen."""
    words = error.title
    if first := error.first:
        why = f", {first.why}" if first.why else ""
        words = f"{error.title}: {first.what}{why}" + (f"; {first.right}" if first.right else "")
    return replace(state, wanted=None, message=Message(words, "refused"))


def next_setting(state: RackState, *, back: bool = False) -> RackState:
    """Step to the next setting that is measured, or back to the one before; else stay."""
    way = range(state.index - 1, -1, -1) if back else range(state.index + 1, len(state.rows))
    for index in way:
        row = state.rows[index]
        if row.sort == "setting" and state.page.setting(row.id).state != "follows":
            return state.moved_to(index)
    return state
