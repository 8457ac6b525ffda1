"""How sure a difference of two pages is: every input's uncertainty, each counted once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from model.compare.settings import combined_uncertainty
from model.rig.page import Page
from model.rig.setting import Setting
from model.space.inputs import owner_of
from model.space.sureness import Influence

Pages = tuple[Page, Page]
Names = tuple[str, str]


def spread_of_difference(
    pages: Pages,
    names: Names,
    influences: tuple[Sequence[Influence], Sequence[Influence]],
    outputs: int,
) -> tuple[float, ...]:
    """Return the standard uncertainty of what both pages' ``influences`` move, one an output.

    Lengths of the hardware are the same on both pages: their uncertainty cancels. So does that of
    a reading that both pages rest on. A reading of which nobody said how sure it is adds nothing.
    """
    total = np.zeros(outputs)
    told: set[str] = set()
    for found in (influences[1], influences[0]):
        for influence in found:
            key = influence.source.key
            if key in told:
                continue
            if not influence.source.is_setting:
                if not _same_hardware(pages, key):
                    total += np.diag(influence.covariance())
                continue
            told.add(key)
            u = setting_spread(pages, key, names)
            if u and np.isfinite(influence.by).all():
                total += np.diag(influence.covariance(u))
    return tuple(float(v) for v in np.sqrt(total))


def setting_spread(pages: Pages, key: str, names: Names) -> float | None:
    """Return u of the difference of one setting's two readings, in mm, degrees or teeth."""
    before, after = pages
    declared = after.declared.get(key) or before.declared.get(key)
    if declared is None:
        return None
    a, b = before.setting(key), after.setting(key)
    same_rig = before.head.rig == after.head.rig
    if same_rig and reading_of(a, names[0]) == reading_of(b, names[1]):
        return 0.0
    return combined_uncertainty(declared, a, b, before, after)


def _same_hardware(pages: Pages, key: str) -> bool:
    """Tell whether a length of the hardware is the same one on both pages: then it cancels."""
    before, after = pages
    owner = owner_of(key)
    one, two = before.by_id.get(owner), after.by_id.get(owner)
    if one is None or two is None or one.kind != two.kind:
        return False
    kinds = before.by_kind.get(one.kind or ""), after.by_kind.get(two.kind or "")
    return kinds[0] == kinds[1] and getattr(one, "offset", None) == getattr(two, "offset", None)


def reading_of(setting: Setting, name: str) -> tuple[str, object]:
    """Return which reading a value rests on: the page it was read on, and the value.

    ``name`` is that of the page that the setting is on.
    """
    return (setting.page or name, setting.value)
