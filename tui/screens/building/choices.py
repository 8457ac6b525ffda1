"""What there is to choose from while building: kinds, ways to hold a bar, places, fields, spots."""

from __future__ import annotations

from collections.abc import Iterator

from model.book.generic import generic_ids
from model.readings.lengths import show_length
from model.rig.building.fields import FIELDS, field_words, shown_field
from model.rig.building.grips import GRIPS, Grip
from model.rig.building.hanging import clamps_of, kinds_for, outlets_of, why_not_hang, why_not_kind
from model.rig.building.own_kind import kind_words
from model.rig.building.spots import EDGES
from model.rig.declared import AnyPart
from model.rig.kind import Kind
from model.rig.part import FLOOR, NOT_HUNG, Bar, Piece, Post
from tui.screens.building.asking import KIND, PIECE, PIECES, rails_of
from tui.screens.building.joints import joint_words
from tui.screens.building.state import BuildState
from tui.screens.seek import Sought

ALSO = {"drum": "tom snare", "cymbal": "crash ride splash hat china", "percussion": "bell block"}
"""What else one may seek a piece by."""


def kind_choices(state: BuildState) -> list[Sought]:
    """Return what can be added on the row's part: pieces without a kind, then the kinds."""
    on = state.row.id
    found = kinds_for(state.page, on, state.kinds)
    usual = sorted(found, key=lambda kind: not _is_usual(state, on, kind))
    pieces = list(_pieces(state, on))
    return [*pieces, *(_kind(kind) for kind in usual)]


def _pieces(state: BuildState, on: str) -> Iterator[Sought]:
    carrier = state.page.by_id.get(on)
    takes = on == NOT_HUNG or (
        carrier is not None
        and not isinstance(carrier, Post | Bar | Piece)
        and any(not outlet.holds for outlet in outlets_of(state.page, on))
    )
    for sort, example in PIECES.items() if takes else ():
        about = ("a piece that is played, with no joint of its own", f"its size: {example or '-'}")
        yield Sought(f"{PIECE}{sort}", sort, f"piece {ALSO.get(sort, '')}", about)


def _kind(kind: Kind) -> Sought:
    return Sought(kind.id, kind.name, f"{kind.id} {kind.fits or ''}", joint_words(kind))


def _is_usual(state: BuildState, on: str, kind: Kind) -> bool:
    """Tell what is put on a bar from what is put on a post, by what the kinds are called."""
    carrier = state.page.by_id.get(on)
    if isinstance(carrier, Bar):
        height = kind.by_joint.get("height")
        on_post = height is not None and height.slides == "rail"
        return not on_post and "beside a post" not in kind.name
    return not isinstance(carrier, Post) or " a bar" not in kind.name


def other_kind_choices(state: BuildState) -> list[Sought]:
    """Return the kinds that the row's part could be of where it hangs."""
    part = state.page.by_id[state.row.id]
    fitting = (
        kind
        for kind in state.kinds.values()
        if kind.fits in (None, part.type)
        and all(why_not_kind(state.page, on, kind) is None for on in part.on)
    )
    return [_kind(kind) for kind in sorted(fitting, key=lambda kind: kind.name)]


def bar_choices(state: BuildState) -> list[Sought]:
    """Return the ways to hold a bar on the tubes that are chosen: ``right``, ``right curved``."""
    rails = rails_of(state)
    names = " and ".join(state.page.by_id[rail].name for rail in rails)
    ways: list[Grip] = ["right", "left", "through"]
    if len(rails) == 1:
        ways.append("end")
    about = (f"on {names}, end A toward the first; its clamps are added with it",)
    found = []
    for curved in (False, True):
        for grip in ways:
            if not (curved and grip == "end"):
                words = f"{'curved' if curved else 'straight'} bar, held {GRIPS[grip]}"
                found.append(Sought(f"{grip}{' curved' if curved else ''}", words, "", about))
    return found


def place_choices(state: BuildState) -> list[Sought]:
    """Return where the row's part can hang: ``part`` or ``part outlet``; the floor; nowhere."""
    part = state.page.by_id[state.row.id]
    found = [_place(state, part, on) for on in (FLOOR, *state.page.by_id)]
    places = [place for group in found for place in group]
    return [*places, Sought(NOT_HUNG, "not hung: it lies beside the rack")]


def _place(state: BuildState, part: AnyPart, on: str) -> list[Sought]:
    page = state.page
    if on == FLOOR and isinstance(part, Piece) and part.kind is None:
        legs = (kind for kind in state.kinds.values() if kind.on_floor and kind.fits == "piece")
        return [Sought(f"{FLOOR} {kind.id}", f"the floor: {kind.name}", "", joint_words(kind))
                for kind in sorted(legs, key=lambda kind: kind.name)]  # fmt: skip
    clamps = clamps_of(page.by_kind.get(part.kind or ""))
    if clamps == 2 and on in page.by_id:
        other = next((id_ for id_ in (*state.marked, *part.on) if id_ != on), "")
        if why_not_hang(page, part, (other, on), None) is not None:
            return []
    elif why_not_hang(page, part, (on,), None) is not None:
        return []
    if on == FLOOR:
        return [Sought(FLOOR, "the floor")]
    name = page.by_id[on].name
    holds_bar = isinstance(part, Bar)
    outlets = [o.id for o in outlets_of(page, on) if (o.holds is not None) == holds_bar]
    if len(outlets) < 2:
        return [Sought(on, name, on)]
    taken = {p.at: p.name for p in page.parts if p.on[0] == on and p.id != part.id}
    return [
        Sought(f"{on} {outlet}", f"{name}, {outlet}{_in_it(taken.get(outlet))}", on)
        for outlet in outlets
    ]


def _in_it(name: str | None) -> str:
    return f" ({name} is in it)" if name else ""


def field_choices(state: BuildState) -> list[Sought]:
    """Return what can be set of the row's part, with what it has now; its dials, and a new one."""
    part, unit = state.page.by_id[state.row.id], state.rack.hand.unit
    found = [
        Sought(
            word,
            f"{word:<14}{shown_field(part, word, lambda mm: show_length(mm, unit))}",
            FIELDS[word].help,
            (FIELDS[word].help, f"such as: {FIELDS[word].example}", "nothing, or -, takes it away"),
        )
        for word in field_words(part)
    ]
    found += [
        Sought(f"dial.{dial.id}", f"{f'dial.{dial.id}':<14}{dial.unit}", "dial",
               ("its unit: word, mm, deg, or one of your own", "", "-, takes it away"))
        for dial in part.dials
    ]  # fmt: skip
    kind = state.page.by_kind.get(part.kind or "")
    if kind is not None and kind.id not in generic_ids():
        found += [_of_kind(kind, word) for word in (*kind_words(kind), "JOINT", "end.NAME")]
    new = ("a setting without geometry: its name, then its unit", "such as: clutch_gap mm")
    return [*found, Sought("dial", "dial          a new one", "dial", new)]


def _of_kind(kind: Kind, word: str) -> Sought:
    about = {
        "JOINT": ("a joint at the tip: its name, then what it does", "such as: swivel turns z"),
        "end.NAME": ("an outlet: its name, then its offset, or how it holds a bar",
                     "such as: tip 0, 0, 40; or: jaw beside 45"),
    }.get(word, (f"of its kind, {kind.name}: every part of it", "-, takes it away"))  # fmt: skip
    return Sought(f"{KIND}{word}", f"kind {word}", "joint outlet kind", about)


def typed_now(state: BuildState, word: str) -> str:
    """Return what the row's part has there, as it would be typed."""
    part, unit = state.page.by_id[state.row.id], state.rack.hand.unit
    if word.startswith("dial."):
        units = {f"dial.{dial.id}": dial.unit for dial in part.dials}
        return units.get(word, "")
    return shown_field(part, word, lambda mm: show_length(mm, unit))


def spot_choices(state: BuildState) -> list[Sought]:
    """Return the spots that can be added: a gap to the marked part, an edge's height."""
    part = state.page.by_id[state.row.id]
    marked = [id_ for id_ in state.marked if id_ != part.id]
    found = []
    if marked:
        other = state.page.by_id[marked[-1]].name
        found.append(Sought("gap", f"the gap from {other} to {part.name}"))
    if isinstance(part, Piece):
        found += [Sought(edge, f"rug to the {edge} edge of {part.name}") for edge in EDGES]
    return found
