"""The harbour band's nights: which house, which pages, what was noted, what happened to the rig."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta, timezone

from model.rig.page import Remarks

SUMMER = date(2026, 3, 29)
"""The clocks go forward on this day."""


@dataclass(frozen=True, slots=True)
class Night:
    """One house: the day, when the walk began, the riser's slopes, and what the crew wrote."""

    month: int
    day: int
    venue: str
    at: tuple[int, int]
    slopes: tuple[float, float] = (0.0, 0.0)
    after: tuple[int, int] | None = (22, 50)
    walk: str = "full"
    by: str = "KD"
    reset: bool = False
    said: Mapping[str, str] = field(default_factory=dict)
    notes: Mapping[str, Remarks] = field(default_factory=dict)
    said_after: Mapping[str, str] = field(default_factory=dict)
    notes_after: Mapping[str, Remarks] = field(default_factory=dict)

    @property
    def date(self) -> date:
        return date(2026, self.month, self.day)

    def began(self, at: tuple[int, int]) -> datetime:
        """A time of the night, past midnight too."""
        day = self.date + timedelta(days=1 if at[0] < 6 else 0)
        zone = timezone(timedelta(hours=1 if self.date >= SUMMER else 0))
        return datetime.combine(day, time(*at), zone)


def _note(text: str, *photos: str) -> Remarks:
    return Remarks(note=text, photos=photos)


NIGHTS: tuple[Night, ...] = (
    Night(
        3,
        6,
        "Old Corn Exchange",
        (16, 40),
        said={"KD": "First build of the run. Everything read from scratch; pens and tape are new."},
        notes={
            "post-fc": _note("The old tube: 36.9 mm across, so its clamps need a shim."),
            "bar-wing-right": _note(
                "Wings mirror but for this: five eighths more between the clamps here, for tom 3; "
                "the second tier is on this side only; china here where the pad is on the left."
            ),
            "double": _note("", "2026-03-06-double-1.jpg", "2026-03-06-double-2.jpg"),
            "brace": _note("Foot wants a rubber; it walks on paint."),
        },
        notes_after={"kick": _note("Crept ahead a little; spurs to be sharpened.")},
    ),
    Night(
        3,
        7,
        "Quay Shed",
        (16, 15),
        slopes=(0.5, 0.0),
        said={"MO": "Floor falls to the dock doors; slope logged."},
        notes={"throne": _note("Player asks for a finger lower after the first set.")},
        after=(23, 20),
    ),
    Night(
        3,
        8,
        "Harbour Street Baths",
        (15, 50),
        walk="again",
        reset=True,
        said={
            "KD": "Settled, all read again, right wing's rear clamp back to its line. Player is "
            "happy with this one: it is home from here on.",
        },
        notes={"tom-3-arm": _note("New pen line, the old one has worn off.", "tom-3-arm-mark.jpg")},
        said_after={"KD": "Right wing's rear clamp sits below its line again."},
    ),
    Night(
        3,
        12,
        "Ropewalk Hall",
        (17, 5),
        by="MO",
        after=(0, 10),
        said_after={"MO": "Right wing's rear clamp: two more sixteenths."},
    ),
    Night(
        3,
        13,
        "Tide Mill Arts Room",
        (16, 30),
        slopes=(0.0, -0.5),
        notes={"hats": _note("Felt under the clutch replaced.")},
        notes_after={"crash-1": _note("Wing nut was loose at the end of the second set.")},
    ),
    Night(
        3,
        14,
        "Customs House Cellar",
        (19, 10),
        walk="short",
        after=None,
        by="MO",
        said={"MO": "Doors moved up: ten minutes only. Short walk, the rest carried."},
    ),
    Night(
        3,
        19,
        "Lifeboat Hall",
        (16, 20),
        reset=True,
        notes={
            "clamp-wr-wing": _note(
                "Back to its line, drum key hard. Third time.", "clamp-wr-wing-thread.jpg"
            )
        },
    ),
    Night(
        3,
        20,
        "Net Loft",
        (16, 45),
        slopes=(1.0, 0.0),
        said={"KD": "Raked floor, one degree up ahead. Levels read as they show."},
        after=(23, 40),
        notes_after={"snare": _note("Strainer side head is tired; new one tomorrow.")},
    ),
    Night(
        3,
        21,
        "Grain Pier Ballroom",
        (16, 0),
        said={"KD": "Player unwell. A fill-in plays tonight; this page is before her hands."},
        after=(23, 55),
    ),
    Night(
        3,
        22,
        "Pilots' Rest Theatre",
        (14, 30),
        walk="again",
        reset=True,
        said={"KD": "Put back to home after the fill-in. Everything read again, no mark trusted."},
        notes={"hat-stand": _note("Her line left on the tube in yellow, ours is white.")},
    ),
    Night(
        3,
        26,
        "Breakwater Club",
        (16, 10),
        reset=True,
        said={
            "KD": "Bell disc in, pad out, tambourine now on the front bar. Rear clamps of the two "
            "wings changed over, to see whether the slip goes with the clamp.",
        },
        notes={
            "tamb-clamp": _note("Hung on the front bar now: the player reaches it from the hats."),
            "bell": _note("", "bell-disc-stack.jpg"),
        },
    ),
    Night(
        3,
        27,
        "Old Ice Works",
        (16, 25),
        said_after={"KD": "Slip is on the left wing now: it goes with C-07, not with the place."},
    ),
    Night(
        3,
        28,
        "Ferry Shed Two",
        (16, 35),
        slopes=(0.0, 0.5),
        by="MO",
        after=(0, 25),
        notes={"ride": _note("Sleeve replaced.")},
    ),
    Night(
        4,
        2,
        "Chandlers' Hall",
        (16, 50),
        reset=True,
        notes={"clamp-wl-wing": _note("C-07: thread dressed, reset to the line.")},
    ),
    Night(
        4,
        3,
        "Salt House",
        (17, 15),
        walk="short",
        said={"KD": "Late truck. Short walk."},
        said_after={"MO": "C-07 down again. Order a new one."},
    ),
    Night(
        4,
        4,
        "Lighthouse Green Marquee",
        (15, 40),
        after=None,
        slopes=(-0.5, 0.5),
        said={"KD": "Grass under the riser; slope logged twice."},
    ),
)

FILL_IN = date(2026, 3, 21)
RIG_CHANGE = date(2026, 3, 26)
