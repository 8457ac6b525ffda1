"""What a random rig met of the rules of places, counted, so that a comparison cannot go hollow."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from model.readings.angles import READ_FROM
from model.rig.declared import AnyPart
from model.rig.kind import Joint
from model.rig.page import Page
from model.rig.part import FLOOR, Bar, Piece, Post
from tests.second_page import Second
from tests.second_places import SecondPlaces

AXES_NAMED = ("x", "y", "z", "-x", "-y", "-z")


def met(page: Page, places: SecondPlaces, found: Second) -> Counter[str]:
    """Return how often each rule decided a place that is known."""
    counted: Counter[str] = Counter()
    known = {*found.surfaces, *found.clamps, *found.bars, *found.posts}
    # A mount in an outlet has no place of its own: it counts where something on it is known.
    parents = {part.id: part.on for part in page.parts}
    for part_id in tuple(known):
        stack = list(parents[part_id])
        while stack:
            on = stack.pop()
            if on != FLOOR and on not in known:
                known.add(on)
                stack += parents[on]
    for part in page.parts:
        if part.id not in known:
            counted["unknown"] += 1
            continue
        counted.update(_of_part(page, part))
        for joint in places.kind(part).joints:
            counted.update(_of_angle(page, places, part, joint))
    counted.update(f"edges {'none' if e is None else 'told'}" for e in found.edges.values())
    counted.update(f"closure {'none' if bar[2] is None else 'told'}" for bar in found.bars.values())
    return counted


def _of_part(page: Page, part: AnyPart) -> Iterator[str]:
    kind = page.by_kind.get(part.kind or "")
    yield f"kind {part.kind}"
    if kind is not None and kind.on_rail:
        start = part.measured_from or next(j for j in kind.joints if j.slides == "rail").end or "A"
        yield f"from {start if start in ('A', 'B') else 'another clamp'}"
        yield f"edge {part.edge}"
        yield f"rail {part.rail}"
        yield f"on a {page.by_id[part.on[0]].type}"
    if part.marks:
        yield f"marks {part.marks_side}"
    if isinstance(part, Bar):
        yield from _of_bar(page, part)
    elif part.on[0] != FLOOR:
        host = page.by_id[part.on[0]]
        host_kind = page.by_kind.get(host.kind or "")
        outlets = [o.id for o in host_kind.outlets if not o.holds] if host_kind else []
        if isinstance(host, Piece):
            yield f"{part.type} on a piece"
            outlets = [o for o in outlets if o != "surface"]
        if not isinstance(host, Post | Bar):
            yield f"outlet {host.kind} {part.at or (outlets[0] if outlets else None)}"
    if isinstance(part, Piece):
        yield f"size {next((n for n in ('shell', 'disc', 'slab') if getattr(part, n)), None)}"
        yield f"piece with {'an' if any(part.offset[:2]) else 'no'} offset aside"


def _of_bar(page: Page, bar: Bar) -> Iterator[str]:
    holds = []
    for on in bar.on:
        kind = page.by_kind[page.by_id[on].kind or ""]
        outlets = [o for o in kind.outlets if o.holds and bar.at in (None, o.id)]
        holds.append(str(outlets[0].holds))
        yield f"outlet {kind.id} {outlets[0].id}"
        yield f"held on a {page.by_id[page.by_id[on].on[0]].type}"
    shape = "curved" if bar.curve else "straight"
    yield f"{shape} bar {' and '.join(holds)}"
    if holds == ["beside", "beside"]:
        yield f"sides {' and '.join(bar.side) or 'not told'}"
    if bar.measured_from:
        yield f"bar measured from {bar.measured_from}"
    if bar.length is None and bar.curve is None:
        yield "bar of unknown length"
    if (curve := bar.curve) is not None:
        yield f"face {curve.face}"
        if curve.along == "unknown":
            yield "curve chord+sagitta, its length's way unknown"
        elif curve.along == "chord":
            yield "curve chord length+sagitta"
        else:
            yield f"curve arc+{'sagitta' if curve.sagitta else 'chord'}"


def _of_angle(page: Page, places: SecondPlaces, part: AnyPart, joint: Joint) -> Iterator[str]:
    setting = page.setting(f"{part.id}.{joint.id}")
    if joint.after is not None:
        yield f"after {'root' if joint.after == 'root' else 'a joint'}"
    if setting.state == "open":
        if joint.assumed is not None:
            yield "assumed"
        elif joint.turns in ("z", "-z"):
            yield f"open turn of a {part.type} of no matter"
        return
    if setting.state == "follows":
        yield "a check not used" if setting.value is not None else "follows"
        return
    if joint.turns is None:
        return
    source = places.source(part, joint)
    if joint.teeth:
        tool = page.by_instrument.get(setting.using or "")
        others = (setting.read_from, tool.read_from if tool else None)
        yield f"teeth {'with a source' if any(s not in (None, 'joint') for s in others) else ''}"
        return
    yield f"{_sort(page, part, joint)} from {source}"
    yield f"told by the {'setting' if setting.read_from else 'instrument'}"
    if joint.level is not None:
        yield f"level axis from {source}"
    if not isinstance(joint.turns, str):
        yield f"vector axis from {source}"
    elif joint.turns in AXES_NAMED:
        yield f"axis {joint.turns} from {source}"


def _sort(page: Page, part: AnyPart, joint: Joint) -> str:
    if isinstance(part, Bar):
        return "bow" if joint.turns in ("rail", "chord") else "slope"
    if joint.turns == "rail":
        return f"spin on a {page.by_id[part.on[0]].type}"
    if joint.id == "turn" and isinstance(part, Post | Piece):
        return "own turn"
    return "joint"


def wanted() -> Iterator[str]:
    """Yield what a thousand rigs must have met."""
    for sort in ("joint", "slope", "bow", "spin on a bar"):
        yield from (f"{sort} from {s}" for s in READ_FROM if s != "zero line" or sort == "joint")
    yield from (f"spin on a post from {source}" for source in ("joint", "zero line"))
    yield from (f"own turn from {source}" for source in ("joint", "zero line"))
    for axis in AXES_NAMED:
        yield from (f"axis {axis} from {source}" for source in READ_FROM)
    yield from (f"vector axis from {source}" for source in READ_FROM)
    yield from (f"level axis from {source}" for source in READ_FROM if source != "zero line")
    yield from ("told by the setting", "told by the instrument", "teeth with a source")
    yield from ("from A", "from B", "from another clamp", "rail inner", "rail outer", "assumed")
    yield from (f"edge {e}" for e in (None, "near", "far", "top", "bottom", "centre"))
    yield from ("on a post", "on a bar", "held on a post", "held on a bar", "held on a piece")
    yield from ("marks left", "marks right", "mount on a piece", "after root", "after a joint")
    ways = ("through", "beside", "end")
    yield from (f"straight bar {way}" for way in ways)
    yield from (f"straight bar {a} and {b}" for a in ways for b in ways)
    yield from (f"curved bar {way}" for way in ("through", "beside"))
    yield from (f"curved bar {a} and {b}" for a in ways[:2] for b in ways[:2])
    yield from (f"face {face}" for face in ("axis", "outer", "inner"))
    yield from ("curve arc+sagitta", "curve arc+chord", "curve chord length+sagitta")
    yield "curve chord+sagitta, its length's way unknown"
    yield from ("sides left and left", "sides left and right", "sides right and left")
    yield from ("sides right and right", "sides not told", "bar of unknown length")
    yield "bar measured from B"
    yield from (f"size {size}" for size in ("shell", "disc", "slab", None))
    yield from (f"piece with {some} offset aside" for some in ("an", "no"))
    yield from ("edges none", "edges told", "closure none", "closure told")
    yield from ("unknown", "follows", "a check not used")
    yield from (f"open turn of a {what} of no matter" for what in ("post", "mount", "piece"))
