"""How sure a recorded value is: from its reading, its instrument, and a look at its mark."""

from __future__ import annotations

import math

from model.readings.angles import ReadFrom
from model.readings.instruments import SEEN
from model.readings.quantity import Quantity
from model.rig.page import Page
from model.rig.setting import Setting


def together(*parts: float | None) -> float | None:
    """Return √(u₁² + u₂² + …) of independent uncertainties, None where one of them is not known."""
    known = [part for part in parts if part is not None]
    return math.hypot(*known) if len(known) == len(parts) else None


def read_from(setting: Setting, quantity: Quantity, page: Page) -> ReadFrom | None:
    """Return what an angle was read from: its own word, its instrument's, or the joint itself."""
    if quantity != "angle":
        return None
    if setting.read_from is not None:
        return setting.read_from
    instrument = page.by_instrument.get(setting.using or "")
    return (instrument.read_from if instrument else None) or "joint"


def u_of_reading(setting: Setting, quantity: Quantity, page: Page, same: bool) -> float | None:
    """Return u of the reading that a value rests on, in mm, degrees or teeth; None if not known.

    ``same`` asks for that of the same instrument put on the same mark again.
    """
    if setting.u is not None:
        return setting.u
    instrument = page.by_instrument.get(setting.using or "")
    if instrument is None:
        return None
    return instrument.repeatability(quantity) if same else instrument.uncertainty(quantity)


def u_of_look(quantity: Quantity, page: Page) -> float | None:
    """Return how sure a look at a mark is on a page, in mm, degrees or teeth."""
    instrument = page.by_instrument.get(SEEN)
    return instrument.uncertainty(quantity) if instrument else None


def u_of_place(setting: Setting, quantity: Quantity, page: Page) -> float | None:
    """Return u of a value as a place in the room, in mm, degrees or teeth; None if not known.

    The reading's own uncertainty and how well it repeats count together (and the look at its mark,
    where it was seen): independent, so in quadrature (JCGM 100:2008, 5.1.2). A ``u`` on the line
    is meant whole.
    """
    parts = [u_of_reading(setting, quantity, page, same=False)]
    instrument = page.by_instrument.get(setting.using or "")
    if setting.u is None and instrument is not None:
        stated = {"length": instrument.same_mm, "angle": instrument.same_deg}
        parts.append(stated.get(quantity) or 0.0)
    if setting.state == "seen":
        parts.append(u_of_look(quantity, page))
    return together(*parts)
