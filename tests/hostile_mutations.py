"""What is done to a small page, book or put-back to make it hostile; and the files it is done to.

The bases are golden files of format 1. A mutation is a function of a text and a random source.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from random import Random
from typing import Literal

from tests.format_one import FOLDER

Sort = Literal["page", "book", "ticks"]
PAGES = (
    "least", "least", "closed", "closed", "byte_order_mark", "new_home", "new_home", "merged",
    "notes_and_photos", "words", "by_hand", "flagged", "unknown_keys", "own_kinds",
)  # fmt: skip
TOKENS = tuple((Path(__file__).parent / "data" / "odd_tokens.txt").read_text("utf-8").split("\n"))
MORE_TOKENS = (
    "-nan", "+inf", "1e308", "1e-400", "9" * 300, "9" * 4090, "-" + "8" * 4000, "0b1" + "0" * 2000,
    "0x" + "f" * 3000, "1." + "3" * 2000, "1e" + "9" * 40, "2027-02-30", "9999-12-31T23:59:60Z",
    "0000-01-01", "24:00:00", "2027-01-01T00:00:00+24:00", "2027-01-01T00:00:00.1234567891234Z",
    "true", "True", "{ read = true }", "{ read = 1e999 }", "{ read = nan, u = -inf }", "{ }",
    "[ , ]", "{ open = true, read = 1.0 }", "{ seen = 1.0 }", "{ read = 9e5, limit = [2, 1] }",
    '"""', "'''", '\\"""', "'''\n", '"""\n\\', '"\\ud800"', '"\\U00110000"', '"\\x9b"',
    '"\\u009b2J"', "{ read = '' }", "<<<<<<< ours", "=======", ">>>>>>> theirs", "[[record]]",
    "[record.floor]", "[kind]", "[[[", "]]", "on = ['a', 'a', 'a']", "on = 'bell'", "format = 2",
    "x.y.z.x.y.z = 1", "format = 0", "format = 1.0", "format = 99999999999999999999", "done = 1",
    "chain = ['x', 'x']", "'' = 1", '"a.b" = { open = true }',
)  # fmt: skip
CONTROLS = (
    "\x00", "\x07", "\x08", "\x0b", "\x0c", "\x1b[2J", "\x1b]0;x\x07", "\x7f", "\x85", "\x9b2J",
    "\u200b", "\u202e", "\u2066", "\u2028", "\u2029", "\ufeff", "\U000e0041", "\ue000",
)  # fmt: skip
ESCAPES = (
    r"\u0000", r"\u001b[2J", r"\u0007", r"\u009b", r"\u202e", r"\u2028", r"\U000E0041", r"\r",
    r"\b", r"\uFEFF", r"\e", r"\x1b", r"\q", r"\u12", "\\",
)  # fmt: skip
BAD_BYTES = (
    b"\xff", b"\xfe\xff", b"\xc0\x80", b"\xed\xa0\x80", b"\xf5\x80\x80\x80", b"\x80", b"\xe2\x80",
    b"\xe9", b"\x00\x00",
)  # fmt: skip
ODD_LINES = (
    "#", "# added on this page by EV", " \t ", "#" + "x" * 4000, "odd = [1, 2]", "<<<<<<< ours",
    "=======", ">>>>>>> theirs",
)  # fmt: skip
PIECES = re.compile(r'"[^"\n]*"|[\w.+-]+|[^\w\s]')


@cache
def bases(sort: Sort) -> tuple[str, ...]:
    """Return the texts that inputs of a sort are made from."""
    if sort == "page":
        return tuple(_text(FOLDER / f"{name}.toml") for name in PAGES)
    if sort == "book":
        return (_text(FOLDER / "book.toml"), 'title = "Porch"\n[homes]\nmain = "a"\n')
    return tuple(_text(path) for path in FOLDER.glob("*.putback"))


def _text(path: Path) -> str:
    return path.read_bytes().decode("utf-8")


def odd_token(rng: Random) -> str:
    """Return something that hardly ever belongs where it is put."""
    token = rng.choice(TOKENS if rng.random() < 0.4 else MORE_TOKENS)
    return rng.choice(CONTROLS) if token == "CONTROL" else token.replace("LONG", "f" * 4000)


def _spot(rng: Random, text: str) -> int:
    return rng.randrange(len(text) + 1)


def _put(rng: Random, text: str, what: str) -> str:
    at = _spot(rng, text)
    return text[:at] + what + text[at:]


def _put_line(rng: Random, text: str, line: str) -> str:
    lines = text.split("\n")
    lines.insert(rng.randrange(len(lines)), line)
    return "\n".join(lines)


def flip(rng: Random, text: str) -> str:
    """Change a few characters."""
    for _ in range(rng.randrange(1, 5)):
        at = _spot(rng, text)
        text = text[:at] + chr(rng.randrange(128)) + text[at + rng.randrange(2) :]
    return text


def cut(rng: Random, text: str) -> str:
    """End the text anywhere, or leave out a part of it."""
    first, last = sorted((_spot(rng, text), _spot(rng, text)))
    return text[:first] if rng.random() < 0.5 else text[:first] + text[last:]


def block(rng: Random, text: str) -> str:
    """Double a block of lines, or bring one from another file."""
    source = text if rng.random() < 0.5 else rng.choice(bases("page"))
    lines, into = source.split("\n"), text.split("\n")
    first = rng.randrange(len(lines))
    at = rng.randrange(len(into) + 1)
    into[at:at] = lines[first : first + rng.choice((1, 1, 2, 5, 20))]
    return "\n".join(into)


def shuffle(rng: Random, text: str) -> str:
    """Take a line away, or let two change places."""
    lines = text.split("\n")
    one, two = rng.randrange(len(lines)), rng.randrange(len(lines))
    if rng.random() < 0.5:
        lines[one], lines[two] = lines[two], lines[one]
    else:
        del lines[one]
    return "\n".join(lines)


def replace_piece(rng: Random, text: str) -> str:
    """Put an odd token in the place of a word, a value or a bracket."""
    at = _spot(rng, text)
    piece = PIECES.search(text, at) or PIECES.search(text)
    begin, end = piece.span() if piece else (at, at)
    return text[:begin] + odd_token(rng) + text[end:]


def odd_value(rng: Random, text: str) -> str:
    """Put an odd token behind a key, or on a line of its own."""
    lines = text.split("\n")
    at = rng.randrange(len(lines))
    key, equals, _ = lines[at].partition(" = ")
    lines[at] = f"{key} = {odd_token(rng)}" if equals else odd_token(rng)
    return "\n".join(lines)


def other_piece(rng: Random, text: str) -> str:
    """Put a piece of the text in the place of another one: often it still reads."""
    one, two = (PIECES.search(text, _spot(rng, text)) for _ in range(2))
    if one is None or two is None:
        return text
    return text[: one.start()] + two.group() + text[one.end() :]


def odd_comment(rng: Random, text: str) -> str:
    """Put a comment, blanks, a key that nobody knows or a merge's mark on a line anywhere."""
    return _put_line(rng, text, rng.choice(ODD_LINES))


def nest(rng: Random, text: str) -> str:
    """Add a value nested deeply, on one line or over many."""
    deep = rng.choice((1, 2, 3, 5, 6, 7, 8, 30, 400, 1500))
    end = rng.choice(("", "\n"))
    left, right = rng.choice((("[", "]"), ("{ a = ", " }"), ("[{ a = ", " }]")))
    closed = rng.choice((deep, deep, deep, 0, deep - 1))
    return _put_line(rng, text, f"nest = {(left + end) * deep}1{(right + end) * closed}")


def long_key(rng: Random, text: str) -> str:
    """Add a long dotted key, a long header or a long line."""
    long = ".".join(
        rng.choice(("a", '"b c"', "''")) for _ in range(rng.choice((2, 4, 7, 8, 9, 60, 1000)))
    )
    shapes = (
        f"{long} = 1",
        f"[{long}]",
        f"[[a]]\n[{long}]\nb = 1\nc = 1",
        f"k = {{ {long} = 1 }}",
        "k" * rng.choice((60, 4090, 5000)) + " = 1",
        f'k = "{"x" * rng.choice((900, 1001, 4090, 9000))}"',
    )
    return _put_line(rng, text, rng.choice(shapes))


def control(rng: Random, text: str) -> str:
    """Put controls, bidi marks and escapes of them anywhere, or into a text."""
    what = rng.choice(CONTROLS if rng.random() < 0.5 else ESCAPES)
    if rng.random() < 0.5:
        quote = text.find('"', _spot(rng, text))
        return text[: quote + 1] + what + text[quote + 1 :]
    return _put(rng, text, what)


def line_ends(rng: Random, text: str) -> str:
    """End lines as other systems do, everywhere or in some places."""
    end = rng.choice(("\r\n", "\r", "\r\r\n", "\n\r"))
    return text.replace("\n", end, rng.choice((-1, 1, 3)))


def byte_order(rng: Random, text: str) -> str:
    """Put a mark of byte order before the text, or two, or one inside."""
    return (
        rng.choice(("\ufeff", "\ufeff\ufeff")) + text
        if rng.random() < 0.7
        else _put(rng, text, "\ufeff")
    )


Mutation = Callable[[Random, str], str]
MUTATIONS: tuple[Mutation, ...] = (
    flip, flip, cut, block, block, shuffle, shuffle, replace_piece, odd_value, odd_value, nest,
    long_key, control, control, line_ends, byte_order, other_piece, other_piece, odd_comment,
)  # fmt: skip


def bad_bytes(rng: Random, data: bytes) -> bytes:
    """Put what is no UTF-8 anywhere."""
    at = rng.randrange(len(data) + 1)
    return data[:at] + rng.choice(BAD_BYTES) + data[at:]


def flip_bits(rng: Random, data: bytes) -> bytes:
    """Flip single bits."""
    held = bytearray(data)
    for _ in range(rng.randrange(1, 4) if held else 0):
        held[rng.randrange(len(held))] ^= 1 << rng.randrange(8)
    return bytes(held)


def other_encoding(rng: Random, data: bytes) -> bytes:
    """Write the text as an old editor would."""
    text = data.decode("utf-8", "replace")
    return text.encode(rng.choice(("utf-16", "utf-16-le", "latin-1", "cp500")), "replace")


BYTE_MUTATIONS: tuple[Callable[[Random, bytes], bytes], ...] = (
    bad_bytes,
    flip_bits,
    flip_bits,
    other_encoding,
)
