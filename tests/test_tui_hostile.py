"""Names from files on every screen, through a pty: not one byte of theirs acts on the terminal."""

from __future__ import annotations

import json
import os
import re
import sys
from pathlib import Path

import pytest

from tests.rack_stage import FIRST, SECOND, small_book

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no Unix terminal here")
if sys.platform != "win32":
    from tests.bench.pty_program import PtyProgram, program

# Each ends in a mark of its own, so that what reaches the terminal of it can be found.
PAYLOADS = [
    "\x1b[31mred", "\x1b[2J", "\x1b[H", "\x1b]0;title\x07", "\x1b]52;c;ZXZpbA==\x07",
    "\x1bP1$r\x1b\\", "\x1bc", "\x9b31m", "\x9d0;title\x9c", "\x90q\x9c", "\x07", "\x08\x08",
    "\r", "\x7f", "\u202eevil", "\u2066x\u2069", "\u200b", "\u2028", "[/x]", "[bold red]",
]  # fmt: skip
ACTING = re.compile(rb"\x1b\[31m(?!;)|\x1b\]|\x1bP1|\x1bc|\x07|\x08|\x7f|\xc2[\x80-\x9f]")
OWN = re.compile(rb"\x1b\]22;[a-z-]*(?:\x1b\\|\x07)")
"""The terminal library asks for the pointer's shape (OSC 22); that is not of the data."""
BIDI = ["\u202e", "\u2066", "\u2069", "\u200b", "\u2028"]


def hostile_book(folder: Path, payload: str) -> Path:
    """Make a book in which every text that is shown holds the payload."""
    book = small_book(folder)
    text = json.dumps(f"{payload}MARK")  # TOML's basic strings take JSON's escapes
    text = re.sub(r"[\x7f-\x9f]", lambda m: f"\\u{ord(m[0]):04x}", text)
    for name in (FIRST, SECOND):
        path = book / f"{name}.toml"
        page = path.read_text()
        keys = "name|venue|rig|care|colour|mark"
        page = re.sub(rf'(?m)^({keys}) = ".*"', rf"\1 = {_safe(text)}", page)
        page = re.sub(r'(?m)^([a-z0-9-]+)\.note = ".*"', rf"\1.note = {_safe(text)}", page)
        page = re.sub(r'(?m)^(AK|JM) = ".*"', rf"\1 = {_safe(text)}", page)
        page = page.replace('"third notch"', text)
        path.write_text(page)
    (book / "book.toml").write_text(
        f'title = {text}\n\n[homes]\n\nmain = "{FIRST}"\n\n"{"x"}" = "{FIRST}"\n'
    )
    (book / "broken.toml").write_text(f"format = 1\nrig = {text} x\n")
    return book


def _safe(text: str) -> str:
    return text.replace("\\", "\\\\")


@pytest.mark.parametrize("first", range(0, len(PAYLOADS), 5))
def test_nothing_of_a_hostile_name_acts(tmp_path: Path, first: int) -> None:
    hostile_book(tmp_path / "tour", "".join(PAYLOADS[first : first + 5]))
    run = PtyProgram(program("tour"), tmp_path, columns=200, rows=40)
    run.read_until(b"MARK")
    screens = 0
    for keys in (b"!", b"q", b"\r", b"!", b"q", b"fkick", b"\r", b"w", b"q", b"d", b"a", b"q",
                 b"h", b"pp!", b"q", b"?", b"q", b"q", b"c", b"q", b"n", b"\x7f" * 3, b"\x1b",
                 b"q"):  # fmt: skip
        for key in [keys[i : i + 1] for i in range(len(keys))]:
            os.write(run.fd, key)
            run.read(quiet=0.05, longest=0.6)
        screens += 1
    run.kill()
    assert screens == 24
    shown = run.seen
    assert shown.count(b"MARK") > 20
    acting = [match[0] for match in ACTING.finditer(OWN.sub(b"", shown))]
    assert acting == [], f"{acting[:5]} reached the terminal"
    text = shown.decode("utf-8", "replace")
    assert not [char for char in BIDI if char in text]
