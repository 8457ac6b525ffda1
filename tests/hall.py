"""A hall: real clamps on real tubes. What is loosened slips, what is tight holds, loops strain.

It knows the hardware from the page's kinds alone (``hall_screws``), and nothing of any list. Its
state is a page in its joints' own values; where everything is then is worked out from that.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Mapping

import numpy as np

from model.readings.angles import ReadFrom
from model.rig.declared import AnyPart
from model.rig.kind import Joint
from model.rig.page import Page
from model.rig.part import Bar
from model.rig.setting import Setting
from model.space.as_read import value_shown
from model.space.clamps import place_as_read
from model.space.joint_values import joint_value
from model.space.positions import Positions
from tests.hall_bars import Loops, Ridden, bow_angles, riding, slopes_of_braces
from tests.hall_screws import kind_of, loops_of, screws_of

SLIP_MM, SLIP_DEG = (1.0, 6.0), (1.0, 7.0)
STRAIN = 1e-6


class Strained(AssertionError):  # noqa: N818
    """What is tight was made to change."""


class HeldFast(AssertionError):  # noqa: N818
    """Something is to be moved that nothing lets go."""


class Hall:
    """One rig in one hall; ``like`` says how each setting is measured there."""

    def __init__(self, page: Page, like: Page, rng: random.Random) -> None:
        self.page, self.like, self.rng = page, like, rng
        self.at = Positions(page)
        self.screws = screws_of(page)
        self.by_key = {key: screw.id for screw in self.screws.values() for key in screw.keys}
        self.loops = Loops(loops_of(page))
        self.loose: set[str] = set()
        self.in_hand: set[str] = set()
        self.loosenings = 0
        self.shapes = self.loops.shapes(self.at)
        self.braces = slopes_of_braces(self.at)

    # ---- what is, and what an instrument shows of it ----

    def own(self, key: str) -> float | int:
        """Return a joint's own value: mm, degrees or teeth."""
        value = self.page.setting(key).value
        assert isinstance(value, float | int), key
        return value

    def shown(self, key: str) -> float | int:
        """Return what is read of a joint, measured as the page measures it."""
        value = value_shown(self.at.places, key, self.like)
        assert value is not None, key
        return value

    def part_and_joint(self, key: str) -> tuple[AnyPart, Joint | None]:
        part = self.page.by_id[key.partition(".")[0]]
        return part, kind_of(self.page, part).by_joint.get(key.partition(".")[2])

    def own_for(self, key: str, shown: float | int, source: ReadFrom) -> float | int:
        """Return the own value at which an instrument that reads from ``source`` shows that."""
        part, joint = self.part_and_joint(key)
        if joint is None or joint.teeth is not None:
            return shown
        if joint.slides == "rail":
            return self._along(part, joint, float(shown))
        if joint.slides is not None or source == "joint":
            return float(shown)
        read = Setting.model_validate({"state": "read", "value": shown, "read_from": source})
        places = Positions(self.page.with_setting(key, read), self.at).places
        value = joint_value(places, key)
        if not np.isfinite(value).all():
            raise HeldFast(f"{key}: nothing shows {shown} by {source}")
        return float(value[0])

    def _along(self, part: AnyPart, joint: Joint, shown: float) -> float:
        measured = self.like.by_id[part.id]
        if part.rail == "inner":
            return shown
        if isinstance(part, Bar):
            from_b = (measured.measured_from or joint.end) == "B"
            length = self.at.places.hung(part).rail.length
            return (length or 0.0) - shown if from_b else shown
        kind = self.at.places.kind(part)
        at_0, at_1 = (
            float(place_as_read(self.at.places, measured, kind, np.array([centre]))[0])
            for centre in (0.0, 1.0)
        )
        return (shown - at_0) / (at_1 - at_0)

    # ---- screws ----

    def free(self) -> set[str]:
        """Return the settings that nothing holds now."""
        keys = {key for screw in self.loose | self.in_hand for key in self.screws[screw].keys}
        for loop in self.loops.all:
            keys -= set(loop.keys)
            if self.loops.is_free(loop, self.loose):
                keys |= set(loop.keys)
        return keys

    def loosen(self, ids: Collection[str]) -> None:
        """Let go of screws together: all that they free slips."""
        before, rolled = self.free(), self._rolling()
        assert not self.loose & set(ids), "what is loose is loosened again"
        self.loose |= set(ids)
        self.loosenings += len(ids)
        self.loops.begin(self.loose, self.page)
        for key in sorted(self.free() - before):
            self._slip(key)
        for bar in sorted(self._rolling() - rolled):
            self.roll(bar, self._by(SLIP_DEG))

    def take_in_hand(self, screw: str) -> None:
        """Move what stands or sits free: all of it is disturbed."""
        if screw not in self.in_hand:
            self.in_hand.add(screw)
            for key in self.screws[screw].keys:
                self._slip(key)

    def tighten(self) -> None:
        """Tighten what is loose, and leave what stands as it stands."""
        self.loose.clear()
        self.in_hand.clear()
        self.shapes = self.loops.shapes(self.at)
        self.braces = slopes_of_braces(self.at)

    def _slip(self, key: str) -> None:
        _, joint = self.part_and_joint(key)
        if joint is not None and joint.teeth is not None:
            by: float = self.rng.choice((-1, 1))
        else:
            by = self._by(SLIP_MM if joint is None or joint.slides else SLIP_DEG)
        low, high = self.room(key)
        value = self.own(key)
        if not low <= value + by <= high:
            by = -by if low <= value - by <= high else 0
        self.move({key: value + by})

    def _by(self, span: tuple[float, float]) -> float:
        return self.rng.choice((-1.0, 1.0)) * self.rng.uniform(*span)

    def room(self, key: str) -> tuple[float, float]:
        """Return the least and the most of a joint's own value that the hardware has."""
        part, joint = self.part_and_joint(key)
        limit = self.page.setting(key).limit or (joint.limit if joint else None)
        low, high = limit or (-np.inf, np.inf)
        if joint is None or joint.slides != "rail":
            return low, high
        if isinstance(part, Bar):
            high = (self.at.places.hung(part).rail.length or np.inf) - 1.0
            low = 1.0
            if len(part.on) == 1 and kind_of(self.page, part).joints[-1].follows:
                height = next(k for k in self.by_key if k.startswith(f"{part.on[0]}."))
                low = float(self.own(height)) + 40.0
            return low, high
        carrier = self.at.places.carrier(part)
        if part.rail == "inner":
            return 1.0, (getattr(carrier, "inner_length", None) or np.inf) - 1.0
        high = (self.at.places.rail(carrier).length or np.inf) - 1.0
        for bar in self.page.parts:
            if isinstance(bar, Bar) and bar.on == (part.id,) and f"{bar.id}.slope" in self.braces:
                high = min(high, float(self.own(f"{bar.id}.grip")) - 40.0)
        return 1.0, high

    # ---- motions ----

    def put(self, key: str, own: float | int) -> None:
        """Set one joint to its own value; by hand what stands, else it must be loose."""
        screw = self.screws.get(self.by_key.get(key, ""))
        if screw is not None and screw.by_hand:
            self.take_in_hand(screw.id)
        if key not in self.free():
            raise HeldFast(f"{key} is to be set, and nothing lets it go")
        self.move({key: own})

    def roll(self, bar: str, degrees: float) -> None:
        """Turn a loose straight bar in its clamps: what is clamped on it goes with it."""
        assert bar in self._rolling(), f"{bar} is held"
        keys = riding(self.page, bar)
        self.move({key: float(self.own(key)) + degrees for key in keys})

    def turn_until(self, bar: str, key: str, shown: float, source: ReadFrom) -> None:
        """Turn a bar until a setting of what is clamped on it shows a value."""
        if bar not in self._rolling():
            raise HeldFast(f"{bar} is to be turned, and nothing lets it go")
        self.roll(bar, float(self.own_for(key, shown, source)) - float(self.own(key)))

    def _rolling(self) -> set[str]:
        """Return the straight bars that nothing keeps from rolling."""
        found = set()
        for part in self.page.parts:
            if isinstance(part, Bar) and part.curve is None:
                held = {f"{clamp}.clamp" for clamp in part.on}
                if held <= self.loose:
                    found.add(part.id)
        return found

    def move(self, values: Mapping[str, float | int]) -> None:
        """Move joints: loose bars slide as they must, clamps ride on bars, tight loops strain."""
        on_curves: list[Ridden] = bow_angles(self.at)
        plain = {key: v for key, v in values.items() if not self.loops.ask(key, float(v))}
        self._become(plain)
        self._become(self.loops.shared(self.at, self.loose))
        for ridden in on_curves:
            if spin := ridden.spin_now(self.at):
                self._become({ridden.key: spin})
        self._strain()

    def _become(self, values: Mapping[str, float | int]) -> None:
        if values:
            settings = {key: _at(self.page.setting(key), value) for key, value in values.items()}
            self.page = self.page.with_settings(settings)
            self.at = Positions(self.page, self.at)

    def _strain(self) -> None:
        for bar, shape in self.loops.shapes(self.at).items():
            moved = float(np.abs(shape - self.shapes[bar]).max())
            if moved > STRAIN and not self.loops.is_free(self.loops.by_bar[bar], self.loose):
                raise Strained(f"{bar} is held by tight clamps, and its ends were moved")
        for key, slope in slopes_of_braces(self.at).items():
            clamp = self.page.by_id[key.partition(".")[0]].on[0]
            if f"{clamp}.clamp" not in self.loose and abs(slope - self.braces[key]) > STRAIN:
                raise Strained(f"{key} changes, and its clamp is tight")


def _at(setting: Setting, value: float | int) -> Setting:
    return Setting.model_validate({**dict(setting), "value": value})
