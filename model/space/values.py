"""The numbers that places are worked out from: a page's values, and what nudges them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from model.frozen import Vector
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.frames import Array
from model.space.memo import Memo

Nudges = Mapping[str, Array]
"""What is added to an input: (B,) to a setting, in mm, degrees or teeth, or to a hardware length;
(B, 3) mm to a hardware offset. Settings go by ``part.setting``, hardware by ``part.joint:before``,
``part.outlet:offset``, ``part.outlet:grip``, ``piece:offset``."""

FLOOR_SLOPES = ("floor.slope_ahead", "floor.slope_right")


def open_turns(page: Page) -> dict[str, Array]:
    """Return three trial values (3,) in degrees or teeth for every open turn of a page.

    No two turns are tried in the same way, so that none can hide another.
    """
    keys = [
        key
        for key, declared in page.declared.items()
        if declared.is_turn and declared.assumed is None and page.setting(key).state == "open"
    ]
    trials = {}
    for number, key in enumerate(keys):
        degrees = np.array([0.0, 73.0 + 17.0 * number, 201.0 + 31.0 * number])
        trials[key] = degrees / (page.declared[key].tooth_deg or 1.0)
    return trials


class Values:
    """Reads a page's numbers as arrays with a batch in front; NaN where one is unknown."""

    def __init__(
        self, page: Page, nudges: Nudges, memo: Memo, stand_ins: Mapping[str, Array]
    ) -> None:
        self.page, self._nudges, self._memo = page, nudges, memo
        self._stand_ins = stand_ins

    def setting(self, key: str) -> Setting:
        """Return a setting, and note that one rests on it."""
        self._memo.rests_on(key)
        return self.page.setting(key)

    def number(self, key: str, assumed: float | None = None) -> Array:
        """Return a setting's value (B,) in its own measure; NaN where it is open or follows.

        An open one is as ``assumed`` where the kind assumes something.
        """
        setting = self.setting(key)
        if assumed is None and key in self._stand_ins:
            return self._nudged(key, self._stand_ins[key])
        value: float
        if setting.state in ("open", "follows") or isinstance(setting.value, str):
            value = np.nan if assumed is None or setting.state == "follows" else assumed
        else:
            value = float(setting.value) if setting.value is not None else np.nan
        return self._nudged(key, np.array([value]))

    def hardware(self, key: str, length: float, u: float) -> Array:
        """Return a fixed length of the hardware (B,), mm."""
        if u:
            self._memo.rests_on(key)
        return self._nudged(key, np.array([length]))

    def offset(self, key: str, offset: Vector, u: float) -> Array:
        """Return a fixed offset of the hardware (B, 3), mm."""
        if u:
            self._memo.rests_on(key)
        return self._nudged(key, np.array([offset]))

    def _nudged(self, key: str, value: Array) -> Array:
        nudge = self._nudges.get(key)
        return value if nudge is None else value + nudge
