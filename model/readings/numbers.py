"""Numbers as people write them: ``812``, ``81,2``, ``32 3/16``, ``12½``; exact, as fractions."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from model.readings.quantity import Refusal

# One digit run is bounded so that no entry can make a number that takes long to compute.
_DIGITS = r"[0-9]{1,9}"
_DECIMAL = re.compile(rf"(?:{_DIGITS}(?:[.,][0-9]{{0,9}})?|[.,][0-9]{{1,9}})")
_MIXED = re.compile(
    rf"(?:(?P<whole>{_DIGITS})(?:\s+|\s*-\s*))?(?P<top>[0-9]{{1,3}})/(?P<low>[0-9]{{1,3}})"
)
_GROUPED = re.compile(r"[0-9]+(?:[.,][0-9]+)*")

_SAME_MARK = str.maketrans(
    {
        "\u2032": "'",
        "\u2019": "'",
        "\u2018": "'",
        "\u02b9": "'",
        "\u00b4": "'",
        "\u2033": '"',
        "\u201d": '"',
        "\u201c": '"',
        "\u02ba": '"',
        "\u2212": "-",
        "\u2013": "-",
        "\u2010": "-",
        "\u2011": "-",
        "\u2044": "/",
        "\u2215": "/",
        "\u00ba": "°",
        "\u02da": "°",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
    }
)


def plain(text: str) -> str:
    """Return ``text`` with typographic quotes, primes, minus signs and ``½`` in their plain forms.

    A vulgar fraction becomes `` 1/2``, with a space before it where a digit stands there.
    """
    out: list[str] = []
    for char in text.translate(_SAME_MARK).replace("''", '"'):
        if unicodedata.category(char) == "No" and "\u2044" in unicodedata.normalize("NFKC", char):
            gap = " " if out and out[-1].isdigit() else ""
            out.append(gap + unicodedata.normalize("NFKC", char).replace("\u2044", "/"))
        elif unicodedata.category(char) == "Nd":
            out.append(str(unicodedata.digit(char)))
        else:
            out.append(char)
    return "".join(out).strip()


def has_fraction(text: str) -> bool:
    """Tell whether the plain number ``text`` is written with a fraction stroke."""
    return "/" in text


def parse_number(text: str, example: str) -> Fraction | Refusal:
    """Read one unsigned number, written plainly (see :func:`plain`).

    A comma is a decimal mark where only one is there and exactly three digits do not follow it;
    ``1,016`` could be either and is refused. ``example`` is shown as the right form.
    """
    text = text.strip()
    if not text:
        return Refusal("there is no number", example)
    if match := _MIXED.fullmatch(text):
        return _mixed(match, text)
    if _DECIMAL.fullmatch(text):
        whole, _, rest = text.replace(",", ".").partition(".")
        if "," in text and len(rest) == 3:
            return Refusal(
                f"{text} could be {whole}{rest} or {whole or '0'}.{rest}",
                f"{whole}{rest} or {whole or '0'}.{rest}",
            )
        return Fraction(f"{whole or '0'}.{rest or '0'}")
    return _why_not(text, example)


def _mixed(match: re.Match[str], text: str) -> Fraction | Refusal:
    whole, top, low = match["whole"], int(match["top"]), int(match["low"])
    if low == 0:
        return Refusal(f"{text} divides by nothing", "3/16")
    if whole is not None and top >= low:
        return Refusal(f"{top}/{low} after {whole} is a whole or more", f"{whole} 3/16")
    return Fraction(int(whole or 0)) + Fraction(top, low)


def _why_not(text: str, example: str) -> Refusal:
    if re.fullmatch(r"[+-]?(inf|infinity|nan)", text, re.IGNORECASE):
        return Refusal(f"{text} is no measure", example)
    if re.fullmatch(r"(true|false|yes|no)", text, re.IGNORECASE):
        return Refusal(f"{text} is a word where a number is needed", example)
    if re.fullmatch(rf"{_DECIMAL.pattern}[eE][+-]?[0-9]+", text):
        return Refusal(f"{text} is written with an exponent", example)
    if _GROUPED.fullmatch(text) and sum(text.count(mark) for mark in ".,") > 1:
        return Refusal(f"{text} has more than one decimal mark", example)
    if re.fullmatch(r"[0-9]{10,}", text):
        return Refusal("that number is too long to be a measure", example)
    return Refusal(f"{text!r} is not a number", example)
