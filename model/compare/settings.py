"""Differences of settings: moved, within the readings' uncertainty, or not comparable and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from model.readings.angles import turn_between
from model.readings.quantity import same_value
from model.rig.declared import Declared
from model.rig.page import Page
from model.rig.setting import Setting
from model.rig.surety import read_from, together, u_of_look, u_of_reading

Verdict = Literal["moved", "unsure", "within", "same", "not comparable"]
VERDICTS: tuple[Verdict, ...] = ("moved", "unsure", "within", "same", "not comparable")
"""Beyond the uncertainty; different, and how sure is not known; different by less than is sure;
the same; one of the two was not measured that night, or not in the same way."""

COVERAGE = 2.0
"""Beyond means |d| > 2·√(u₁² + u₂²): about 95 % for a normal distribution (JCGM 100:2008, 6.3)."""


@dataclass(frozen=True, slots=True)
class SettingDifference:
    """One setting on two pages. ``difference`` is after less before, in mm, degrees or teeth.

    ``u`` is the combined standard uncertainty of the difference.
    """

    declared: Declared
    before: Setting
    after: Setting
    verdict: Verdict
    difference: float | int | None = None
    u: float | None = None
    why: str = ""


def setting_differences(
    before: Page, after: Page, *, wanted: bool = False
) -> Iterator[SettingDifference]:
    """Yield every setting that both pages declare, in the later page's declared order."""
    for key, declared in after.declared.items():
        if key in before.declared:
            yield compare_setting(key, declared, before, after, wanted=wanted)


def compare_setting(
    key: str, declared: Declared, before: Page, after: Page, *, wanted: bool = False
) -> SettingDifference:
    """Compare one setting of two pages, from their own readings and instruments alone.

    Yesterday's value carried into a page is not that page's reading, and is never compared as one.
    With ``wanted`` the first page is a home: what is carried there is wanted all the same.
    """
    a, b = before.setting(key), after.setting(key)
    why = _not_comparable(key, a, b, before, after, wanted=wanted)
    if why:
        return SettingDifference(declared, a, b, "not comparable", why=why)
    assert a.value is not None
    assert b.value is not None
    if isinstance(a.value, str) or isinstance(b.value, str):
        is_same = same_value(a.value, b.value)
        return SettingDifference(declared, a, b, "same" if is_same else "moved")
    difference = difference_of(a.value, b.value, declared)
    u = combined_uncertainty(declared, a, b, before, after)
    return SettingDifference(declared, a, b, verdict_of(difference, u, declared), difference, u)


def why_unmeasured(a: Setting, b: Setting, *, wanted: bool = False) -> str:
    """Say which of two settings was not measured on its night, or nothing.

    With ``wanted`` the first is a home's: it may be carried.
    """
    if not a.measured_tonight and not (wanted and a.state == "carried"):
        return f"{_state_word(a)} on the first"
    return "" if b.measured_tonight else f"{_state_word(b)} on the second"


def _state_word(setting: Setting) -> str:
    return "follows, unread" if setting.state == "follows" else setting.state


def _not_comparable(
    key: str, a: Setting, b: Setting, before: Page, after: Page, *, wanted: bool
) -> str:
    """Say why the two cannot be compared, or nothing."""
    if a.state == "follows" and b.state == "follows" and (a.value is None or b.value is None):
        return "it follows on both"
    if why := why_unmeasured(a, b, wanted=wanted):
        return why
    if _measured_how(key, before) != _measured_how(key, after):
        return "it is measured in another way, or the hardware changed"
    declared = after.declared[key]
    if declared.quantity != before.declared[key].quantity:
        return "it is of another quantity"
    references = read_from(a, declared.quantity, before), read_from(b, declared.quantity, after)
    if references[0] != references[1]:
        return f"read from the {references[0]} and from the {references[1]}"
    return ""


def _measured_how(key: str, page: Page) -> tuple[object, ...]:
    """Return what a place's number depends on besides the place: its end, edge, rail, and joint."""
    owner, name = key.split(".", 1)
    part = page.by_id.get(owner)
    if part is None:
        spot = page.by_spot.get(owner)
        return (spot.gap, spot.height) if spot else ()
    kind = page.by_kind.get(part.kind or "")
    joint = kind.by_joint.get(name) if kind else None
    if joint is None:
        return (part.marks, part.marks_side) if name.startswith("from_") else ()
    about = (joint.turns, joint.slides, joint.teeth, joint.zero, joint.tooth_zero)
    if "rail" not in (joint.slides, joint.turns):
        return about
    start = part.measured_from or joint.end or "A"
    return (*about, part.on, part.at, part.rail, start, part.edge or "centre")


def difference_of(a: float | int, b: float | int, declared: Declared) -> float | int:
    """Return b less a in mm, degrees or teeth; what turns goes the short way round."""
    if declared.tooth_deg and isinstance(a, int) and isinstance(b, int):
        turn = round(360.0 / declared.tooth_deg)
        return (b - a + turn // 2) % turn - turn // 2
    if declared.quantity == "angle" and declared.is_turn:
        return round(turn_between(a, b), 6)
    return b - a if isinstance(a, int) and isinstance(b, int) else round(b - a, 6)


def combined_uncertainty(
    declared: Declared, a: Setting, b: Setting, before: Page, after: Page
) -> float | None:
    """Return √(u₁² + u₂²) of a difference, or None where one of them is not known.

    The same instrument on the same mark repeats better than it measures: its repeatability counts
    where both readings were taken with it (JCGM 100:2008, 5.1.2, for independent readings). A seen
    value is as sure as its reading and the look at its mark together; where both pages rest on the
    very same reading, that reading's error is in both and cancels.
    """
    if a.state == b.state == "seen" and (a.page, a.value) == (b.page, b.value):
        return together(u_of_look(declared.quantity, before), u_of_look(declared.quantity, after))
    same = a.using is not None and a.using == b.using
    return together(_one(declared, a, before, same), _one(declared, b, after, same))


def _one(declared: Declared, setting: Setting, page: Page, same: bool) -> float | None:
    reading = u_of_reading(setting, declared.quantity, page, same)
    if setting.state != "seen":
        return reading
    return together(u_of_look(declared.quantity, page), reading)


def verdict_of(difference: float | int, u: float | None, declared: Declared) -> Verdict:
    """Return what a difference is worth against its combined standard uncertainty."""
    if abs(difference) < 5e-7:
        return "same"
    if declared.quantity == "number":
        return "moved"  # a dial's own number has no uncertainty to be within
    if u is None:
        return "unsure"
    return "moved" if abs(difference) > COVERAGE * u else "within"
