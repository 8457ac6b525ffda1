"""The harbour band's book: sixteen nights, a clamp that slips, a fill-in, a change of the rig."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from model.book.page_file import PageFile
from model.readings.quantity import Value
from model.rig.declared import AnyPart
from model.rig.page import Remarks
from tests.samples.drawing import Drawing, read_drawing
from tests.samples.harbour_fill_in import MOVED as FILL_IN_MOVED
from tests.samples.harbour_nights import FILL_IN, NIGHTS, RIG_CHANGE, Night
from tests.samples.season import Season, Visit, changed_truth
from tests.samples.sheets import sheet_of, with_part, with_part_line, without_part
from tests.samples.truth import set_up
from tests.samples.walks import Choose, all_but, full_walk, short_walk

SEED = 260321
OUT = ("pad", "pad-boom")
FIRST_COMMENTS = {
    "tube = 36.9": "tube = 36.9  # measured: the old tube, from another rack",
    "[part.brace]": "# stays on the truck where the stage is screwed down\n[part.brace]",
}
"""What someone wrote into the first page by hand; it travels from page to page."""
SLIPS = {"before": "clamp-wr-wing", "after": "clamp-wl-wing"}
"""Where the clamp of serial C-07 sits, before the two wings' rear clamps change over and after."""
WATCHED = tuple(f"{clamp}.height" for clamp in SLIPS.values())

NEVER = ("floor.heading", "block-clamp.rod_spin", "tamb-clamp.rod_spin", "crash-2-clamp.rod_spin")
"""Nobody on this run has ever read these: open all season."""
NO_TIME_AT_FIRST = (
    "floor-tom.leg_2",
    "floor-tom.leg_3",
    "snare.dial.lug_6",
    "snare.dial.lug_8",
)
REHUNG: Mapping[str, float | str] = {
    "tamb-clamp.place": 60.0,
    "tamb-clamp.spin": -180.0,
    "tamb-clamp.jaw": -180.0,
    "tamb-clamp.rod": -80.0,
}
"""What the tambourine's clamp needs on the front bar, beside its drawn place on the wing."""


def harbour_dance() -> dict[str, PageFile]:
    """Return the book's pages by name."""
    drawing = read_drawing("harbour_dance")
    season = Season(drawing, SEED)
    slipped = 0.0
    for night in NIGHTS:
        # The truck shakes it down a little too.
        ride = season.rng(night.date.isoformat(), "truck").uniform(0.4, 1.0)
        slipped = 0.0 if night.reset or night is NIGHTS[0] else slipped + ride
        slipped = _night(season, night, slipped)
    return season.sheets


def _night(season: Season, night: Night, slipped: float) -> float:
    """Write a night's pages; returns how far the slipping clamp has slipped by its end, mm."""
    drawing, rng = season.drawing, season.rng(night.date.isoformat())
    changes = _changed_rig if night.date == RIG_CHANGE else None
    later = night.date >= RIG_CHANGE
    parts = tuple(p for p in (*drawing.parts, *drawing.later) if _is_there(p.id, later, drawing))
    parts = tuple(_rehung(p) if later and p.id == "tamb-clamp" else p for p in parts)
    slips = f"{SLIPS['after' if later else 'before']}.height"
    true = set_up(drawing, rng, parts)
    true["floor.slope_ahead"], true["floor.slope_right"] = night.slopes
    true[slips] = float(drawing.true[slips])
    moved: dict[str, float | str] = {slips: -slipped}
    if later:
        moved |= REHUNG
    true = changed_truth(drawing, true, moved, parts)
    if night is NIGHTS[0]:
        changes = _with_comments
    season.write(_soundcheck(night, season, changes), true)
    if night.after is None:
        return slipped + rng.uniform(2.0, 3.0)
    slip = rng.uniform(2.0, 3.0)
    if night.date == FILL_IN:
        true = changed_truth(drawing, true, {**FILL_IN_MOVED, slips: -slip}, parts)
        season.write(_after_fill_in(night), true)
    else:
        true = changed_truth(drawing, true, {**_shaken(true, rng), slips: -slip}, parts)
        season.write(_after_show(night, season), true)
    return slipped + slip


def _is_there(part_id: str, later: bool, drawing: Drawing) -> bool:
    if part_id in OUT:
        return not later
    return later or part_id not in {part.id for part in drawing.later}


def _rehung(part: AnyPart) -> AnyPart:
    return part.model_copy(update={"on": ("bar-front-left",)})


def _changed_rig(sheet: PageFile) -> PageFile:
    """Take the pad out, hang the tambourine elsewhere, add the bell, change two clamps over."""
    drawing = read_drawing("harbour_dance")
    for part_id in OUT:
        sheet = without_part(sheet, part_id)
    sheet = with_part_line(sheet, "tamb-clamp", "on", "bar-front-left")
    sheet = with_part_line(sheet, SLIPS["before"], "serial", "C-06")
    sheet = with_part_line(sheet, SLIPS["after"], "serial", "C-07")
    for part in drawing.later:
        sheet = with_part(sheet, part, "KD")
    return sheet


def _with_comments(sheet: PageFile) -> PageFile:
    text = sheet.text
    for written, with_comment in FIRST_COMMENTS.items():
        assert text.count(f"{written}\n") == 1
        text = text.replace(f"{written}\n", f"{with_comment}\n")
    return sheet_of(sheet.name, text)


def _shaken(true: Mapping[str, Value], rng: Random) -> dict[str, float | str]:
    """What a show does to any rig: what stands on the floor creeps, booms droop a little."""
    moved: dict[str, float | str] = {
        "kick.y": rng.uniform(0.0, 6.0),
        "throne.x": rng.gauss(0.0, 5.0),
        "throne.y": rng.gauss(0.0, 5.0),
        "snare-stand.x": rng.gauss(0.0, 2.0),
        "snare-basket.tilt": rng.gauss(0.0, 0.4),
    }
    for key in true:
        if key.endswith(".lean"):
            moved[key] = -abs(rng.gauss(0.0, 0.5))
    return moved


def _walk(night: Night, season: Season) -> Choose:
    if night is NIGHTS[0]:
        return all_but((*NEVER, *NO_TIME_AT_FIRST))
    walks = {
        "again": all_but(NEVER, 0.04, WATCHED),
        "short": short_walk(season.drawing.book["short_walk"], 0.15),
        "full": full_walk(NEVER, WATCHED),
    }
    return walks[night.walk]


def _soundcheck(
    night: Night, season: Season, changes: Callable[[PageFile], PageFile] | None
) -> Visit:
    walk = _walk(night, season)
    return Visit(
        day=night.date,
        began=night.began(night.at),
        moment="soundcheck",
        venue=night.venue,
        choose=_new_parts_read(walk) if night.date == RIG_CHANGE else walk,
        by=night.by,
        second="MO" if night.by == "KD" else "KD",
        said=night.said,
        notes=night.notes,
        remarks={"bar-tier.grip_b": "end cap in the way"} if night is NIGHTS[2] else {},
        changes=changes,
        closed=night is not NIGHTS[-1],
    )


def _new_parts_read(walk: Choose) -> Choose:
    """Read all of what is new or hung elsewhere: nothing is known of it."""

    def choose(key: str, rng: Random) -> str:
        chosen = walk(key, rng)
        new = key.startswith(("bell", "tamb-clamp")) and key not in NEVER
        return "read" if new else chosen

    return choose


def _after_show(night: Night, season: Season) -> Visit:
    assert night.after is not None
    return Visit(
        day=night.date,
        began=night.began(night.after),
        moment="after show",
        venue=night.venue,
        choose=short_walk(season.drawing.book["short_walk"], 0.3),
        by="MO",
        said=night.said_after,
        notes=night.notes_after,
    )


def _after_fill_in(night: Night) -> Visit:
    assert night.after is not None
    return Visit(
        day=night.date,
        began=night.began(night.after),
        moment="after fill-in",
        venue=night.venue,
        choose=all_but(NEVER, 0.02, WATCHED),
        by="KD",
        second="MO",
        said={"KD": "As the fill-in left it, before anything was touched."},
        notes={
            "throne": Remarks(note="Hers: two holes down, and back from the kick."),
            "hat-stand": Remarks(note="Marked hers in yellow.", photos=("fill-in-hats.jpg",)),
        },
    )
