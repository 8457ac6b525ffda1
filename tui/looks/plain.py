"""The plain look: the terminal's own two colours; weight, line and reversal tell things apart."""

from __future__ import annotations

from tui.looks.look import Look

PLAIN = Look(
    "plain",
    "",
    {
        "text": "",
        "quiet": "",
        "title": "bold",
        "heading": "underline",
        "part": "bold",
        "read": "",
        "seen": "italic",
        "carried": "",
        "open": "",
        "follows": "italic",
        "moved": "bold",
        "refused": "bold reverse",
        "good": "",
        "prompt": "underline",
        "footer": "",
        "bar_1": "",
        "bar_2": "",
        "bar_3": "",
        "bar_4": "",
        "bar_5": "",
        "bar_6": "",
    },
    "reverse",
    terminal_colours=True,
)
