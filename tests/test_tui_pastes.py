"""Input that is no key: pasted text is never commands, and half a character ends nothing."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual._xterm_parser import XTermParser
from textual.events import Key, Paste

from model.book.page_file import open_page
from tests.rack_stage import SECOND, small_book
from tui.pastes import BEGIN, END, ESC, Pastes

if sys.platform != "win32":
    from tests.bench.pty_program import PtyProgram, program

PIECES = st.sampled_from(
    ["q", "x", "é", ESC, "[", "200~", "201~", "\x1b[31m", "\x1b]0;t\x07", "\x1b\x1b[201", "\r", "5"]
)
TEXTS = st.lists(PIECES, max_size=12).map("".join)


def _outside(text: str) -> bool:
    return BEGIN not in text and not text.endswith(tuple(BEGIN[:n] for n in range(1, 6)))


@given(TEXTS.filter(_outside), TEXTS.filter(lambda text: END not in text), TEXTS, st.data())
def test_a_paste_holds_no_escape_however_it_comes(
    before: str, pasted: str, after: str, data: st.DataObject
) -> None:
    whole = f"{before}{BEGIN}{pasted}{END}{after.replace(BEGIN, '')}"
    if pasted.endswith(tuple(END[:n] for n in range(1, 6))):
        return  # its own end and the terminal's cannot be told apart
    pastes, came, rest = Pastes(), "", whole
    while rest:
        size = data.draw(st.integers(1, 8))
        came, rest = came + pastes.without_escapes(rest[:size]), rest[size:]
    wanted = f"{before}{BEGIN}{pasted.replace(ESC, '')}{END}{after.replace(BEGIN, '')}"
    assert came == wanted


@pytest.mark.parametrize(
    "pasted",
    ["a\x1b[31mred\x1b[2Jxx", f"{ESC}{'x' * 40}\rq", "\x1b\x1b\x1bq", "\x1b[A\x1b[B\x1bOP"],
)
def test_the_parser_makes_no_key_of_what_was_pasted(pasted: str) -> None:
    parser = XTermParser()
    text = Pastes().without_escapes(f"{BEGIN}{pasted}{END}k")
    events = [event for event in parser.feed(text) if isinstance(event, Key | Paste)]
    assert [event.text for event in events if isinstance(event, Paste)] == [pasted.replace(ESC, "")]
    assert [event.key for event in events if isinstance(event, Key)] == ["k"]


@pytest.mark.skipif(sys.platform == "win32", reason="there is no Unix terminal here")
def test_on_the_rack_nothing_pasted_is_a_command(tmp_path: Path) -> None:
    page = small_book(tmp_path / "tour") / f"{SECOND}.toml"
    run = PtyProgram(program(f"tour/{SECOND}", "--unit", "mm"), tmp_path)
    run.read_until(b"part and setting")
    before = page.read_bytes()
    # On a part's row a digit begins no entry; what follows it would be commands.
    os.write(run.fd, f"\x1b[H{BEGIN}8xxoosq{END}".encode())
    run.read_until(b"is a part; its settings are below it")
    os.write(run.fd, f"{BEGIN}{ESC}{'x' * 40}\r{END}{BEGIN}{ESC}[31mss{ESC}oo\rq{END}".encode())
    os.write(run.fd, b"ffloor.rug\r")
    run.read_until(b"rug thickness")
    os.write(run.fd, f"{BEGIN}7{ESC}[A{ESC}q5{END}".encode())  # on a setting it begins an entry
    run.read_until(b"7[Aq5")
    assert page.read_bytes() == before
    os.write(run.fd, b"\x15" + b"12")
    for half in (b"\xc2", b"\xbd"):  # a half sign, as a slow line may bring it
        run.read(quiet=0.1, longest=0.3)
        os.write(run.fd, half)
    os.write(run.fd, b'"\r')
    run.read_until(b"saved: rug thickness read 317.5 mm")
    assert open_page(page).page.setting("floor.rug").value == 317.5
    run.kill()
