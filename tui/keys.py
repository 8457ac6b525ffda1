"""Every key of the screens, once: what it does, where, and how it is told in the help."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from model.errors import CannotDo, Problem

ScreenName = Literal["book", "rack", "walk", "build", "differences", "putback", "pick", "reader"]

ENTRY_STARTS = frozenset("0123456789.,+-=½¼¾⅛⅜⅝⅞−")
"""What begins an entry at once in the rack screen: no action may have such a key."""

TAKEN_OUTSIDE = frozenset(
    {"ctrl+a", "ctrl+b", "ctrl+c", "ctrl+q", "ctrl+s", "ctrl+z", "ctrl+\\", "ctrl+o"}
)
"""Keys that terminals and their multiplexers keep for themselves; alt with a letter as well."""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that a key does. ``id`` is what a user's own keys are given by."""

    id: str
    key: str
    help: str
    screens: frozenset[ScreenName]
    footer: str = ""


def _action(id_: str, key: str, help_: str, *screens: ScreenName, footer: str = "") -> Action:
    return Action(id_, key, help_, frozenset(screens), footer)


LISTS: tuple[ScreenName, ...] = (
    "book", "rack", "build", "differences", "putback", "pick", "reader",
)  # fmt: skip
STAGES: tuple[ScreenName, ...] = ("book", "rack", "walk", "build", "differences", "putback")

ACTIONS: tuple[Action, ...] = (
    _action("up", "up", "one row up", *LISTS),
    _action("down", "down", "one row down", *LISTS),
    _action("page_up", "pageup", "a screen up", *LISTS),
    _action("page_down", "pagedown", "a screen down", *LISTS),
    _action("first", "home", "to the first row", *LISTS),
    _action("last", "end", "to the last row", *LISTS),
    _action("confirm", "enter", "seen at its mark, and on to the next", "walk", footer="seen"),
    _action("over", "down", "step over it to the next", "walk", footer="over"),
    _action("before", "up", "back to the one before", "walk"),
    _action("all_seen", "a", "this part and all that hangs on it: seen", "walk",
            footer="all on it seen"),
    _action("part_seen", "t", "this part alone: seen", "walk"),
    _action("words", "e", "begin an entry with nothing in it, for words", "walk"),
    _action("short", "w", "the short walk, or the whole one", "walk"),
    _action("show", "enter", "to this setting on the rack", "differences", footer="to it"),
    _action("all_rows", "a", "what moved, or every setting", "differences", footer="all"),
    _action("by_size", "s", "by part, or by how far it moved", "differences", footer="by size"),
    _action("moves", "p", "how the pieces moved, or the settings", "differences",
            footer="pieces"),
    _action("walk", "w", "walk round the rack, one setting at a time", "rack", footer="walk"),
    _action("differences", "d", "what differs from the page beside", "rack",
            footer="compare"),
    _action("putback", "h", "the moves to the page beside: put it back", "rack",
            footer="put back"),
    _action("done", "enter", "done, and on to the next; on a step's head all its lines",
            "putback", footer="done"),
    _action("toggle", "space", "tick, or take the tick away; choose a piece", "putback"),
    _action("side", "h", "both sides, the player's left, the player's right", "putback",
            footer="side"),
    _action("pieces", "p", "how far each piece is from home now; back to the moves", "putback",
            footer="pieces"),
    _action("minutes", "t", "what brings most of it home in the minutes there are",
            "putback", footer="minutes"),
    _action("enough", "e", "only what the tolerances need, or all the moves",
            "putback", footer="enough"),
    _action("normal", "n", "the chosen pieces, as on this page, become the new home", "putback"),
    _action("take", "enter", "open the page", "book", footer="open"),
    _action("type", "enter", "begin an entry with nothing in it", "rack"),
    _action("choose", "enter", "take this one", "pick", footer="take"),
    _action("begin", "n", "begin a page from this one, everything carried", "book", footer="begin"),
    _action("seen", "s", "seen at its mark: looked at, not measured", "rack", footer="seen"),
    _action("unknown", "o", "open: nothing is known of it any more", "rack"),
    _action("add_part", "a", "add a part on this one", "build", footer="add"),
    _action("add_bar", "b", "add a bar on this tube, and on the one that is marked", "build",
            footer="bar"),
    _action("hang", "h", "hang it elsewhere, with all that hangs on it", "build", footer="hang"),
    _action("set_part", "enter", "set its size, its marks, its weight, a dial …", "build",
            footer="set"),
    _action("rename", "n", "give it another name", "build"),
    _action("other_kind", "c", "it is of another kind", "build"),
    _action("own_kind", "K", "make a kind of your own from its kind, to be changed", "build"),
    _action("mark_part", "space", "mark it for the next step, or not", "build"),
    _action("copy_part", "y", "copy it and all that hangs on it; or what is marked", "build",
            footer="copy"),
    _action("take_off", "x", "take it off; what hangs on it is not hung then", "build",
            footer="take off"),
    _action("earlier", "less_than_sign", "before the one above it, by hand", "build"),
    _action("later", "greater_than_sign", "behind the one below it, by hand", "build"),
    _action("add_spot", "s", "a spot: the gap to the marked part, or an edge's height", "build"),
    _action("build", "B", "build: add, hang, set and take off parts", "rack"),
    _action("undo", "u", "undo the last change", "rack", "walk", "build", "putback",
            footer="undo"),
    _action("redo", "r", "do it again", "rack", "walk", "build"),
    _action("next_left", "g", "go to the next that is left: not read or seen, not ticked",
            "rack", "walk", "putback"),
    _action("next_setting", "tab", "step over to the next setting", "rack"),
    _action("last_setting", "shift+tab", "back to the setting before", "rack"),
    _action("find", "f", "find a part by name, id or role; a setting by its id", "rack",
            footer="find"),
    _action("look", "l", "the next look: dark stage, daylight, plain", *STAGES),
    _action("note", "n", "write a note on the part", "rack", "walk"),
    _action("page_note", "N", "write your note about the page", "rack"),
    _action("photos", "p", "name the part's photo files, with commas", "rack", "walk"),
    _action("instrument", "i", "read with another instrument", "rack", "walk"),
    _action("reader", "b", "say who reads: initials", "rack", "walk"),
    _action("other", "c", "choose the page to show beside this one", "rack"),
    _action("view", "v", "the drawing beside the rows: from above, front, left; off", "rack",
            footer="view"),
    _action("beside", "v", "what lies beside the pages: second versions, cut-off saves", "book"),
    _action("fold", "space", "fold the part, or unfold it", "rack"),
    _action("fold_all", "z", "fold every part, or unfold them", "rack"),
    _action("out", "left", "to the part that this hangs on; folds it", "rack"),
    _action("into", "right", "unfold, and into it", "rack"),
    _action("close", "x", "close the page for the show, or open it again", "rack"),
    _action("unit", "m", "lengths in mm, cm, inches, decimal inches, in turn", *STAGES),
    _action("problems", "exclamation_mark", "what is odd about it, and the crew's notes",
            "book", "rack", "walk", "build", "putback"),
    _action("help", "question_mark", "all the keys", *STAGES, "pick", footer="keys"),
    _action("back", "q", "back; from the book, out", *STAGES, "pick", "reader", footer="back"),
    _action("back_too", "escape", "back", "rack", "walk", "build", "differences", "putback", "pick",
            "reader"),
)  # fmt: skip

_SHOWN = {
    "exclamation_mark": "!", "less_than_sign": "<", "greater_than_sign": ">",
    "question_mark": "?", "pageup": "PgUp", "pagedown": "PgDn",
    "enter": "Enter", "escape": "Esc", "space": "Space", "tab": "Tab", "shift+tab": "⇧Tab",
    "up": "↑", "down": "↓", "left": "←", "right": "→", "home": "Home", "end": "End",
}  # fmt: skip


def key_name(key: str) -> str:
    """Return a key as a person knows it."""
    return _SHOWN.get(key, key)


def library_name(key: str) -> str:
    """Return a key as the terminal library calls it: ``?`` is ``question_mark``."""
    if len(key) != 1 or key.isalnum() or key in ENTRY_STARTS:
        return key
    return unicodedata.name(key, key).lower().replace("-", "_").replace(" ", "_")


class Keys:
    """The keys in force: the usual ones, with the user's own in their place."""

    def __init__(self, own: Mapping[str, str] | None = None) -> None:
        own = dict(own or {})
        self.actions = tuple(
            replace(a, key=library_name(own.pop(a.id))) if a.id in own else a for a in ACTIONS
        )
        problems = [
            Problem(code="no-action", what="there is no such action", key=f"keys.{name}",
                    right=", ".join(sorted(a.id for a in ACTIONS)))
            for name in own
        ]  # fmt: skip
        problems += clashes(self.actions)
        if problems:
            raise CannotDo("the keys cannot be used", tuple(problems))
        self._by_screen: dict[ScreenName, dict[str, str]] = {}
        for action in self.actions:
            for screen in action.screens:
                self._by_screen.setdefault(screen, {})[action.key] = action.id

    def action(self, screen: ScreenName, key: str) -> str | None:
        """Return what ``key`` does on ``screen``."""
        return self._by_screen.get(screen, {}).get(key)

    def footer(self, screen: ScreenName) -> str:
        """Return the screen's few keys for its last line."""
        told = [a for a in self.actions if screen in a.screens and a.footer]
        return "  ".join(f"{key_name(a.key)} {a.footer}" for a in told)

    def help_lines(self, screen: ScreenName) -> list[str]:
        """Return every key of a screen, a line each."""
        told = [a for a in self.actions if screen in a.screens]
        wide = max(len(a.help) for a in told) + 2
        return [f"{key_name(a.key):>6}  {a.help:<{wide}}{a.id}" for a in told]


def clashes(actions: Iterable[Action]) -> list[Problem]:
    """Return what is wrong with a set of keys: one key twice on a screen, or one that is kept."""
    problems: list[Problem] = []
    seen: dict[tuple[ScreenName, str], Action] = {}
    for action in actions:
        kept = action.key in TAKEN_OUTSIDE or action.key.startswith("alt+")
        if kept or (action.key in ENTRY_STARTS and action.screens & {"rack", "walk", "putback"}):
            why = "terminals keep it for themselves" if kept else "it begins an entry"
            problems.append(
                Problem(code="key-kept", what=f"{action.key} cannot be a key", why=why,
                        key=f"keys.{action.id}", right="a letter")
            )  # fmt: skip
        for screen in sorted(action.screens):
            first = seen.setdefault((screen, action.key), action)
            if first is not action:
                problems.append(
                    Problem(code="key-twice", key=f"keys.{action.id}",
                            what=f"{action.key} is there twice: {first.id} and {action.id}",
                            right="another letter for one of them")
                )  # fmt: skip
    return problems
