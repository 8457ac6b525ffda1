"""Someone else who writes to a page at the same time, in an editor: plain text, none of our code.

Each change returns the new text; what it says is read by the standard library's tomllib alone.
"""

from __future__ import annotations

import re
import tomllib
from random import Random
from typing import Any

from tests.merging import leaves

PAGE = """\
# Clampbook page, kept by two people.  #c-title
format = 1
rig = "Porch rack"
date = 2027-07-01
began = 2027-07-01T17:00:00+02:00
moment = "soundcheck"
closed = false  #c-closed

[notes]

EV = ""

NO = "the rug is new"  #c-note

[part.post]
type = "post"
name = "Porch post"
kind = "foot"
colour = "green"  #c-part

[part.arm]
type = "mount"
name = "Bell arm"
kind = "arm"
on = "post"
felt_colour = "red"

[part.bell]
type = "piece"
name = "Bell"
on = "arm"
dials = { mic = "word" }

[record]

floor.rug = { open = true }

floor.slope_ahead = { read = -0.3, using = "level", by = "EV", torch = true }

# the post has not moved since May  #c-above
post.x = { 'read' = -412.75, by = "EV" }  #c-line

post.y = { carried = 388, page = "2027-06-30-soundcheck", using = "tape" }

post.note = ""

post.photos = [
  "one.jpg",  #c-photo
  'two.jpg',
]

arm.place = { seen = 905.0, page = "2027-06-30-soundcheck", using = "tape", by = "NO" }

arm.tilt = { read = -2, using = "teeth", by = "NO" }  # { read = 3 }  #c-teeth

arm.note = "stiff # bolt"

bell.dial.mic = { open = true }

# ---- kinds ----  #c-kinds

[kind.foot]
name = "foot"
chain = ["x", "y"]
x = { slides = "x" }
y = { slides = "y" }

[kind.arm]
name = "arm"
chain = ["place", "tilt"]
place = { slides = "rail" }
tilt = { turns = "x", teeth = 24 }
"""
KEYS = (
    "floor.rug",
    "floor.slope_ahead",
    "post.x",
    "post.y",
    "arm.place",
    "arm.tilt",
    "bell.dial.mic",
)
MARKED = re.compile(r"(?:  # \{ read = 3 \})?  #c-")
OWNERS = ("post", "arm", "bell")
Entries = dict[tuple[str, ...], Any]


def entries_of(text: str) -> Entries | None:
    """Return every entry of a page's text, or None where it is no TOML."""
    try:
        return leaves(tomllib.loads(text))
    except tomllib.TOMLDecodeError:
        return None


def comments_of(text: str) -> list[str]:
    """Return the comments that are marked as such, sorted."""
    return sorted(word for word in text.split() if word.startswith("#c-"))


def rows_of(text: str) -> list[int]:
    """Return the rows of the record's settings that stand on one line."""
    return [
        row
        for row, line in enumerate(text.split("\n"))
        if line.split(" = ")[0] in KEYS and " = {" in line
    ]


def other_value(rng: Random, text: str, key: str) -> str:
    """Return the text with one setting recorded by someone else; its comment stays."""
    number: object = round(rng.uniform(-900, 900), 1)
    if "tilt" in key:
        number = rng.randrange(-5, 6)
    elif "mic" in key:
        number = f'"far {rng.randrange(99)}"'
    lines = text.split("\n")
    for row in rows_of(text):
        if lines[row].startswith(f"{key} = "):
            end = MARKED.search(lines[row])
            comment = lines[row][end.start() :] if end else ""
            lines[row] = f'{key} = {{ read = {number}, by = "ZZ" }}{comment}'
    return "\n".join(lines)


def reordered(rng: Random, text: str) -> str:
    """Return the text with two settings in each other's place."""
    lines, rows = text.split("\n"), rows_of(text)
    if len(rows) > 1:
        one, two = rng.sample(rows, 2)
        lines[one], lines[two] = lines[two], lines[one]
    return "\n".join(lines)


def commented(rng: Random, text: str) -> str:
    """Return the text with a new comment above a line, or behind a setting."""
    word = f"#c-{rng.randrange(10**9)}"
    lines, rows = text.split("\n"), rows_of(text)
    if rows and rng.random() < 0.5:
        lines[rng.choice(rows)] += f"  {word}"
    else:
        lines.insert(rng.randrange(len(lines)), f"# looked at again  {word}")
    return "\n".join(lines)


def truncated(rng: Random, text: str) -> str:
    """Return the beginning of the text, as a copy that was cut off left it."""
    return text[: rng.randrange(len(text) // 3, len(text))] if len(text) > 3 else ""
