"""The ticks of a put-back as text and back: one move a line, a blank line between."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from model.book.faults import Faults, shown
from model.book.into_toml import Table, table_of, with_extra
from model.book.into_values import build, unknown
from model.book.layout import entry_line, paragraphs
from model.book.scan import Path
from model.book.ticks_value import FORMAT, MOVE, MOVE_KEY, Tick, Ticks
from model.book.tokens import Index
from model.book.toml import parse_toml
from model.errors import Problem
from model.frozen import LONGEST_TEXT, Frozen

V = TypeVar("V", bound=Frozen)
TITLE = (
    "# Clampbook put-back: which moves a hand has made. A ticked move is not a reading: "
    "its setting stays carried until it is read."
)
_RIGHT = {
    "now": 'now = "2026-03-21-after-fill-in"',
    "wanted": 'wanted = "2026-03-08-soundcheck"',
    "readings": 'readings = "2026-03-22-soundcheck"',
    "from": "from = 381.0",
    "to": "to = 365.125",
    "done": "done = false",
    "by": 'by = "KD"',
}
_HEAD = frozenset({"format", "now", "wanted", "readings", "move"})
_OF_MOVE = frozenset({"from", "to", "done", "by"})


def tick_table(tick: Tick) -> Table:
    """Return one move's line: from where, to where, whether it is made, and who says so."""
    table = table_of(tick, leave_out=("key", "done", "by", "extra"))
    table["done"] = tick.done
    if tick.by is not None:
        table["by"] = tick.by
    return with_extra(table, tick.extra)


def write_ticks(ticks: Ticks) -> str:
    """Return the ticks as TOML text, in the layout; reading it gives the same ticks again."""
    head: Table = {
        "format": FORMAT,
        "now": ticks.now,
        "wanted": ticks.wanted,
        "readings": ticks.readings or "",  # its line is always there, so that two people's merge
    }
    lines = [entry_line((key,), value) for key, value in with_extra(head, ticks.extra).items()]
    moves = [[entry_line(move.key.split("."), tick_table(move))] for move in ticks.moves]
    return paragraphs([[TITLE, *lines], ["[move]"], *moves])


def parse_ticks(text: str, file: str) -> tuple[Ticks | None, tuple[Problem, ...], Index]:
    """Read ticks from their TOML text, or every reason why not; ``file`` names it in messages."""
    tables, index, faults = parse_toml(text, file)
    if tables is None:
        # The parser's own examples are a page's.
        odd = ("malformed", "too-deep")
        found = [replace(p, right=MOVE) if p.code in odd else p for p in faults.in_order()]
        return None, tuple(found), index
    if not _right_format(tables, faults):
        return None, faults.in_order(), index
    # The parser gathers a part's moves in one table; their order is that of their lines.
    moves = sorted(
        _moves(tables.get("move", {}), faults),
        key=lambda move: index.line_of(("move", *move.key.split("."))) or 0,
    )
    head = {name: tables[name] for name in ("now", "wanted", "readings") if name in tables}
    if head.get("readings") == "":
        del head["readings"]
    ticks = _built(Ticks, head, (), faults, moves=tuple(moves), extra=unknown(tables, _HEAD))
    return None if faults.grave else ticks, faults.in_order(), index


def _built(model: type[V], table: object, key: Path, faults: Faults, **fixed: object) -> V | None:
    """Make a value from a table; what is wrong is told with an example of a put-back's."""
    known = len(faults.found)
    made = build(model, table, key, faults, **fixed)
    for at, problem in enumerate(faults.found[known:], known):
        name = (problem.key or "").rpartition(".")[2]
        faults.found[at] = replace(problem, right=_RIGHT.get(name, MOVE))
    return made


def _right_format(tables: Mapping[str, Any], faults: Faults) -> bool:
    number = tables.get("format")
    if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
        faults.add(
            "newer-format",
            ("format",),
            f"it is of format {min(number, 999_999)}; this Clampbook reads up to {FORMAT}",
            why="a newer Clampbook wrote it",
            right="open it with a Clampbook at least as new; the file is left as it is",
        )
        return False
    if type(number) is not int or number < 1:
        why = f"the file has {shown(number)}" if "format" in tables else "it is missing"
        faults.add(
            "wrong-value", ("format",), "its format is a number", why=why, right="format = 1"
        )
    return True


def _moves(table: object, faults: Faults) -> Iterator[Tick]:
    if not isinstance(table, dict):
        why = f"the file has {shown(table)}"
        faults.add("wrong-value", ("move",), "a table is needed", why=why, right="[move]")
        return
    for path, entry in _entries(table):
        key = ("move", *path)
        if any("." in step for step in path) or not MOVE_KEY.fullmatch(".".join(path)):
            why = "a move has the key of a setting, or put, ask, hang or kind and a part"
            faults.add("wrong-id", key, "this is no move's key", why=why, right=MOVE)
        elif not isinstance(entry, dict):
            why = f"the file has {shown(entry)}"
            faults.add("wrong-value", key, "a move is a table", why=why, right=MOVE)
        else:
            tick = _tick(key, entry, faults)
            if tick is not None:
                yield tick


def _entries(table: Mapping[str, Any], path: Path = ()) -> Iterator[tuple[Path, object]]:
    """Yield the moves of nested tables: one that holds nothing but tables is a part's or dials'."""
    for name, held in table.items():
        here = (*path, name)
        nests = isinstance(held, dict) and held and all(isinstance(v, dict) for v in held.values())
        if nests and len(here) < 3:
            yield from _entries(held, here)
        else:
            yield here, held


def _tick(key: Path, entry: Mapping[str, Any], faults: Faults) -> Tick | None:
    fit = [_is_measure(key, name, entry[name], faults) for name in ("from", "to") if name in entry]
    if "done" not in entry:
        why = "every move says whether it is made"
        faults.add("wrong-value", (*key, "done"), "it is missing", why=why, right=_RIGHT["done"])
        fit.append(False)
    if not all(fit):
        entry = {name: held for name, held in entry.items() if name not in ("from", "to")}
    fields = {name: held for name, held in entry.items() if name in _OF_MOVE}
    fields["key"] = ".".join(key[1:])
    made = _built(Tick, fields, key, faults, extra=unknown(entry, _OF_MOVE))
    return made if all(fit) else None


def _is_measure(key: Path, name: str, value: object, faults: Faults) -> bool:
    what = ""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        what = "a number or a text is needed; it is left out where it is not known"
    elif isinstance(value, str):
        if len(value) > LONGEST_TEXT:
            what = f"it is longer than {LONGEST_TEXT} characters"
    elif not -1e6 <= value <= 1e6:  # false for NaN
        what = "infinity, NaN and numbers over a million are no measures"
    if what:
        why = f"the file has {shown(value)}"
        faults.add("wrong-value", (*key, name), what, why=why, right=_RIGHT[name])
    return not what
