"""The second computation of places: bars in one clamp or two."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.rig.declared import AnyPart
from model.rig.kind import Joint, Outlet
from model.rig.part import Bar, Post
from tests.second_bars import Arc, Hold, Run, arc_of, bulge_of, lay_on, run_through, two_grips
from tests.second_rails import first_of
from tests.second_turns import UP, Array, Hinge, Stand, Unknown, meets, nearest_zero, vec

if TYPE_CHECKING:
    from tests.second_places import SecondPlaces


def bar_run(places: SecondPlaces, bar: Bar) -> Run:
    """Return where a bar is."""
    arc = arc_of(bar)
    if len(bar.on) == 2:
        return _in_two(places, bar, arc)
    return _in_one(places, bar, arc)


def _holder(places: SecondPlaces, bar: Bar, on: str) -> tuple[AnyPart, Outlet, bool]:
    """Return the clamp, its outlet that holds, and whether it is no more than place and spin."""
    clamp = places.part(on)
    kind = places.kind(clamp)
    named = [o for o in kind.outlets if o.holds and bar.at in (None, o.id)]
    if not named or isinstance(clamp, Post | Bar):
        raise Unknown(f"{on} holds no bar")
    plain = kind.on_rail and all("rail" in (j.slides, j.turns) for j in kind.joints)
    return clamp, named[0], plain


def _value(places: SecondPlaces, bar: Bar, joint: Joint | None, arc: Arc) -> float | None:
    """Return a place on the bar, from end A; None where it is open."""
    if joint is None:
        return None
    try:
        value = places.value(bar, joint)
    except Unknown:
        return None
    start = bar.measured_from or joint.end or "A"
    if start not in ("A", "B"):
        raise Unknown("a place on a bar is measured from one of its ends")
    if start == "B":
        if arc.length is None:
            return None
        value = arc.length - value
    # A clamp holds a bar where there is a bar, as one on a rail does.
    if value < -1e-9 or (arc.length is not None and value > arc.length + 1e-9):
        raise Unknown("the grip is not on the bar")
    return value


def _bow(places: SecondPlaces, bar: Bar) -> tuple[float | None, Array]:
    """Return the bow in degrees, and the up that its zero is square to."""
    joint = first_of(places.kind(bar), lambda j: j.turns in ("chord", "rail"))
    if joint is None or bar.curve is None:
        return None, UP
    try:
        value = places.value(bar, joint)
    except Unknown:
        return None, UP
    source = places.source(bar, joint)
    if source == "zero line":
        raise Unknown("a bow cannot be seen from above")
    return value, places.gravity if source == "gravity" else UP


def _in_two(places: SecondPlaces, bar: Bar, arc: Arc) -> Run:
    holds = []
    for index, on in enumerate(bar.on):
        clamp, outlet, plain = _holder(places, bar, on)
        side = -1.0 if bar.side and bar.side[index] == "left" else 1.0
        if plain:
            on_rail = places.clamped(clamp)
            holds.append(Hold(on_rail.centre, on_rail.tangent, outlet, side))
        else:
            stand = places.outlet(clamp, outlet)
            holds.append(Hold(stand.origin, stand.axis(2), outlet, side))
    slides = [j for j in places.kind(bar).joints if j.slides == "rail"]
    a = _value(places, bar, slides[0], arc) if slides else 0.0
    b = _value(places, bar, slides[1], arc) if len(slides) > 1 else arc.length
    bow, up = _bow(places, bar)
    return lay_on(arc, two_grips(holds[0], holds[1]), (a, b), up, bow)


def _in_one(places: SecondPlaces, bar: Bar, arc: Arc) -> Run:
    clamp, outlet, plain = _holder(places, bar, bar.on[0])
    stand = places.clamped(clamp).stand if plain else places.outlet(clamp, outlet)
    kind = places.kind(bar)
    by_end = outlet.holds == "end"
    away = outlet.reach if by_end else (outlet.standoff if outlet.holds == "beside" else 0.0)
    slide = first_of(kind, lambda j: j.slides == "rail")
    place = 0.0 if by_end else _value(places, bar, slide, arc)
    if away is None or place is None:
        raise Unknown("where on the bar the clamp is, or how far off, is open")
    grip = stand.origin + stand.axis(1) * away
    tangent = _sloped(places, bar, stand, by_end, float(grip[2]), place)
    bow, up = _bow(places, bar)
    if arc.radius is None:
        return run_through(arc, place, grip, tangent, None)
    if bow is None:
        raise Unknown("the bow is open")
    return run_through(arc, place, grip, tangent, bulge_of(tangent, bow, up))


def _sloped(
    places: SecondPlaces, bar: Bar, stand: Stand, by_end: bool, height: float, place: float
) -> Array:
    """Return the tangent at the grip of a bar in one clamp."""
    joint = first_of(places.kind(bar), lambda j: j.turns not in (None, "chord", "rail"))
    if joint is None:
        raise Unknown("the kind has no slope")
    axis, along = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) if by_end else ((0, -1.0, 0), (1.0, 0, 0))
    hinge = Hinge(stand, vec(axis), vec(along), vec(along))
    if joint.follows or places.page.setting(f"{bar.id}.{joint.id}").state == "follows":
        # A brace: its end A is on the floor.
        if by_end or place == 0.0:
            raise Unknown("nothing of the bar reaches the floor")
        degrees = nearest_zero(meets(*hinge.wave(hinge.hand, UP), height / place))
    else:
        reading, source = places.value(bar, joint), places.source(bar, joint)
        degrees = hinge.angle(reading, source, places.gravity)
        places.hinges[f"{bar.id}.{joint.id}"] = hinge, degrees
    return hinge.at(hinge.hand, degrees)
