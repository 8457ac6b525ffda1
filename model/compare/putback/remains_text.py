"""How far each piece is from home, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from model.compare.answer import owner_name
from model.compare.putback.answer import Remains
from model.compare.putback.wrap import wrapped
from model.readings.lengths import show_place
from model.readings.quantity import LengthUnit
from model.rig.page import Page

AS_FAR = "home as far as can be told"
REACHED: Mapping[str, str] = {
    "home": "home within tolerance",
    "not home": "NOT within tolerance",
    "not told": "cannot be told from home",
    "no tolerance": "no tolerance set",
    "unknown": "not known",
}


def remains_lines(
    remains: tuple[Remains, ...], page: Page, unit: LengthUnit, *, short: bool = False
) -> Iterator[str]:
    """Yield how far each piece is from home then, and how sure that is."""
    if not remains:
        return
    yield ""
    yield f"WHEN {'THIS' if short else 'ALL'} IS DONE, from home"
    for held in remains:
        yield from wrapped(f"  {held.name:<18} {remains_text(held, unit, page)}", "    ")


def remains_text(held: Remains, unit: LengthUnit, page: Page) -> str:
    """Say how far one piece is from home, with its ± for 95 %."""
    if held.by is None or held.distance is None or held.tilt is None:
        return f"{REACHED[held.reached]}: {held.why}"
    words = f"{show_place(held.distance, unit)}"
    if held.u95 is not None:
        words += f" ± {show_place(max(held.u95[:3]), unit)}"
    words += f", {held.tilt:.1f}°"
    if held.u95 is not None:
        words += f" ± {max(held.u95[3:]):.1f}°"
    allowed = []
    if held.tolerance_mm is not None:
        allowed.append(show_place(held.tolerance_mm, unit))
    if held.tolerance_deg is not None:
        allowed.append(f"{held.tolerance_deg:g}°")
    within = f" ({', '.join(allowed)})" if allowed else ""
    verdict = AS_FAR if is_unsure(held) else REACHED[held.reached]
    line = f"{words:<30} {verdict}{within}"
    if held.unread:
        line += f"; as last read: nobody read {_names(held.unread, page)} tonight"
    elif held.reached == "not home" and held.mostly:
        line += f"; mostly by {_names(held.mostly, page)}"
    elif held.reached == "not told" and held.mostly:
        line += f"; to know, read again: {_names(held.mostly, page)}"
    return line


def is_unsure(held: Remains) -> bool:
    """Tell whether a piece is called home though its readings tell less than its tolerance."""
    if held.reached != "home" or held.u95 is None:
        return False
    pairs = (held.tolerance_mm, held.u95[:3]), (held.tolerance_deg, held.u95[3:])
    return any(limit is not None and max(sure) > limit for limit, sure in pairs)


def _names(keys: tuple[str, ...], page: Page) -> str:
    """Return settings by their parts' names and their own."""
    return "; ".join(
        f"{owner_name(page, page.declared[key].owner)}, {page.declared[key].label}"
        if key in page.declared
        else key
        for key in keys
    )
