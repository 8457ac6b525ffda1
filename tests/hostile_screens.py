"""Every screen and panel with the keys that lead there, from the book's list and back to it."""

from __future__ import annotations

from dataclasses import dataclass

LEAVE = "\x15\x7f"
"""Empties a line that is typed, and leaves it: a lone Escape is slow to arrive."""
DOWN, UP, END = "\x1b[B", "\x1b[A", "\x1b[F"


@dataclass(frozen=True, slots=True)
class Step:
    """Keys, the screen and panel where they lead, and words that are only there."""

    screen: str
    panel: str
    keys: str
    shows: str


BOOK = (
    Step("BookScreen", "list", DOWN + UP, "cannot be read"),
    Step("TextScreen", "files that cannot be read", "!", "files of this book"),
    Step("TextScreen", "keys of the book", "q?", "keys of the book"),
    Step("BookScreen", "date", "qn", "date of the show"),
    Step("BookScreen", "moment", "\r", ": moment:"),
    Step("BookScreen", "moment refused", "\x15\r", "a page needs a moment"),
    Step("BookScreen", "house", "x\r", ": house:"),
    Step("BookScreen", "left", LEAVE, "no page was begun"),
    Step("BookScreen", "another look", "l", "no page was begun"),
    Step("PickScreen", "versions beside the pages", "v", "beside the pages of this book"),
    Step("PickScreen", "what to do with one", "\r", "put it aside"),
    Step("TextScreen", "all of a version", END + UP + "\r", "on both, and different"),
    Step("BookScreen", "list again", "q", "cannot be read"),
)
NAMED = (
    Step("RackScreen", "rows of a page of that name", "\r", "part and setting"),
    Step("TextScreen", "what is odd about it", "!", "what is odd about it"),
    Step("PutBackScreen", "no moves of it", "qh", "can be named after it"),
    Step("BookScreen", "list once more", "qq", "cannot be read"),
)
RACK = (
    Step("RackScreen", "rows", UP + "\r", "part and setting"),
    Step("TextScreen", "what is odd", "!", "what is odd about it"),
    Step("TextScreen", "what is odd, further", "\x1b[6~", "lines 4"),
    Step("TextScreen", "keys of the rack", "q?", "keys of the rack"),
    Step("RackScreen", "find", "qfclamp-l", "find:"),
    Step("RackScreen", "found", "\r", "s seen"),
    Step("RackScreen", "reading", "84", "= 84 mm"),
    Step("RackScreen", "refused", "\x151,016\r", "could be 1016"),
    Step("RackScreen", "left", LEAVE, "left as it was"),
    Step("RackScreen", "note", "n", "note on"),
    Step("RackScreen", "photos", LEAVE + "p", "photo files of"),
    Step("RackScreen", "photos refused", "/\r", "is not a plain file name"),
    Step("RackScreen", "reader", LEAVE + "b", "who reads"),
    Step("RackScreen", "page note", LEAVE + "N", "note about the page"),
    Step("RackScreen", "page note saved", "seen\r", "saved: note about the page"),
    Step("RackScreen", "instrument", "i", "are read with"),
    Step("RackScreen", "asked again", "o", "press o again"),
    Step("RackScreen", "saved", "845.5\r", "saved: height read"),
    Step("RackScreen", "undone", "u", "undone: height read"),
    Step("RackScreen", "done again", "r", "done again: height"),
    Step("RackScreen", "refused mark", "fclamp-l.height\rs", "more than seen"),
    Step("RackScreen", "above", "v", "from above"),
    Step("RackScreen", "front", "v", "from the front"),
    Step("RackScreen", "left side", "v", "from the player's left"),
    Step("RackScreen", "piece beside", "fride\r", "leans "),
    Step("RackScreen", "what it would do", "fride-boom.reach\r300", " up"),
    Step("RackScreen", "no drawing", LEAVE + "v", "moved by"),
    Step("RackScreen", "folded", "z", "▸"),
    Step("RackScreen", "unfolded", "z", "▾"),
    Step("RackScreen", "no such part", "fxyzz", "no part or setting"),
    Step("PickScreen", "pages to show beside", LEAVE + "c", "the page to show beside"),
    Step("TextScreen", "keys of a list", "?", "choose"),
    Step("RackScreen", "page chosen", "qq", "part and setting"),
)
WALK = (
    Step("WalkScreen", "whole walk", "w", "walk, "),
    Step("WalkScreen", "short walk", "w", "short walk"),
    Step("TextScreen", "keys of the walk", "?", "keys of the walk"),
    Step("TextScreen", "what is odd, on the walk", "q!", "what is odd about it"),
    Step("WalkScreen", "note", "qn", "note on"),
    Step("WalkScreen", "photos", LEAVE + "p", "photo files of"),
    Step("WalkScreen", "reader", LEAVE + "b", "who reads"),
    Step("WalkScreen", "reading", LEAVE + "9", "= 9 mm"),
    Step("WalkScreen", "words", LEAVE + "e", "takes it as read"),
    Step("WalkScreen", "part seen", LEAVE + "t", "seen"),
    Step("WalkScreen", "undone", "u", "undone: "),
    Step("WalkScreen", "another setting", UP, "height"),
)
DIFFERENCES = (
    Step("DifferencesScreen", "settings", "qd", "two readings tell"),
    Step("DifferencesScreen", "every setting", "a", "rug thickness"),
    Step("DifferencesScreen", "by size", "s", "by size"),
    Step("DifferencesScreen", "pieces", "p", "tolerance"),
    Step("TextScreen", "keys of the differences", "?", "keys of the differences"),
)
BUILD = (
    Step("BuildScreen", "parts", "qqB", "building: "),
    Step("SeekScreen", "kinds", "\x1b[Ha", "what to add on"),
    Step("SeekScreen", "kinds, narrowed", "foot", "seek: foot"),
    Step("BuildScreen", "name", "\r", "what is it called"),
    Step("BuildScreen", "name refused", "\x15\r", "a name is needed"),
    Step("BuildScreen", "pasted name", "{paste}", "what is it called"),
    Step("BuildScreen", "left", LEAVE, "left as it was"),
    Step("BuildScreen", "a spot", "\x1b[F", "a spot: "),
    Step("SeekScreen", "fields", "\x1b[H" + DOWN + "\r", "what to set of"),
    Step("BuildScreen", "field", "care\r", ", care:"),
    Step("BuildScreen", "field left", LEAVE, "left as it was"),
    Step("BuildScreen", "own kind", "K", "what is the kind called"),
    Step("SeekScreen", "places", LEAVE + "h", "hangs on"),
    Step("SeekScreen", "nothing called so", "zzzz", "nothing is called so"),
    Step("BuildScreen", "back from the places", LEAVE, "building: "),
    Step("BuildScreen", "marked", " ", "marked: "),
    Step("TextScreen", "keys of building", "?", "keys of building"),
    Step("TextScreen", "what is odd, while building", "q!", "what is odd about it"),
    Step("BuildScreen", "taken off", "q\x1b[H" + DOWN + "x", "took "),
    Step("BuildScreen", "taken off, undone", "u", "undone: "),
    Step("RackScreen", "rows after building", "q", "part and setting"),
)
PUT_BACK = (
    Step("PutBackScreen", "moves", "h", "from home now"),
    Step("PutBackScreen", "a line", DOWN, "[ ]"),
    Step("PutBackScreen", "reading", "9", "read again"),
    Step("PutBackScreen", "minutes", LEAVE + "t", "minutes there are"),
    Step("PutBackScreen", "minutes refused", "x\r", "no number of minutes"),
    Step("PutBackScreen", "in so many minutes", "\x152\r", ", in 2 min"),
    Step("PutBackScreen", "what is enough", "e", "what is enough"),
    Step("PutBackScreen", "one side", "e" + "h", "left side"),
    Step("TextScreen", "before you loosen", "!", "before you loosen anything"),
    Step("TextScreen", "keys of the put-back", "q?", "keys of the put-back"),
    Step("PutBackScreen", "pieces", "qp", "how far each piece"),
    Step("PutBackScreen", "reason", " n", "normal from now on, because"),
    Step("PutBackScreen", "nothing to adopt", "so\r", "nothing"),
    Step("PutBackScreen", "moves again", LEAVE + "p", "from home now"),
    Step("PutBackScreen", "ticked", "\r", "1 of "),
    Step("PutBackScreen", "tick taken back", "u", "0 of "),
)
PASTED = (
    Step("RackScreen", "pasted into a note", "qfthrone\rn\x15{paste}", "note on"),
    Step("RackScreen", "pasted note saved", "\r", "saved: note"),
    Step("RackScreen", "pasted where no line is open", "{paste}\x1b[200~8{text}\x1b[201~", "8"),
    Step("BookScreen", "list at the end", LEAVE + "q", "cannot be read"),
)
BROKEN = (
    Step("PutBackScreen", "no moves", "h", "cannot be read"),
    Step("BookScreen", "list, one broken", "qq", "cannot be read"),
    Step("TextScreen", "a page that cannot be read", "\x1b[H\r", "refused:"),
)
