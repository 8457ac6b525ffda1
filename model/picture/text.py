"""How wide words come out, and where they are cut. In ems: multiply by the size of the letters."""

from __future__ import annotations

import unicodedata

from model.clean import clean

# Advance widths of Helvetica and Arial in thousandths of an em, from memory. Where a browser and a
# font with these metrics are at hand, a test holds them against each other.
_WIDTHS: dict[str, int] = {
    char: width
    for width, chars in {
        191: "'′",
        222: "ijl‘’",
        260: "|",
        278: " !,./:;I[\\]ft\u00a0·",
        333: "()-`r“”",
        334: "{}",
        355: '"″',
        350: "•",
        370: "ºª",
        400: "°",
        469: "^",
        500: "Jckvsxyz",
        556: "0123456789#$?L_abdeghnopqu–«»€£¥§",
        584: "+<=>~×÷±−",
        611: "FTZß",
        667: "&ABEKPSVXY",
        722: "CDHNRUw",
        778: "GOQ",
        833: "Mm½¼¾",
        889: "%æ",
        944: "W",
        1000: "—…Æ",
        1015: "@",
    }.items()
    for char in chars
}
_SAFE = 1.08
_BOLD = 1.1


def known(text: str) -> bool:
    """Tell whether every character is in the table of widths, accents apart."""
    return all(_known(char) for char in text)


def width(text: str, *, bold: bool = False) -> float:
    """Return how wide a text is at most, in ems, 8 % to the safe side.

    East Asian wide characters count one em, marks that stand over a letter none, and a character
    that the table does not have 1.2 ems.
    """
    return sum(_char(char) for char in text) * _SAFE * (_BOLD if bold else 1.0)


def cut(text: str, longest: float, *, bold: bool = False) -> str:
    """Return a text, cleaned, and cut with an ellipsis where it is wider than ``longest`` ems."""
    text = clean(text)
    if width(text, bold=bold) <= longest:
        return text
    left = longest - width("…", bold=bold)
    kept = ""
    for char in text:
        left -= width(char, bold=bold)
        if left < 0:
            break
        kept += char
    return kept.rstrip() + "…"


def _known(char: str) -> bool:
    return char in _WIDTHS or unicodedata.normalize("NFD", char)[0] in _WIDTHS


def _char(char: str) -> float:
    if char in _WIDTHS:
        return _WIDTHS[char] / 1000
    if unicodedata.category(char) in ("Mn", "Me"):
        return 0.0
    if unicodedata.east_asian_width(char) in "WF":
        return 1.0
    base = unicodedata.normalize("NFD", char)[0]
    return _WIDTHS[base] / 1000 if base in _WIDTHS else 1.2
