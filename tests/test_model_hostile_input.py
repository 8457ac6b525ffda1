"""Hostile files: read, or refused with what, where and what is right; never a traceback or a wait.

50,000 small inputs (1,000,000 with ``--long``) go through every reader of a book in two processes;
``python -m tests.hostile_reading NUMBER 1`` reads one of them again. Files as large as a file may
be are made of what cost most; a reader that goes over them once per line would take hours here.
"""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from model.book.book import parse_book
from model.book.heads import count_in, list_book, read_head
from model.book.page_file import open_page
from model.book.read import MOST_SETTINGS, parse_page
from model.book.ticks_text import parse_ticks
from model.book.write import write_page
from model.disk.guard import LARGEST_FILE, LONGEST_LINE, read_bytes
from model.errors import ClampbookError, Problem, UnreadableFile
from tests.format_one import FOLDER
from tests.hostile import hostile
from tests.hostile_large import LARGE
from tests.hostile_reading import check_problems, check_told
from tests.sizes import examples

ROOT = Path(__file__).parent.parent
INPUTS = examples(short=50_000, long=1_000_000)
PROCESSES = 2
HEAD = (FOLDER / "least.toml").read_text("utf-8")


def test_hostile_inputs_are_read_or_refused(capsys: pytest.CaptureFixture[str]) -> None:
    workers = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.hostile_reading",
             str(first), str(INPUTS // PROCESSES), str(PROCESSES)],
            cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )
        for first in range(PROCESSES)
    ]  # fmt: skip
    counts: Counter[str] = Counter()
    slowest = []
    for worker in workers:
        out, err = worker.communicate()
        assert worker.returncode == 0, err[-6000:]
        told = json.loads(out)
        counts.update(told["counts"])
        slowest.append((told["slowest"]["seconds"], told["slowest"]["input"]))
    seconds, number = max(slowest)
    assert counts["read"] + counts["refused"] == INPUTS
    assert 0.1 < counts["read"] / INPUTS < 0.9, "the inputs are all of one sort"
    with capsys.disabled():
        print(
            f"\n  {INPUTS} hostile inputs: {counts['read']} read, {counts['refused']} refused with "
            f"their reason, 0 tracebacks; slowest {1000 * seconds:.0f} ms (input {number})",
            end="",
        )


def test_the_inputs_are_of_every_sort() -> None:
    """Guard the generator: everything that it is meant to reach turns up."""
    looked_for = {
        "NUL": rb"\x00", "ESC": rb"\x1b\[2J", "escaped ESC": rb"\\u001b", "C1": rb"\xc2\x9b",
        "bidi": rb"\xe2\x80\xae", "separator": rb"\xe2\x80\xa8", "mark first": rb"^\xef\xbb\xbf",
        "mark inside": rb"[^\xbf]\xef\xbb\xbf", "CR": rb"\r[^\n]", "CRLF": rb"\r\n",
        "nan": rb"= -?nan", "inf": rb"inf", "huge float": rb"1e999", "huge integer": rb"= \d{300}",
        "4,000 digits": rb"\d{4000}", "hex": rb"0xf{3000}", "true for a number": rb"read = true",
        "deep": rb"\[{30}", "deep over lines": rb"(\[\n){30}", "deep tables": rb"({ a = ){30}",
        "long key": rb"""(?:(?:a|''|"b c")\.){59}""",
        "long key in braces": rb"""{ (?:(?:a|''|"b c")\.){59}""",
        "long line": rb"[^\n]{4097}", "not UTF-8": rb"\xff", "surrogate": rb"\xed\xa0\x80",
        "UTF-16": rb"^\xff\xfe", "merge marks": rb"\n<<<<<<< ", "unclosed": rb"""\"{3}\n""",
        "empty": rb"^$",
    }  # fmt: skip
    found: Counter[str] = Counter()
    sorts: Counter[str] = Counter()
    patterns = {name: re.compile(pattern, re.DOTALL) for name, pattern in looked_for.items()}
    for number in range(2_500):
        sort, data = hostile(number)
        sorts[sort] += 1
        found.update(name for name, pattern in patterns.items() if pattern.search(data))
    assert set(looked_for) == set(found), set(looked_for) - set(found)
    assert min(sorts.values()) > 200


def test_large_hostile_files_are_read_or_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    size = examples(short=40_000, long=LARGEST_FILE - 60_000)
    slowest, which = 0.0, ""
    path = tmp_path / "page.toml"
    for name, make in LARGE.items():
        data = (HEAD + make(size)).encode()
        path.write_bytes(data[:LARGEST_FILE])
        begun = time.perf_counter()
        for read in (open_page, read_head, count_in):
            try:
                found = read(path)
            except UnreadableFile as error:
                check_told(error)
            else:
                check_problems(getattr(found, "problems", ()))
        parse_book(data.decode(), "book.toml")
        parse_ticks(data.decode(), "a--b.putback")
        seconds = time.perf_counter() - begun
        slowest, which = max((slowest, which), (seconds, name))
        assert path.read_bytes() == data[:LARGEST_FILE]
    with capsys.disabled():
        print(
            f"\n  {len(LARGE)} hostile files of {size // 1000} KB through five readers each; "
            f"slowest all five {slowest:.2f} s ({which})",
            end="",
        )


def refusal(path: Path) -> Problem:
    """Return the one reason why a file cannot be read."""
    with pytest.raises(UnreadableFile) as refused:
        open_page(path)
    check_told(refused.value)
    (problem,) = refused.value.problems
    return problem


@pytest.mark.parametrize(
    ("text", "code"),
    [
        (".".join("a" * 50_000) + " = 1", "line-too-long"),
        (f"[{'.'.join('a' * 50_000)}]", "line-too-long"),
        (f"a = {'[' * 501}1{']' * 501}", "too-deep"),
        ("a = " + "[\n" * 100_000 + "]\n" * 100_000, "too-deep"),
        ("a = " + "{ b = [\n" * 501 + "] }\n" * 501, "too-deep"),
        (f"k = {{ {'a.' * 500}a = 1 }}", "too-deep"),
        ("a.b.c = { d.e.f = { g.h.i = 1 } }", "too-deep"),
        (f"a = {'9' * 4301}", "line-too-long"),
        (f"a = '{'x' * LONGEST_LINE}'", "line-too-long"),
    ],
    ids=["100 KB key", "100 KB header", "501 brackets", "brackets over lines", "tables over lines",
         "500 dots in braces", "dots in braces in braces", "4,301 digits", "a line over 4 KB"],
)  # fmt: skip
def test_what_would_take_long_is_refused_before_it_is_parsed(
    tmp_path: Path, text: str, code: str
) -> None:
    path = tmp_path / "page.toml"
    path.write_text(f"{HEAD}\n{text}\n", "utf-8")
    problem = refusal(path)
    assert problem.code == code
    assert problem.line is not None
    assert problem.line >= 7
    assert path.read_text("utf-8") == f"{HEAD}\n{text}\n"


@pytest.mark.parametrize("number", ["0x" + "f" * 4000, "0o7" + "0" * 4000, "9" * 4060])
def test_an_integer_of_thousands_of_digits_is_kept_or_refused(number: str) -> None:
    """Python itself writes and reads no decimal integer of more than 4,300 digits."""
    kept = parse_page(f"{HEAD}odd = {number}\n")
    assert kept.page is not None
    again = parse_page(write_page(kept.page)).page
    assert again is not None
    assert again.head.extra == kept.page.head.extra
    wrong = parse_page(f"{HEAD}[record]\nfloor.rug = {{ read = {number} }}\n")
    assert [problem.code for problem in wrong.problems if problem.grave] == ["wrong-value"]
    check_problems(wrong.problems)


@pytest.mark.parametrize("value", ["1e999", "-1e999", "nan", "-inf", "true", '"1e5"', "[1.0]"])
@pytest.mark.parametrize("where", ["read", "u", "limit", "tube", "x", "offset", "u_mm"])
def test_no_measure_is_infinite_or_true_or_a_text(value: str, where: str) -> None:
    texts = {
        "read": f"[record]\nfloor.rug = {{ read = {value} }}",
        "u": f"[record]\nfloor.rug = {{ read = 1.0, u = {value} }}",
        "limit": f"[record]\nfloor.rug = {{ open = true, limit = [0, {value}] }}",
        "tube": f"[part.a]\ntype = 'post'\nname = ''\ntube = {value}",
        "x": f"[mark.a]\nx = {value}\ny = 1.0",
        "offset": f"[part.a]\ntype = 'piece'\nname = ''\noffset = [0, {value}, 0]",
        "u_mm": f"[instrument]\ntape = {{ u_mm = {value} }}",
    }
    read = parse_page(f"{HEAD}\n{texts[where]}\n")
    assert read.page is None
    check_problems(read.problems)
    assert any(problem.grave and problem.line and problem.line > 6 for problem in read.problems)


def test_a_page_has_room_for_so_many_settings() -> None:
    joints = [f"j{i}" for i in range(1000)]
    chain = "".join(f"'{joint}',\n" for joint in joints)
    lines = "".join(f"{joint} = {{ slides = 'x' }}\n" for joint in joints)
    kind = f"[kind.k]\nname = ''\nchain = [\n{chain}]\n{lines}"
    part = "[part.p{}]\ntype = 'mount'\nname = ''\nkind = 'k'\n"
    most = MOST_SETTINGS // len(joints)
    for parts in (most, most + 1):
        read = parse_page(HEAD + "".join(part.format(i) for i in range(parts)) + kind)
        assert (read.page is not None) is (parts == most)
    (problem,) = read.problems
    assert problem.code == "too-many-settings"
    assert f"{(most + 1) * 1000}" in problem.text()


@pytest.mark.parametrize(
    "line", [f'a = "{"x" * 1001}"', f'{"x" * 1001} = "a"', "a = 1", "a = ['x']", '"" = ""']
)
def test_a_home_is_named_by_a_text_of_a_bearable_length(line: str) -> None:
    book, problems = parse_book(f"title = 'Porch'\n[homes]\n{line}\n", "book.toml")
    assert (book is None) is any(problem.grave for problem in problems) is (line != '"" = ""')
    check_problems(problems)


def test_the_largest_file_is_read_and_one_byte_more_is_not(tmp_path: Path) -> None:
    path = tmp_path / "page.toml"
    fill = LARGEST_FILE - len(HEAD.encode())
    path.write_text(HEAD + "#\n" * (fill // 2) + "\n" * (fill % 2), "utf-8")
    assert len(read_bytes(path)) == LARGEST_FILE
    assert open_page(path).page.head.rig == "Porch rack"
    with path.open("a") as file:
        file.write("\n")
    assert refusal(path).code == "too-large"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_what_is_no_file_of_the_book_is_neither_opened_nor_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A pipe that nobody writes, a socket, devices, folders, links: none blocks the others."""
    book, outside = tmp_path / "book", tmp_path / "outside"
    book.mkdir()
    outside.mkdir()
    (book / "book.toml").write_text('title = "Porch"\n', "utf-8")
    (book / "whole.toml").write_text(HEAD, "utf-8")
    (outside / "page.toml").write_text(HEAD, "utf-8")
    monkeypatch.chdir(book)  # the name of a socket is short
    os.mkfifo("pipe.toml")
    with socket.socket(socket.AF_UNIX) as held:
        held.bind("socket.toml")
    (book / "folder.toml").mkdir()
    (book / "out.toml").symlink_to(outside / "page.toml")
    (book / "up.toml").symlink_to("../outside/page.toml")
    (book / "null.toml").symlink_to("/dev/null")
    (book / "zero.toml").symlink_to("/dev/zero")
    (book / "memory.toml").symlink_to("/proc/self/mem")
    (book / "loop.toml").symlink_to("loop.toml")
    listing = list_book(book)
    assert [page.name for page in listing.pages] == ["whole"]
    refused = {Path(e.problems[0].path or "").name: e.problems[0].code for e in listing.unreadable}
    assert refused.pop("pipe.toml") == refused.pop("folder.toml") == "not-a-file"
    assert refused.pop("socket.toml") == "system"
    assert refused == dict.fromkeys(
        ("out.toml", "up.toml", "null.toml", "zero.toml", "memory.toml", "loop.toml"), "link"
    )
    for device in ("/dev/null", "/dev/zero", "/dev/tty"):
        if Path(device).exists():
            with pytest.raises(ClampbookError):
                open_page(Path(device))
