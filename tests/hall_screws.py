"""The hall's own idea of hardware: which screw lets go of what, from the page's kinds alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.rig.declared import AnyPart
from model.rig.kind import Joint, Kind
from model.rig.page import Page
from model.rig.part import Bar, Post

BY_HAND = "by hand"


@dataclass(frozen=True, slots=True)
class Screw:
    """What is let go of in one go: a clamp's screw, a joint's, or what stands or sits free."""

    id: str
    part: str
    keys: tuple[str, ...]
    tool: str

    @property
    def by_hand(self) -> bool:
        return self.tool == BY_HAND


@dataclass(frozen=True, slots=True)
class Loop:
    """A bar in two clamps on two posts: the settings of its shape, which only both let go."""

    bar: str
    clamps: tuple[str, str]
    posts: tuple[str, str]
    heights: tuple[str, str]
    grips: tuple[str, str]
    bow: str | None

    @property
    def keys(self) -> tuple[str, ...]:
        """What both clamps together let go of."""
        return (*self.heights, *self.grips, *((self.bow,) if self.bow else ()))


def kind_of(page: Page, part: AnyPart) -> Kind:
    return page.by_kind.get(part.kind or "") or Kind(id="none", name="no kind")


def is_clamped(page: Page, part: AnyPart) -> bool:
    """Tell what is clamped round a tube."""
    return not isinstance(part, Bar) and kind_of(page, part).on_rail


def key_of(part: AnyPart, joint: Joint) -> str:
    """Return the setting of a joint; two tapes stand in for x and y."""
    if part.marks and joint.id in ("x", "y"):
        return f"{part.id}.from_{1 if joint.id == 'x' else 2}"
    return f"{part.id}.{joint.id}"


def is_round_a_tube(joint: Joint) -> bool:
    return "rail" in (joint.slides, joint.turns)


def held_bars(page: Page, clamp: AnyPart) -> list[Bar]:
    """Return the bars in a clamp's jaw."""
    return [part for part in page.parts if isinstance(part, Bar) and clamp.id in part.on]


def loops_of(page: Page) -> tuple[Loop, ...]:
    """Return every bar that two clamps on two posts hold."""
    return tuple(
        _loop(page, part) for part in page.parts if isinstance(part, Bar) and len(part.on) == 2
    )


def _loop(page: Page, bar: Bar) -> Loop:
    clamps = [page.by_id[on] for on in bar.on]
    posts = [page.by_id[clamp.on[0]] for clamp in clamps]
    assert all(isinstance(post, Post) for post in posts), "the hall has loops between posts"
    heights = [
        key_of(clamp, joint)
        for clamp in clamps
        for joint in kind_of(page, clamp).joints
        if joint.slides == "rail"
    ]
    joints = kind_of(page, bar).joints
    grips = [key_of(bar, joint) for joint in joints if joint.slides == "rail"]
    bows = [key_of(bar, joint) for joint in joints if joint.turns == "chord"]
    return Loop(
        bar=bar.id,
        clamps=(clamps[0].id, clamps[1].id),
        posts=(posts[0].id, posts[1].id),
        heights=(heights[0], heights[1]),
        grips=(grips[0], grips[1]),
        bow=bows[0] if bows and bar.curve else None,
    )


def screws_of(page: Page) -> dict[str, Screw]:
    """Return every screw of a rig by its id: ``part.clamp``, ``part.hand`` or its first joint."""
    found: dict[str, Screw] = {}
    for part in page.parts:
        if isinstance(part, Bar):
            continue  # its clamps hold it, and it has no screw of its own
        for screw in _screws(page, part):
            found[screw.id] = screw
    return found


def _screws(page: Page, part: AnyPart) -> Iterator[Screw]:
    joints = kind_of(page, part).joints
    by_hand = tuple(key_of(part, joint) for joint in joints if joint.loosen == BY_HAND)
    if by_hand:
        yield Screw(f"{part.id}.hand", part.id, by_hand, BY_HAND)
    own = [joint for joint in joints if joint.loosen != BY_HAND]
    if is_clamped(page, part):
        round_it = [joint for joint in own if is_round_a_tube(joint)]
        keys = [key_of(part, joint) for joint in round_it]
        keys = [key for key in keys if page.setting(key).state != "follows"]
        for bar in held_bars(page, part):
            keys += _of_bar(page, bar, part.id)
        yield Screw(f"{part.id}.clamp", part.id, tuple(keys), round_it[0].loosen)
        own = [joint for joint in own if joint not in round_it]
    jaws: list[list[Joint]] = []
    for joint in own:
        jaw = next((jaw for jaw in jaws if _in_jaw(jaw, joint, joints)), None)
        if jaw is None:
            jaws.append([joint])
        else:
            jaw.append(joint)
    for jaw in jaws:
        keys = [key_of(part, joint) for joint in jaw]
        yield Screw(keys[0], part.id, tuple(keys), jaw[0].loosen)


def _of_bar(page: Page, bar: Bar, clamp: str) -> list[str]:
    """Return what one clamp lets go of a bar: its grip there, all of one that has no other.

    Of two clamps the first has the bow, which neither lets go alone.
    """
    joints = [joint for joint in kind_of(page, bar).joints if not joint.follows]
    if len(bar.on) == 1:
        return [key_of(bar, joint) for joint in joints]
    slides = [joint for joint in joints if joint.slides == "rail"]
    number = bar.on.index(clamp)
    turns = [joint for joint in joints if joint.slides != "rail" and bar.curve and number == 0]
    return [key_of(bar, joint) for joint in (slides[number], *turns)]


def _in_jaw(jaw: list[Joint], joint: Joint, chain: tuple[Joint, ...]) -> bool:
    """Tell whether a joint sits in the jaw of those before it."""
    if joint.held_with is not None:
        return joint.held_with != joint.id and joint.held_with in [held.id for held in jaw]
    last = jaw[-1]
    number = [held.id for held in chain].index(joint.id)
    before = joint.after or (chain[number - 1].id if number else "root")
    return (
        len(jaw) == 1
        and last.id == before
        and (last.slides is None) != (joint.slides is None)
        and _line(last) == _line(joint)
        and not any(joint.before)
        and last.loosen == joint.loosen
    )


def _line(joint: Joint) -> object:
    """Return what a joint goes along or about, whichever way."""
    axis = joint.axis
    return axis.removeprefix("-") if isinstance(axis, str) else axis
