"""Texts that would act on a terminal, and a book whose every text holds them."""

from __future__ import annotations

import json
import re
import unicodedata
from pathlib import Path

from model.book.book import read_book
from model.book.page_file import open_page
from tests.rack_stage import FIRST, SECOND, small_book

PAYLOADS = [
    "\x1b[31mred", "\x1b[2J", "\x1b[H", "\x1b]0;title\x07", "\x1b]52;c;ZXZpbA==\x07",
    "\x1bP1$r\x1b\\", "\x1bc", "\x9b31m", "\x9d0;title\x9c", "\x90q\x9c", "\x07", "\x08\x08",
    "\r", "\x7f", "\u202eevil", "\u2066x\u2069", "\u200b", "\u2028", "[/x]", "[bold red]",
]  # fmt: skip
UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""Unicode's categories (UAX 44, table 12) of what may steer a terminal or hide or turn a text."""
TEXTS = "name|venue|rig|care|colour|mark|serial|by|loosen|plus|zero|measured|felt_colour"
MARKS = 'colour = "green"\nmark = "tape"\nserial = "S-1"\ncare = "Hold it."'


def acting(text: str) -> list[str]:
    """Return the characters of ``text`` that could act; line breaks are the program's own."""
    return sorted({c for c in text if unicodedata.category(c) in UNFIT} - {"\n"})


def toml(text: str) -> str:
    """Return ``text`` as a TOML string: its basic strings take JSON's escapes."""
    return re.sub(r"[\x7f-\x9f]", lambda m: f"\\u{ord(m[0]):04x}", json.dumps(text))


def file_name(text: str) -> str:
    """Return ``text`` as a file's or folder's name may hold it."""
    return text.replace("/", "|")


def hostile_page(page: str, text: str) -> str:
    """Return a page with ``text`` in the place of every text that is shown."""
    held = toml(text).replace("\\", "\\\\")
    page = page.replace('colour = "green"', MARKS)
    page = page.replace('height = { slides = "rail"', 'height = { slides = "rail", zero = "the rug"'
                        ', plus = "up", measured = "from the rug to the edge"')  # fmt: skip
    page = re.sub(rf'(?m)((?:^|[{{,] )(?:{TEXTS})) = "[^"\n]*"', rf"\1 = {held}", page)
    page = re.sub(r'(?m)^([a-z0-9-]+)\.note = ".*"', rf"\1.note = {held}", page)
    page = re.sub(r"(?m)^([a-z0-9-]+)\.photos = .*", rf"\1.photos = [{held}]", page)
    page = re.sub(r'(, note) = "[^"\n]*"', rf"\1 = {held}", page)
    page = re.sub(r'(?m)^(AK|JM) = ".*"', rf"\1 = {held}", page)
    page = re.sub(r'(carried = [0-9.-]+, page) = "[^"\n]*"', rf"\1 = {held}", page)
    page = re.sub(r'(?m)^moment = ".*"', f"moment = {held}", page)
    page = re.sub(r'(?m)^role = "(.*)"', lambda m: f"role = {toml(f'{m[1]} {text}')}", page)
    return page.replace('"third notch"', toml(text))


def hostile_book(folder: Path, text: str) -> Path:
    """Make a book in which every text that is shown is ``text``, and some files are broken by it.

    Two pages, the first its home; the second read in some places, so that there is what differs.
    """
    book = small_book(folder)
    for name in (FIRST, SECOND):
        path = book / f"{name}.toml"
        path.write_text(hostile_page(path.read_text(), text))
    path = book / f"{SECOND}.toml"
    read = 'clamp-l.height = { read = 840.0, using = "tape", by = "AK" }'
    path.write_text(re.sub(r"(?m)^clamp-l\.height = .*", read, path.read_text()))
    (book / "book.toml").write_text(
        f'title = {toml(text)}\nshort_walk = ["clamp-l.height", "throne.height"]\n\n'
        f'[homes]\n\nmain = "{FIRST}"\n\n{toml(text)} = "{FIRST}"\n\n'
        f"[tolerance.{toml(f'ride {text}')}]\nmm = 10.0\n"
    )
    (book / "broken.toml").write_text(f"format = 1\nrig = {toml(text)} x\n")
    (book / "no page.toml").write_text(f"format = 1\n{toml(text)} = {toml(text)}\n")
    open_page(book / f"{FIRST}.toml")
    open_page(path)
    read_book(book)
    return book
