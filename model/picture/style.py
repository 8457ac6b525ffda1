"""Colours, dashes and weights. All sizes are millimetres on paper, whatever the scale.

The colours are the eight of Okabe and Ito (Color Universal Design, "How to make figures and
presentations that are friendly to colorblind people", 2002, revised 2008). Every bar has a dash
pattern and a letter too, so that a grey print says the same.
"""

from __future__ import annotations

from dataclasses import dataclass

# Yellow is the weakest on white: it is used last, and has a dark casing.
_YELLOW = "#F0E442"
_COLOURS = (
    "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00", "#000000", _YELLOW,
)  # fmt: skip
# Seven patterns to eight colours: no pair comes again before the fifty-seventh bar.
_DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (4.2, 1.1),
    (4.2, 0.9, 0.9, 0.9),
    (1.9, 1.0),
    (3.6, 0.9, 1.5, 0.9),
    (0.9, 0.9),
    (4.2, 0.8, 0.8, 0.8, 0.8, 0.8),
)

INK = "#222222"
SOFT = "#505050"
FAINT = "#8c8c8c"
PAPER = "#ffffff"
FONT = "Helvetica, Arial, 'Liberation Sans', 'Nimbus Sans', sans-serif"

POST = 0.95
BAR = 0.75
CASING = 0.3
MOUNT = 0.28
PIECE = 0.3
HIDDEN = 0.12
LEADER = 0.15
FLOOR = 0.15
UNDER = 0.2
MOVED = 0.45
CLAMP = 1.15
DOT = 0.32
ARM = 1.1
POST_END = 1.15
BAR_END = 0.85
HALO = 0.5
UNDER_DASH = (1.2, 0.8)
CHAIN = (3.5, 0.8, 0.5, 0.8)

MARGIN = 8.0
"""What a printer leaves white, with room to spare."""
TEXT = 2.8
"""The size of the letters: capitals of 2 mm (a capital is 0.72 of it, as in the width table)."""
LINE = 1.12
"""The height of a line of text, in ems; of it, ``RISE`` stands above the baseline."""
RISE = 0.91
RING = 1.95
LONGEST_LABEL = 32.0
LONGEST_WORDS = 60.0


@dataclass(frozen=True, slots=True)
class BarStyle:
    """How a bar is drawn: its colour, its dashes (mm on paper; none is a full line), its casing."""

    colour: str
    dashes: tuple[float, ...]
    cased: bool


def bar_style(number: int) -> BarStyle:
    """Return the style of the ``number``-th bar; the first is 1."""
    colour = _COLOURS[(number - 1) % len(_COLOURS)]
    return BarStyle(colour, _DASHES[(number - 1) % len(_DASHES)], colour == _YELLOW)
