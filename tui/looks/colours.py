"""The looks in colour: a dark stage and daylight, in full colour and in the terminal's sixteen.

Bars are drawn in the colours of Okabe and Ito (2008), lightened or darkened until W3C's contrast
holds.
"""

from __future__ import annotations

from tui.looks.look import Look

DARK_STAGE = Look(
    "dark stage",
    "#0d0f11",
    {
        "text": "#cfc8b8",
        "quiet": "#9a9488",
        "title": "bold #e9dfc6",
        "heading": "underline #9a9488",
        "part": "bold #e9dfc6",
        "read": "#cfe3d4",
        "seen": "italic #a9c4e0",
        "carried": "#a39a86",
        "open": "#d9b56a",
        "follows": "italic #8f97a3",
        "moved": "bold #f0b35a",
        "refused": "bold #1a0d06 on #e8a15c",
        "good": "#9fd3a8",
        "prompt": "#f4ead2 on #24282c",
        "footer": "#9a9488",
        "bar_1": "#e69f00",
        "bar_2": "#56b4e9",
        "bar_3": "#1fb58a",
        "bar_4": "#f0e442",
        "bar_5": "#ee7a2b",
        "bar_6": "#d88fb6",
    },
    "on #262a2f",
)

DAYLIGHT = Look(
    "daylight",
    "#f7f4ec",
    {
        "text": "#1c1a17",
        "quiet": "#57534a",
        "title": "bold #000000",
        "heading": "underline #57534a",
        "part": "bold #000000",
        "read": "#0b4a2b",
        "seen": "italic #174a86",
        "carried": "#5a5448",
        "open": "#7a4200",
        "follows": "italic #4d525a",
        "moved": "bold #8f2b00",
        "refused": "bold #fff7ec on #8c2a00",
        "good": "#0b5a33",
        "prompt": "#000000 on #e2dccb",
        "footer": "#57534a",
        "bar_1": "#6f4700",
        "bar_2": "#0b5583",
        "bar_3": "#00583a",
        "bar_4": "#5e5300",
        "bar_5": "#8f3a00",
        "bar_6": "#7f2a5b",
    },
    "on #e0d9c6",
)

DARK_STAGE_16 = Look(
    "dark stage",
    "black",
    {
        "text": "white",
        "quiet": "white",
        "title": "bold bright_white",
        "heading": "underline white",
        "part": "bold bright_white",
        "read": "bright_white",
        "seen": "bright_cyan",
        "carried": "white",
        "open": "bright_yellow",
        "follows": "cyan",
        "moved": "bold bright_yellow",
        "refused": "black on bright_yellow",
        "good": "bright_green",
        "prompt": "black on white",
        "footer": "white",
        "bar_1": "bright_yellow",
        "bar_2": "bright_cyan",
        "bar_3": "bright_green",
        "bar_4": "bright_magenta",
        "bar_5": "bright_white",
        "bar_6": "white",
    },
    "reverse",
    terminal_colours=True,
)

DAYLIGHT_16 = Look(
    "daylight",
    "bright_white",
    {
        "text": "black",
        "quiet": "black",
        "title": "bold black",
        "heading": "underline black",
        "part": "bold black",
        "read": "black",
        "seen": "blue",
        "carried": "black",
        "open": "red",
        "follows": "blue",
        "moved": "bold red",
        "refused": "bright_white on red",
        "good": "blue",
        "prompt": "black on white",
        "footer": "black",
        "bar_1": "blue",
        "bar_2": "red",
        "bar_3": "magenta",
        "bar_4": "black",
        "bar_5": "blue",
        "bar_6": "red",
    },
    "reverse",
    terminal_colours=True,
)
