"""How instruments err in the hall: what an instrument on one mark repeats, and what it does not.

With ``same_*`` an instrument repeats to that on the same mark: the rest of its u is the mark's own
bias, the same on both nights and when the move is made. Without it every reading errs by itself.
"""

from __future__ import annotations

import math
import random

from model.rig.page import Page
from model.rig.setting import Setting


class Noise:
    """The errors of one rig's instruments through two nights."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.bias: dict[tuple[str, str], float] = {}

    def error(self, page: Page, key: str, using: str | None = None) -> float:
        """Return by how much this reading of a setting is off, in its own measure."""
        name = using or page.setting(key).using or ""
        instrument, quantity = page.by_instrument.get(name), page.declared[key].quantity
        if instrument is None or quantity not in ("length", "angle"):
            return 0.0
        u = instrument.uncertainty(quantity) or 0.0
        again = {"length": instrument.same_mm, "angle": instrument.same_deg}[quantity]
        if again is None:
            return self.rng.gauss(0.0, u)
        if (name, key) not in self.bias:
            self.bias[name, key] = self.rng.gauss(0.0, math.sqrt(max(u * u - again * again, 0.0)))
        return self.bias[name, key] + self.rng.gauss(0.0, again)

    def on(self, page: Page) -> Page:
        """Return a page of exact readings as the instruments read it."""
        settings: dict[str, Setting] = {}
        for key, held in page.settings.items():
            if held.state == "read" and isinstance(held.value, float) and key in page.declared:
                value = held.value + self.error(page, key)
                settings[key] = Setting.model_validate({**dict(held), "value": value})
        return page.with_settings(settings)
