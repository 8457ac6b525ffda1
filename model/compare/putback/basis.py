"""Two pages of one rig held against each other joint by joint, for a put-back."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from model.compare.joints import JointDifference
from model.compare.marks import at_same_marks
from model.compare.putback.asked import Asked
from model.compare.putback.differences import differences_of, without_other_frames
from model.compare.putback.fastenings import Fastenings, fastenings_of
from model.compare.putback.home_settings import carried_from, has_value, set_tonight
from model.compare.putback.riding import ridden, spins_on_bars
from model.compare.putback.wanted_rig import hangs_alike, wanted_rig
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.as_read import joint_settings, plain_page
from model.space.places import Places
from model.space.positions import Positions


@dataclass(frozen=True)
class Basis:
    """Both pages joint by joint, and tonight's rig with the wanted structure. Made once.

    What was seen tonight at the mark that home was read at stands where it stood, whatever the
    riser does: ``home_page`` is home with that said.
    """

    asked: Asked
    rig: Page
    fastenings: Fastenings
    own_now: Page
    own_wanted: Page
    differences: Mapping[str, JointDifference]
    home_page: Page

    @cached_property
    def moved(self) -> frozenset[str]:
        """The joints that are to be moved, and those of parts that are to be hung again."""
        verdicts = self.asked.to_be_moved
        moved = {key for key, found in self.differences.items() if found.verdict in verdicts}
        again = {
            key
            for key in joint_settings(self.rig)
            if self.rig.declared[key].owner in self.hung_again
            and self.is_wanted(key)
            and not self.is_compared(key)
        }
        return frozenset(moved | again)

    @cached_property
    def hung_again(self) -> frozenset[str]:
        """The parts that are missing tonight, or hang elsewhere."""
        now = self.asked.now.by_id
        return frozenset(
            part.id
            for part in self.asked.wanted.parts
            if part.id not in now or not hangs_alike(now[part.id], part)
        )

    @cached_property
    def unread(self) -> tuple[str, ...]:
        """The joints that home knows and nobody read tonight in the same way, in declared order."""
        return tuple(
            key
            for key in joint_settings(self.rig)
            if key not in self.moved and self.is_wanted(key) and not self.is_compared(key)
        )

    def is_compared(self, key: str) -> bool:
        """Tell whether a joint was read tonight so that it can be held against home."""
        found = self.differences.get(key)
        return found is not None and found.difference is not None

    def is_wanted(self, key: str) -> bool:
        """Tell whether home knows where a joint belongs."""
        return key in self.asked.wanted.declared and has_value(self.own_wanted.setting(key))

    @cached_property
    def spins(self) -> Mapping[str, str]:
        """The clamps' spins on bars, by key, each with its bar: those that are no loop's."""
        return spins_on_bars(self.rig)

    @cached_property
    def places_now(self) -> Places:
        """Where everything of tonight's own rig is."""
        return Places(self.own_now)

    @cached_property
    def told(self) -> Page:
        """Tonight's rig with the wanted structure, its parts as they are measured at home."""
        return self.like(self.own_wanted.declared.keys())

    @cached_property
    def home(self) -> Positions:
        """Where everything is at home."""
        return Positions(self.home_page)

    def own_goal(
        self,
        keys: Collection[str],
        rolls: Mapping[str, float] | None = None,
        freed: Collection[str] = (),
    ) -> Page:
        """Return tonight's rig with ``keys`` at home, every joint at its own value.

        What is not among them rides along: on a curved bar that bows, on a straight one that is
        rolled (``rolls``, degrees by bar), unless it is ``freed``. What only home knows is carried
        from there: nobody read it tonight.
        """
        settings: dict[str, Setting] = {}
        for key in joint_settings(self.rig):
            here = self.own_now.setting(key) if key in self.own_now.declared else None
            if key in keys and self.is_wanted(key):
                settings[key] = set_tonight(self.own_wanted.setting(key))
            elif here is not None and (has_value(here) or not self.is_wanted(key)):
                settings[key] = here
            elif key in self.own_wanted.declared:
                home = self.own_wanted.setting(key)
                known = has_value(home)
                settings[key] = carried_from(home, self.asked.names[1]) if known else home
        return ridden(self, self.rig.with_settings(settings), keys, rolls or {}, freed)

    def like(self, keys: Collection[str]) -> Page:
        """Return the page that says how each joint is measured: at home what is set, else here."""
        wanted, now = self.asked.wanted, self.asked.now
        settings: dict[str, Setting] = {}
        for key in joint_settings(self.rig):
            unknown = key not in now.declared or now.setting(key).state == "open"
            at_home = key in wanted.declared and (key in keys or unknown)
            settings[key] = (wanted if at_home else now).setting(key)
        parts = tuple(
            wanted.by_id[part.id] if part.id in wanted.by_id else now.by_id[part.id]
            for part in self.rig.parts
        )
        fields = {name: getattr(self.rig, name) for name in Page.model_fields}
        return Page.model_construct(**{**fields, "parts": parts}).with_settings(settings)


def basis_of(asked: Asked) -> Basis:
    """Return both pages joint by joint; the rest is worked out of it."""
    rig = wanted_rig(asked.now, asked.wanted)
    names = asked.names[1], asked.names[0]
    marked = at_same_marks((Places(asked.wanted), Places(asked.now)), names)
    places = Places(marked[0]), Places(marked[1])
    own_wanted = plain_page(marked[0], places[0])
    own_now = plain_page(marked[1], places[1])
    own_now = without_other_frames(own_now, own_wanted)
    own_parts = {part.id: part for part in own_now.parts}
    own_parts |= {part.id: part for part in own_wanted.parts}
    fields = {name: getattr(rig, name) for name in Page.model_fields}
    parts = tuple(own_parts[part.id] for part in rig.parts)
    return Basis(
        asked,
        Page.model_construct(**{**fields, "parts": parts}),
        fastenings_of(rig),
        own_now,
        own_wanted,
        differences_of(asked, places, names),
        marked[0],
    )
