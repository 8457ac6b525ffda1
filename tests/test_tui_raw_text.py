"""No text goes round the sanitiser: every way out of the program is one that was looked at."""

from __future__ import annotations

import json
import unicodedata
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from model.clean import clean, clean_lines
from model.errors import CannotDo, Problem
from model.frozen import Frozen
from model.picture import svg
from tests.hostile_texts import UNFIT
from tests.import_rule import ROOT, modules
from tests.raw_text import ways_out
from tests.sizes import examples
from tui.commands.shared import say, say_error, say_json
from tui.crash import crash_words
from tui.looks.choice import LOOKS
from tui.widgets.line import Cell, fitted, strip_of

SHARED, DRAW, LINE = "tui/commands/shared.py", "tui/commands/draw.py", "tui/widgets/line.py"
ALLOWED: dict[tuple[str, str, str], tuple[str, ...]] = {
    # Commands speak through these four; say and say_error clean, JSON is ASCII.
    (SHARED, "say", "print"): ("print(clean_lines(text))",),
    (SHARED, "say_error", "print"): ("print(clean_lines(text), file=sys.stderr)",),
    (SHARED, "say_error", "stream"): ("sys.stderr",),
    (SHARED, "say_json", "print"): ("print(json.dumps(data, indent=2, ensure_ascii=True))",),
    (SHARED, "say_schema", "print"): ("print(json.dumps(schema_of(answer), indent=2))",),
    # What was typed on the command line, told by the parser of arguments.
    ("tui/cli.py", "error", ".error"): ("super().error(clean(message.replace(_GUARD, '')))",),
    ("tui/cli.py", "module", ".exit"): ("sys.exit(main())",),  # a number
    ("tui/cli.py", "main", "stream"): ("sys.stdout", "sys.stdout"),  # flushed
    # Pointed at nowhere when the reader went away.
    ("tui/cli.py", "_unheard", "os.open"): ("os.open(os.devnull, os.O_WRONLY)",),
    ("tui/cli.py", "_unheard", "stream"): ("sys.stdout",),
    (SHARED, "say_lines", "print"): ("print(clean(line))",),
    (SHARED, "is_watched", "stream"): ("sys.stderr", "sys.stderr"),  # asked whether a terminal
    # The sheet, whose every word went through svg.words.
    (DRAW, "run", ".write"): ("sys.stdout.buffer.write(text.encode('utf-8'))",),
    (DRAW, "run", "stream"): ("sys.stdout", "sys.stdout", "sys.stdout"),
    (DRAW, "_write", ".write_text"): (
        "out.write_text(text, 'utf-8')",
        "part.write_text(text, 'utf-8')",
    ),
    # Asked whether they are a terminal.
    ("tui/app.py", "run_app", "stream"): ("sys.stderr", "sys.stdout"),
    # Files in the state folder: the crash log is cleaned; a setting's key is for ourselves.
    ("tui/crash.py", "write_crash_log", ".write_text"): (
        "path.write_text(clean_lines(text), 'utf-8')",
    ),
    ("tui/places.py", "remember_place", ".write_text"): ("path.write_text(key, 'utf-8')",),
    # Three options of adopt, by their names.
    ("tui/commands/adopt.py", "_check_asked", "getattr"): ("getattr(asked, word)",),
    # The screens: the one place that makes segments, of cells that were fitted and cleaned.
    (LINE, "module", "import"): ("rich.segment.Segment", "textual.strip.Strip"),
    (LINE, "strip_of", "Segment"): ("Segment(text, look.style(role, on_cursor))",),
    (LINE, "strip_of", "Strip"): ("Strip(segments, width)",),
    **{
        (f"tui/widgets/{name}.py", place, kind): (how,)
        for name in ("bar", "grid", "pane")
        for place, kind, how in (
            ("module", "import", "textual.strip.Strip"),
            ("render_line", "render", "strip_of"),
        )
    },
    # Markup: the one module that cleans and escapes.
    ("model/picture/svg.py", "module", "import"): (
        "xml.sax.saxutils.escape",
        "xml.sax.saxutils.quoteattr",
    ),
    ("model/picture/svg.py", "tag", "markup"): ("'<'",) * 4 + ("'</'",) * 3,
    ("model/picture/svg.py", "document", "markup"): (
        '\'<?xml version="1.0" encoding="UTF-8"?>\\n\'',
    ),
}
"""File, function and kind of every way out, with all that stands there."""
DATA = ("model/disk/", frozenset({".write", ".fdopen", "os.open"}))
"""A book's files and their journal hold what was written as it was written."""
BEGUN = '"""A module."""\n\nimport sys\n\n\ndef tell(name, app, path):\n    '


def test_every_way_out_was_looked_at(capsys: pytest.CaptureFixture[str]) -> None:
    found: dict[tuple[str, str, str], list[str]] = {}
    looked, data = 0, 0
    for _, path in modules():
        looked += 1
        for way in ways_out(path.read_text("utf-8"), path.relative_to(ROOT).as_posix()):
            if way.file.startswith(DATA[0]) and way.kind in DATA[1]:
                data += 1
                continue
            found.setdefault((way.file, way.function, way.kind), []).append(way.how)
    told = {place: tuple(sorted(hows)) for place, hows in found.items()}
    new = {place: hows for place, hows in told.items() if ALLOWED.get(place) != hows}
    assert new == {}, "a text may come out here uncleaned: look at it, then allow it"
    assert set(ALLOWED) <= set(told), "allowed, and not there any more"
    assert data > 0
    with capsys.disabled():
        print(f"\n  {looked} modules, {sum(map(len, told.values()))} ways out looked at", end="")


@pytest.mark.parametrize(
    "line",
    [
        "print(name)", "sys.stdout.write(name)", "sys.stderr.buffer.write(name)", "input(name)",
        "out = sys.stderr", "from sys import stdout as out", "import sys as system",
        "from os import write", "path.write_text(name)", "path.write_bytes(name)",
        "path.open('w')", "open(path, 'w')", "import logging", "import warnings",
        "from html import escape", "path.open(mode=how)", "import subprocess",
        "raise SystemExit(name)",
        "sys.exit(name)", "app.exit(None, 0, name)", "app.exit(message=name)", "app.notify(name)",
        "app.title = name", "app.border_title = name", "from textual.widgets import Static",
        "from rich.text import Text", "from rich import print", "import rich", "import textual",
        "return Segment(name)", "return Strip([name])", "return Strip.blank(1)", "app.log(name)",
        "app._driver.write(name)", "app.copy_to_clipboard(name)", "getattr(sys, 'stdout')",
        "getattr(app, name)(name)", "sys.__stderr__.flush()", "app.panic(name)",
        "import json; json.dumps(name, ensure_ascii=False)", "import os; os.system(name)",
        "import argparse; argparse.ArgumentParser(name)", "import traceback; traceback.print_exc()",
    ],
)  # fmt: skip
def test_a_way_round_is_found(line: str) -> None:
    assert ways_out(f"{BEGUN}{line}\n", "tui/commands/new.py") != []


@pytest.mark.parametrize("body", ["return Strip([Segment(name)])", "yield name", "return name"])
def test_a_widget_that_draws_by_itself_is_found(body: str) -> None:
    source = f"class New:\n    def render_line(self, y):\n        {body}\n"
    hows = [way.how for way in ways_out(source, "tui/widgets/new.py") if way.kind == "render"]
    assert hows
    assert hows != ["strip_of"]


@pytest.mark.parametrize("line", ['svg.tag("g", {}, f"{name}")', 'x = f"<g>{name}</g>"'])
def test_markup_by_hand_is_found(line: str) -> None:
    assert ways_out(f"{BEGUN}{line}\n", "model/picture/new.py") != []


@pytest.mark.parametrize("line", ["say(name)", "x = name.strip()", "print_it = 1", "return name"])
def test_what_is_no_way_out_is_let_be(line: str) -> None:
    assert ways_out(f"{BEGUN}{line}\n", "tui/commands/new.py") == []


class _Said(Frozen):
    text: str


def _of_cells(text: str) -> str:
    strip = strip_of([Cell(text, "text")], 40_000, next(iter(LOOKS.values())))
    return strip.text


def _of_markup(text: str) -> str:
    return "".join(ElementTree.fromstring(svg.written(text, (0, 0), 1.0)).itertext())


def _of_problem(text: str) -> str:
    problem = Problem(code="x", what=text, why=text, right=text, path=text, key=text)
    return CannotDo(text, (problem,)).text()


OUTLETS: dict[str, Callable[[str], str]] = {
    "clean": clean,
    "lines": clean_lines,
    "cells": _of_cells,
    "fitted": lambda text: fitted(text, 20_000, right=True),
    "markup": _of_markup,
    "problem": _of_problem,
    "crash": lambda text: crash_words(ValueError(text), Path(text.replace("\0", ""))),
}
MOST = 0x110000
STEP = 4096
VAST = {"Co", "Cn", "Lo", "So"}
"""Categories of which each run tries some, and a long one all."""
TRIED = "".join(
    char
    for code, char in ((code, chr(code)) for code in range(MOST))
    if code % examples(64, 1) == 0 or unicodedata.category(char) not in VAST
)


@pytest.mark.parametrize("outlet", OUTLETS)
def test_no_character_comes_out_that_could_act(outlet: str) -> None:
    """Code points of all there are, against Unicode's own categories (UAX 44, table 12)."""
    seen: Counter[str] = Counter()
    for first in range(0, len(TRIED), STEP):
        seen.update(OUTLETS[outlet](TRIED[first : first + STEP]))
    del seen["\n"]  # between the lines of a problem
    assert not {unicodedata.category(char) for char in seen} & UNFIT
    assert len(seen) > 1000


def test_no_character_is_printed_that_could_act(capsys: pytest.CaptureFixture[str]) -> None:
    say(TRIED)
    say_error(TRIED)
    said = capsys.readouterr()
    for words in (said.out, said.err):
        assert not {unicodedata.category(char) for char in set(words) - {"\n"}} & UNFIT
    fit = TRIED.encode("utf-8", "ignore").decode()
    say_json(_Said(text=fit))
    printed = capsys.readouterr().out
    assert all(char == "\n" or " " <= char <= "~" for char in set(printed))
    assert json.loads(printed)["text"] == fit
    with capsys.disabled():
        ways = len(OUTLETS) + 3
        print(f"\n  {len(TRIED):,} code points by {ways} ways out: none acts", end="")
