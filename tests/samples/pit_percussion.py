"""The pit percussionist's book: six nights in two theatres, read in millimetres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta, timezone

from model.book.page_file import PageFile
from model.rig.page import Remarks
from tests.samples.drawing import read_drawing
from tests.samples.season import Season, Visit, changed_truth
from tests.samples.truth import set_up
from tests.samples.walks import all_but, full_walk, short_walk

SEED = 260414
NEVER = (
    "triangle-clamp.rod_spin",
    "high-block-clamp.rod_spin",
    "low-block-clamp.rod_spin",
    "chime-clamp.rod_spin",
)
ZONE = timezone(timedelta(hours=2))


@dataclass(frozen=True, slots=True)
class Pit:
    """One page: the day, the hour, the moment, the house, what moved since, what was written."""

    day: date
    at: time
    moment: str
    venue: str
    short: bool = False
    by: str = "LT"
    moved: Mapping[str, float | str] = field(default_factory=dict)
    said: Mapping[str, str] = field(default_factory=dict)
    notes: Mapping[str, Remarks] = field(default_factory=dict)


LANTERN, ROOMS = "Lantern Theatre", "Old Assembly Rooms"
PAGES = (
    Pit(
        date(2026, 4, 14),
        time(17, 30),
        "soundcheck",
        LANTERN,
        said={"LT": "Pit floor is level; kit set 20 degrees to the house, facing the rostrum."},
        notes={"post-tele": Remarks(note="Memory lock set at the top of its travel.")},
    ),
    Pit(
        date(2026, 4, 15),
        time(18, 0),
        "soundcheck",
        LANTERN,
        notes={"multi-pad": Remarks(photos=("multi-pad-cables.jpg",))},
    ),
    Pit(
        date(2026, 4, 16),
        time(18, 5),
        "soundcheck",
        LANTERN,
        by="SB",
        notes={
            "splash-boom": Remarks(note="Wing bolt swapped; inner tube scored below the clamp.")
        },
    ),
    Pit(
        date(2026, 4, 16),
        time(22, 40),
        "after show",
        LANTERN,
        short=True,
        moved={"splash-boom.lean": -1.5, "stool.y": 12.0, "multi-arm.tilt": -1.0},
        said={"SB": "Splash droops by the interval."},
    ),
    Pit(
        date(2026, 4, 18),
        time(12, 15),
        "soundcheck",
        ROOMS,
        moved={"floor.slope_ahead": -0.5},
        said={"LT": "New house, pit falls ahead half a degree. Matinee and evening."},
    ),
    Pit(
        date(2026, 4, 18),
        time(17, 10),
        "between shows",
        ROOMS,
        short=True,
        moved={
            "floor.slope_ahead": -0.5,
            "stool.height": -15.0,
            "multi-arm.slide": 12.0,
            "multi-pad.dial.kit": "kit 15, act two",
        },
        said={"LT": "Player asked for the stool lower for the evening."},
    ),
    Pit(
        date(2026, 4, 19),
        time(13, 0),
        "soundcheck",
        ROOMS,
        by="SB",
        moved={"floor.slope_ahead": -0.5, "stool.height": -15.0, "multi-arm.slide": 12.0},
    ),
    Pit(
        date(2026, 4, 21),
        time(17, 45),
        "soundcheck",
        ROOMS,
        moved={"floor.slope_ahead": -0.5, "stool.height": -15.0, "multi-arm.slide": 12.0},
        said={"LT": "Last week: wings of the pit curtain now behind the chimes."},
        notes={"chimes": Remarks(note="Curtain touches; turned a little in.")},
    ),
)


def pit_percussion() -> dict[str, PageFile]:
    """Return the book's pages by name."""
    drawing = read_drawing("pit_percussion")
    season = Season(drawing, SEED)
    for number, page in enumerate(PAGES):
        # The rack stands as it was set up that day; a second page is of the same set-up.
        true = set_up(drawing, season.rng(page.day.isoformat()), drawing.parts)
        true = changed_truth(drawing, true, page.moved, drawing.parts)
        short = short_walk((*drawing.book["short_walk"], *page.moved), 0.4)
        visit = Visit(
            day=page.day,
            began=datetime.combine(page.day, page.at, ZONE),
            moment=page.moment,
            venue=page.venue,
            choose=all_but(NEVER)
            if number == 0
            else short
            if page.short
            else full_walk(NEVER, page.moved),
            by=page.by,
            second="SB" if page.by == "LT" else "LT",
            said=page.said,
            notes=page.notes,
            closed=page is not PAGES[-1],
        )
        season.write(visit, true)
    return season.sheets
