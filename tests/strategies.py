"""Random whole pages, canonical as the reader gives them: every setting that is declared is there.

:func:`pages` draws them and :func:`settings_for` one line of the record; hardware and plain values
are in the modules beside this one.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from hypothesis import strategies as st

from model.readings.angles import READ_FROM
from model.readings.quantity import Quantity, Value
from model.rig.page import Head, Mark, Page, Remarks, Spot
from model.rig.part import FLOOR
from model.rig.setting import Setting
from tests.strategies_parts import instruments, kinds, part
from tests.strategies_values import (
    ODD_KEYS,
    extras,
    maybe,
    moments,
    numbers,
    pairs,
    pick,
    picks,
    spreads,
    texts,
    upto,
)

PART_IDS = ("post-l", "bar", "ride-boom", "ride", "clamp-l", "tom-1_a", "0", "kick", "x", "snare")
SPOT_IDS = ("ride-splash", "snare-near", "gap")
CREW = ("AK", "JM", "J. M.", *ODD_KEYS, "Zoë", "\x1b[2J", "on 1\u2028[line 2]")
PAGES = ("2025-03-13-soundcheck", "2025-03-12-soundcheck", "2025-03-01-after-the-fill-in")
STATES = ("read", "open", "carried", "seen", "follows", "read")


@cache
def values(quantity: Quantity | None) -> st.SearchStrategy[Value]:
    """Values that suit a quantity; for a setting that nothing declares, any."""
    if quantity == "teeth":
        return st.integers(-1000, 1000)
    if quantity == "word":
        return texts()
    if quantity is None:
        return st.one_of(st.integers(-1000, 1000), numbers(), texts())
    return numbers()


def setting(draw: st.DrawFn, quantity: Quantity | None) -> Setting:
    """Draw one setting in any of the five states; a following one perhaps with a check."""
    state = pick(draw, STATES)
    has_value = state in ("read", "seen", "carried") or (state == "follows" and draw(st.booleans()))
    fields: dict[str, object] = {"state": state}
    if has_value:
        fields["value"] = draw(values(quantity))
        fields["using"] = pick(draw, ("tape", None, "level", "laser", "no-such-tool"))
        fields["by"] = pick(draw, (None, *CREW))
    if state in ("seen", "carried"):
        fields["page"] = pick(draw, PAGES)
    if draw(upto(3)) == 3:
        fields["u"] = maybe(draw, spreads())
        fields["from"] = pick(draw, (None, *READ_FROM))
        fields["limit"] = maybe(draw, pairs())
        fields["note"] = maybe(draw, texts())
        fields["extra"] = extras(draw, flat=True, also=("state", "value", "read_from", "id"))
    return Setting.model_validate(fields)


@cache
def settings_for(quantity: Quantity | None) -> st.SearchStrategy[Setting]:
    """Settings whose value suits a quantity."""
    return st.composite(setting)(quantity)


@cache
def remarks() -> st.SearchStrategy[Remarks]:
    """A note and photo names, mostly none."""
    photos = st.lists(texts(), max_size=2).map(tuple)
    return st.one_of(st.just(Remarks()), st.builds(Remarks, note=texts(), photos=photos))


def _head(draw: st.DrawFn) -> Head:
    return Head(
        rig=draw(texts()),
        date=draw(st.dates()),
        began=draw(moments()),
        moment=draw(texts()),
        venue=draw(texts()),
        begun_from=draw(texts()),
        closed=draw(st.booleans()),
        reason=draw(texts()),
        extra=extras(draw),
    )


def _spot(draw: st.DrawFn, spot_id: str, part_ids: Sequence[str]) -> Spot:
    first, second = (pick(draw, (*part_ids, "nowhere")) for _ in range(2))
    is_gap = draw(st.booleans())
    return Spot(
        id=spot_id,
        name=draw(texts()),
        gap=(first, second) if is_gap else None,
        height=None if is_gap else (first, pick(draw, ("near", "far", "centre", "bell"))),
        extra=extras(draw),
    )


def _mark(draw: st.DrawFn, mark_id: str) -> Mark:
    x, y = draw(numbers()), draw(numbers())
    return Mark(id=mark_id, name=draw(texts()), x=x, y=y, extra=extras(draw))


@st.composite
def pages(draw: st.DrawFn, most_parts: int = 8) -> Page:
    """Whole pages."""
    page_kinds = kinds(draw)
    part_ids = picks(draw, PART_IDS, most_parts)
    spot_ids = picks(draw, SPOT_IDS, 2)
    rig = Page(
        head=_head(draw),
        crew=tuple((name, draw(texts())) for name in picks(draw, CREW, 3)),
        instruments=instruments(draw),
        marks=tuple(_mark(draw, mark) for mark in picks(draw, ("ahead", "left", "zero"), 2)),
        parts=tuple(part(draw, p, part_ids[:at], page_kinds) for at, p in enumerate(part_ids)),
        spots=tuple(_spot(draw, spot, part_ids) for spot in spot_ids),
        kinds=page_kinds,
    )
    owners = [*part_ids, *spot_ids]
    stray = _stray_keys(draw, [FLOOR, *owners], set(rig.declared))
    record = [(d.key, setting(draw, d.quantity)) for d in rig.declared.values()]
    record += [(key, setting(draw, None)) for key in stray]
    notes = [(owner, draw(remarks())) for owner in owners]
    if draw(upto(7)) == 7:
        notes.append(("nobody", Remarks(note=draw(texts()))))
    return rig.model_copy(update={"record": tuple(record), "remarks": tuple(notes)})


def _stray_keys(draw: st.DrawFn, owners: Sequence[str], declared: set[str]) -> list[str]:
    """Draw keys that nothing declares, in their order."""
    if draw(upto(3)) < 3:
        return []
    names = ("unknown", "old name", "dial.gone", "ключ", "#", "")
    keys = [f"{owner}.{name}" for owner in (*owners, "nobody", "no body") for name in names]
    free = [key for key in keys if key not in declared]
    return sorted(picks(draw, free, 3))
