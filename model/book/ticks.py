"""The file of a put-back's ticks, beside the pages: found, read, begun, ticked line by line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path as FilePath

from model.book.edits import edit_text
from model.book.layout import Plain
from model.book.scan import Path
from model.book.ticks_name import ENDING, check_page_name, other_pages, ticks_path
from model.book.ticks_text import parse_ticks, tick_table, write_ticks
from model.book.ticks_value import Tick, Ticks
from model.book.tokens import Index
from model.disk.guard import read_text
from model.disk.save import CHANGED, check_unchanged, save
from model.errors import CannotDo, NotSaved, Problem, UnreadableFile

LONGEST_BY = 200
MOST_TRIES = 20


@dataclass(frozen=True, slots=True)
class TicksFile:
    """A put-back's ticks as they stand on disk: text, its hash, its value, and where keys stand."""

    path: FilePath
    text: str
    sha256: str
    ticks: Ticks
    index: Index


def read_ticks(path: FilePath) -> TicksFile:
    """Read a file of ticks; raises :class:`UnreadableFile` with every reason.

    Its name must be that of the two pages that it names.
    """
    held = read_text(path)
    ticks, problems, index = parse_ticks(held.text, str(path))
    if ticks is not None and (wrong := other_pages(path, ticks)):
        ticks, problems = None, (wrong,)
    if ticks is None:
        raise UnreadableFile(f"{path.name} cannot be read", problems)
    return TicksFile(path, held.text, held.sha256, ticks, index)


def new_ticks(path: FilePath, ticks: Ticks) -> TicksFile:
    """Begin a file of ticks; when this returns, it is on the disk.

    Raises :class:`CannotDo` where the file's name is not that of its pages, :class:`NotSaved` where
    the file is there already (then it is read, and ticked on) or the disk refuses it.
    """
    if wrong := other_pages(path, ticks):
        raise CannotDo("the put-back cannot be begun there", (wrong,))
    text = write_ticks(ticks)
    again, problems, index = parse_ticks(text, str(path))
    if again != ticks:
        raise _disagree(path, "now", problems)
    try:
        return TicksFile(path, text, save(path, text, None), ticks, index)
    except NotSaved:
        if not path.exists():
            raise
        problem = Problem(
            code="begun-already",
            what="this put-back was begun already",
            why="its ticks are kept",
            right="go on with its file",
            path=str(path),
        )
        raise NotSaved("not begun again; the old file is whole", (problem,)) from None


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry of the text and what it becomes."""

    path: Path
    value: Plain

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        return ((self.path, self.value),)


def with_tick(file: TicksFile, key: str, done: bool, by: str | None) -> TicksFile:
    """Return the ticks with one move made or not made, in text and value, not saved yet.

    One line of the text differs, or none where the move is so already. Raises :class:`CannotDo`
    where there is no such move, or where it has no line of its own.
    """
    if len(by or "") > LONGEST_BY:
        what = f"initials of {len(by or '')} characters"
        problem = Problem(code="too-long", what=what, right=f"{LONGEST_BY} at most", key=key)
        raise CannotDo("the move cannot be ticked", (problem,))
    ticks = file.ticks.ticked(key, by) if done else file.ticks.unticked(key)
    if ticks is file.ticks:
        return file
    path = ("move", *key.split("."))
    if path not in file.index.places:
        problem = Problem(
            code="no-own-line",
            what="the move is written inside another table",
            why="Clampbook changes only moves that have a line of their own",
            right="one line a move below [move]",
            path=str(file.path),
            key=key,
            line=file.index.line_of(path),
        )
        raise CannotDo("the move cannot be ticked", (problem,))
    return _changed(file, _Entry(path, tick_table(ticks.by_key[key])), ticks)


def _changed(file: TicksFile, entry: _Entry, ticks: Ticks) -> TicksFile:
    """Make one entry's change in the text, and hold the text against the value."""
    text, _ = edit_text(file.text, file.index, entry)
    again, problems, index = parse_ticks(text, str(file.path))
    if again != ticks:
        raise _disagree(file.path, ".".join(entry.path), problems)
    return TicksFile(file.path, text, file.sha256, ticks, index)


def tick(file: TicksFile, key: str, done: bool, by: str | None) -> TicksFile:
    """Tick a move, or take its tick away; when this returns, it is on the disk.

    Where someone else changed the file meanwhile, the same tick is made on theirs: ticks of other
    lines are kept, and a move that both ticked is done. Raises :class:`CannotDo` where the move's
    line is not there (any more) or says another move now, :class:`NotSaved`,
    :class:`NotConfirmed`, or :class:`UnreadableFile` for what the file has become.
    """
    meant = file.ticks.move(key)

    def make(held: TicksFile) -> TicksFile:
        _same_move(held.path, meant, held.ticks.move(key))
        return with_tick(held, key, done, by)

    return _saved(file, make)


def _same_move(path: FilePath, meant: Tick, held: Tick) -> None:
    if (meant.start, meant.to) == (held.start, held.to):
        return
    problem = Problem(
        code="another-move",
        what=f"the move goes to {held.to} now, from {held.start}; it went to {meant.to}",
        why="someone else changed the list of moves",
        right="read the list again, look at the move, then tick it",
        path=str(path),
        key=meant.key,
    )
    raise CannotDo("the move cannot be ticked", (problem,))


@dataclass(frozen=True, slots=True)
class _Entries:
    """The entries of several moves."""

    moves: tuple[Tick, ...]

    def lines(self) -> tuple[tuple[Path, Plain], ...]:
        return tuple((("move", *move.key.split(".")), tick_table(move)) for move in self.moves)


def renewed(file: TicksFile, wished: Ticks) -> TicksFile:
    """Put the moves that are wished for into a file; when this returns, it is on the disk.

    What goes where it went keeps its line as it stands, ticks too; what goes elsewhere is not made,
    and keeps its other keys; what is not wished for any more stays, and so do comments. Raises as
    :func:`tick` does.
    """
    return _saved(file, lambda held: _with_moves(held, wished))


def _with_moves(file: TicksFile, wished: Ticks) -> TicksFile:
    before = file.ticks.by_key
    strange = (wished.by_key[key] for key in file.ticks.strangers(wished))
    moves = tuple(
        Tick.model_validate({**dict(move), "extra": before[move.key].extra})
        if move.key in before
        else move
        for move in strange
    )
    text, _ = edit_text(file.text, file.index, _Entries(moves))
    again, problems, index = parse_ticks(text, str(file.path))
    meant = {**before, **{move.key: move for move in moves}}
    if again is None or again.by_key != meant or again.extra != file.ticks.extra:
        raise _disagree(file.path, "move", problems)
    return TicksFile(file.path, text, file.sha256, again, index)


def with_readings_page(file: TicksFile, name: str) -> TicksFile:
    """Name the page that re-readings go to; when this returns, it is on the disk.

    Raises :class:`CannotDo` for what is no page's name, or where someone else named another one
    meanwhile; and as :func:`tick` does.
    """
    check_page_name(name)
    known = file.ticks.readings

    def make(held: TicksFile) -> TicksFile:
        theirs = held.ticks.readings
        if theirs not in (known, name):
            problem = Problem(
                code="another-page",
                what=f"someone else named {theirs} for the re-readings",
                right=f"{theirs}, or {name} once it is agreed on",
                path=str(held.path),
                key="readings",
            )
            raise CannotDo("the page is not named", (problem,))
        if theirs == name:
            return held
        return _changed(held, _Entry(("readings",), name), held.ticks.with_readings(name))

    return _saved(file, make)


def _saved(file: TicksFile, make: Callable[[TicksFile], TicksFile]) -> TicksFile:
    """Make a change and save it; where the file is not the one that was read, on theirs."""
    tries = 0
    while True:
        after = make(file)
        try:
            if after.text == file.text:
                check_unchanged(file.path, file.sha256)  # said to be on the disk only if it is
                return after
            return replace(after, sha256=save(file.path, after.text, file.sha256))
        except NotSaved as error:
            tries += 1
            if not file.path.exists():
                raise _gone(file.path) from error
            if tries == MOST_TRIES or all(p.code != CHANGED for p in error.problems):
                raise
        file = read_ticks(file.path)


def _gone(path: FilePath) -> NotSaved:
    problem = Problem(
        code="not-saved",
        what="the file of the ticks is gone",
        right="put it back, or begin the put-back again",
        path=str(path),
    )
    return NotSaved("not ticked", (problem,))


def _disagree(path: FilePath, key: str, problems: tuple[Problem, ...]) -> NotSaved:
    problem = Problem(
        code="text-and-value",
        what="the changed text would not say what was ticked",
        why="this is a fault of Clampbook's; nothing was written",
        right="report it with the file; meanwhile the line can be changed in an editor",
        path=str(path),
        key=key,
    )
    return NotSaved("not saved; the old file is whole", (problem, *problems))


__all__ = [
    "ENDING",
    "Tick",
    "Ticks",
    "TicksFile",
    "new_ticks",
    "read_ticks",
    "tick",
    "ticks_path",
    "with_readings_page",
    "with_tick",
]
