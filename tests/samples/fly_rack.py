"""The hired rack's book: as it left the hire shop, and on two fly dates; much of it open."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from random import Random

from model.book.page_file import PageFile
from model.rig.page import Remarks
from tests.samples.drawing import read_drawing
from tests.samples.season import Season, Visit
from tests.samples.truth import set_up
from tests.samples.walks import full_walk

SEED = 260509
ZONE = timezone(timedelta(hours=2))
NEVER = (
    "floor.heading",
    "floor.slope_ahead",
    "floor.slope_right",
    "rod-clamp-main.rod_spin",
    "rod-clamp-side.rod_spin",
)
OPEN_ON_SITE = ("arm-left", "arm-right", "arm-side", "rod-clamp-side")
"""Nothing is hung on these on the first date, so nobody reads them."""


def fly_rack() -> dict[str, PageFile]:
    """Return the book's pages by name."""
    drawing = read_drawing("fly_rack")
    season = Season(drawing, SEED)
    visits = (
        Visit(
            day=date(2026, 5, 8),
            began=datetime(2026, 5, 8, 10, 20, tzinfo=ZONE),
            moment="collected",
            venue="Hire shop, loading bay",
            choose=_bars_only,
            by="LT",
            said={"LT": "Only what the hire shop had built: the bars in their clamps."},
            notes={"post-c": Remarks(note="Foot bent, works.", photos=("post-c-foot.jpg",))},
        ),
        Visit(
            day=date(2026, 5, 9),
            began=datetime(2026, 5, 9, 14, 5, tzinfo=ZONE),
            moment="soundcheck",
            venue="Airfield Stage Two",
            choose=_no_empty_arms,
            by="LT",
            said={"LT": "Booms and double post set; the arms stay empty today."},
        ),
        Visit(
            day=date(2026, 5, 10),
            began=datetime(2026, 5, 10, 13, 40, tzinfo=ZONE),
            moment="soundcheck",
            venue="Lido Bandstand",
            choose=full_walk(NEVER),
            by="LT",
            closed=False,
        ),
    )
    for visit in visits:
        true = set_up(drawing, season.rng(visit.day.isoformat()), drawing.parts)
        season.write(visit, true)
    return season.sheets


def _bars_only(key: str, rng: Random) -> str:
    return "read" if key.startswith(("clamp-", "bar-")) else "leave"


def _no_empty_arms(key: str, rng: Random) -> str:
    if key in NEVER or key.startswith(OPEN_ON_SITE):
        return "leave"
    return "read"
