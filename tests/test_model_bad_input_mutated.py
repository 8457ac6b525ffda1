"""Pages with anything in the wrong place: read or refused, with no traceback and no raw control."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from model.book.begin import begin_page, begun_value
from model.book.heads import count_in, read_head
from model.book.page_file import PageFile
from model.book.read import parse_page
from model.book.write import write_page
from model.clean import clean_lines
from model.disk.guard import DEEPEST_KEY, LONGEST_LINE
from model.errors import UnreadableFile
from model.readings.instruments import GENERIC_INSTRUMENTS
from model.rig.page import Page
from tests.beginning import START
from tests.shapes import PAGE
from tests.sizes import examples

TOKENS = (Path(__file__).parent / "data" / "odd_tokens.txt").read_text("utf-8").split("\n")[:-1]
CONTROLS = ("\x00", "\x1b", "\x85", "\u2028", "\ufeff", '"\x1b[2J"', '"""a\nb"""', "\r")
LINES = PAGE.split("\n")
PIECES = re.compile(r"(\"[^\"\n]*\"|[\w.+-]+|[^\w\s])")


def odd_token(rng: random.Random) -> str:
    """Return something that hardly ever belongs where it is put."""
    token = rng.choice(TOKENS)
    return rng.choice(CONTROLS) if token == "CONTROL" else token.replace("LONG", "f" * 4000)


def mutated(rng: random.Random) -> str:
    """Return the sample page with one to four things in the wrong place."""
    lines = list(LINES)
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(lines))
        match rng.randrange(7):
            case 0:
                lines[at : at + 1] = []
            case 1:
                lines.insert(at, lines[rng.randrange(len(lines))])
            case 2:
                lines.insert(at, odd_token(rng))
            case 3:
                key, _, _ = lines[at].partition(" = ")
                lines[at] = f"{key} = {odd_token(rng)}"
            case 4:
                place = rng.randrange(len(lines[at]) + 1)
                cut = place + rng.randrange(3)
                char = rng.choice("[]{}\"'=#.,\\\x00\x1b\r 0a\u202e")
                lines[at] = lines[at][:place] + char + lines[at][cut:]
            case _:
                pieces = list(PIECES.finditer(lines[at]))
                if pieces:
                    begin, end = rng.choice(pieces).span()
                    lines[at] = lines[at][:begin] + odd_token(rng) + lines[at][end:]
        lines = lines or [""]
    return "\n".join(lines)


def _listed(path: Path) -> str:
    """List a page and count its states; return what is said where it cannot be listed."""
    try:
        read_head(path)
        count_in(path)
    except UnreadableFile as error:
        return error.text()
    return ""


def _kinds_by_id(page: Page) -> Page:
    """Return the page as the writer puts it: a reader keeps the kinds as they stand."""
    return page.model_copy(update={"kinds": tuple(sorted(page.kinds, key=lambda kind: kind.id))})


@pytest.mark.parametrize("seed", range(4))
def test_a_mutated_page_is_read_or_refused_and_said_cleanly(seed: int, tmp_path: Path) -> None:
    rng, path, opened = random.Random(seed), tmp_path / "page.toml", 0
    tries = examples(short=120, long=12_500)
    for _ in range(tries):
        text = mutated(rng)
        read = parse_page(text)
        said = "\n".join(problem.text() for problem in read.problems)
        assert said == clean_lines(said), text
        assert all(problem.right and problem.path for problem in read.problems), said
        assert (read.page is None) is any(problem.grave for problem in read.problems), text
        path.write_bytes(text.encode())
        told = _listed(path)
        assert told == clean_lines(told)
        if read.page is None:
            continue
        assert told == "", "a page that opens is listed"
        opened += 1
        written = write_page(read.page)
        if max(map(len, written.split("\n"))) <= LONGEST_LINE:  # an unknown table is one line
            assert parse_page(written).page == _kinds_by_id(read.page), text
        file = PageFile(path, text, "", read.page, read.index)
        begun = parse_page(begin_page(file, START, GENERIC_INSTRUMENTS, ()))
        assert begun.page == begun_value(file, START, GENERIC_INSTRUMENTS, ()), text
    assert 0.1 < opened / tries < 0.9, "the mutants are all of one sort"


def test_a_page_as_deep_as_may_be_is_read() -> None:
    deep = f"odd = {'[' * (DEEPEST_KEY - 1)}{']' * (DEEPEST_KEY - 1)}\n"
    assert parse_page(deep + PAGE).page is not None
    assert parse_page(deep.replace("[]", "[[]]") + PAGE).page is None
