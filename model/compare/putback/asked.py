"""A put-back that is asked for."""

from __future__ import annotations

from dataclasses import dataclass

from model.compare.settings import Verdict
from model.rig.page import Page


@dataclass(frozen=True, slots=True)
class Asked:
    """A put-back that is asked for: two pages of one rig and their names, from and to.

    With ``everything`` what differs within the readings' uncertainty is moved too.
    """

    now: Page
    wanted: Page
    names: tuple[str, str]
    everything: bool = False

    @property
    def to_be_moved(self) -> tuple[Verdict, ...]:
        """The verdicts of what goes home."""
        return ("moved", "unsure", "within") if self.everything else ("moved", "unsure")
