"""Two rigs by role: who is matched with whom, how far they are apart, and what holds them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from model.book.book import Tolerance, read_book
from model.book.page_file import open_page
from model.compare.rigs import why_two_rigs
from model.compare.role_answer import ComparedRole, ComparedRoles
from model.compare.roles import compare_by_role, compared_roles, hardware_of
from model.rig.page import Head, Page
from model.rig.part import Piece
from model.rig.setting import Setting
from model.space.positions import Positions
from tests.rigs_small import arm, disc, mount, piece, post, small_page, standing

SAMPLES = Path(__file__).parent.parent / "sample_rigs"
HARBOUR = SAMPLES / "harbour-dance" / "2026-03-08-soundcheck.toml"
PIT = SAMPLES / "pit-percussion" / "2026-04-18-soundcheck.toml"


def on_arms(*pieces: Piece, height: float = 800.0, rig: str = "Small rig") -> Page:
    """Return a rig with each piece on an arm of its own, all at the same place."""
    arms = [mount(p.on[0], "arm", "post") for p in pieces]
    values = {f"{a.id}.place": height for a in arms} | {f"{a.id}.spin": 0.0 for a in arms}
    page = small_page(
        post("post"),
        *arms,
        *pieces,
        kinds=[arm("arm", 300.0)],
        values={**standing("post", 0.0, 0.0), **values},
    )
    head = Head.model_validate({**dict(page.head), "rig": rig})
    return page.model_copy(update={"head": head})


def pad(id_: str, role: str | None, name: str = "") -> Piece:
    return disc(id_, f"arm-of-{id_}", role=role, name=name or id_)


def roles(found: ComparedRoles) -> dict[str, ComparedRole]:
    return {held.role.casefold(): held for held in found.roles}


def test_one_role_each_is_matched_whatever_it_is_called() -> None:
    one = on_arms(pad("a", "Ride", "The big one"), pad("b", "splash"))
    two = on_arms(pad("c", "ride "), pad("d", "bell"), height=810.0)
    found = compared_roles((one, two), "two", [Tolerance(id="RIDE", mm=9.0)])
    ride = roles(found)["ride "]
    assert ride.before is not None
    assert ride.after is not None
    assert (ride.before.id, ride.after.id) == ("a", "c")
    assert ride.move is not None
    assert (ride.move.right, ride.move.ahead) == (0.0, 0.0)
    assert ride.move.up == pytest.approx(10.0)
    assert ride.verdict == "beyond tolerance"
    assert roles(found)["splash"].verdict == "only on the first"
    assert roles(found)["bell"].verdict == "only on the second"
    assert found.something


def test_nothing_cancels_between_two_rigs() -> None:
    """The same hardware and readings: within one rig u would be that of two readings; here each
    place counts whole, its post, its turn and its arm."""
    one, two = on_arms(pad("a", "ride")), on_arms(pad("a", "ride"))
    ride = roles(compared_roles((one, two), "two"))["ride"]
    assert ride.u is not None
    sure = Positions(one).sureness["a"].covariance
    for index, way in enumerate(("right", "ahead", "up")):
        whole = math.sqrt(2.0 * float(sure[index, index]))
        assert getattr(ride.u, way) == pytest.approx(whole, rel=1e-3)
    assert ride.verdict == "same"


def test_a_role_twice_is_matched_by_id_or_left_with_the_reason() -> None:
    one = on_arms(pad("a", "crash"), pad("b", "crash"))
    two = on_arms(pad("b", "crash"), pad("c", "crash"))
    found = compared_roles((one, two), "two")
    (match,) = found.roles
    assert match.before is not None
    assert match.after is not None
    assert match.before.id == match.after.id == "b"
    assert [(left.on, left.id) for left in found.left] == [("first", "a"), ("second", "c")]
    for left in found.left:
        assert "2 on the first and 2 on the second" in left.why
    # One against two of other ids: nobody can tell which.
    found = compared_roles((on_arms(pad("x", "crash")), two), "two")
    assert found.roles == ()
    assert {left.id for left in found.left} == {"x", "b", "c"}


def test_what_has_no_role_is_left_and_said() -> None:
    found = compared_roles((on_arms(pad("a", None)), on_arms(pad("a", "ride"))), "two")
    assert [(left.id, left.why) for left in found.left] == [("a", "it has no role")]
    assert roles(found)["ride"].verdict == "only on the second"


def test_carried_and_unknown_places_are_said() -> None:
    one, two = on_arms(pad("a", "ride")), on_arms(pad("c", "ride"), height=801.0)
    key = "arm-of-c.place"
    told = {**dict(two.setting(key)), "state": "carried", "page": "older"}
    carried = two.with_setting(key, Setting.model_validate(told))
    found = roles(compared_roles((one, carried), "two"))["ride"]
    assert (found.verdict, found.why) == ("not measured", f"carried on the second: {key}")
    opened = two.with_setting(key, Setting(state="open"))
    found = roles(compared_roles((one, opened), "two"))["ride"]
    assert (found.verdict, found.why) == ("unknown", f"on the second: open: {key}")
    home = roles(compared_roles((carried, one), "two", wanted=True))["ride"]
    assert home.verdict == "not told apart"


def test_what_holds_a_piece_is_told_from_it_to_the_floor() -> None:
    page = open_page(HARBOUR).page
    part = page.by_id["cowbell"]
    assert isinstance(part, Piece)
    names = [page.by_kind[page.by_id[id_].kind or ""].name for id_ in ("cowbell-boom", "double")]
    assert hardware_of(page, part)[:2] == tuple(names)
    assert hardware_of(page, part)[-1] == page.by_kind["foot-post"].name
    alone = piece("pad", "nowhere", role="pad")
    assert hardware_of(on_arms(pad("a", "ride")), alone) == ()


def test_two_sample_rigs() -> None:
    pages = open_page(HARBOUR).page, open_page(PIT).page
    why = why_two_rigs(*pages)
    assert why == "the rigs differ in name: Harbour dance rack and Pit front rack"
    book = read_book(PIT.parent).book
    answer = compare_by_role(pages, ("a", "b"), why, book.tolerances)
    assert (answer.settings, answer.structure, answer.pieces) == ((), (), ())
    assert answer.roles is not None
    found = roles(answer.roles)
    for page, index in ((pages[0], 0), (pages[1], 1)):
        for part in page.parts:
            if isinstance(part, Piece):
                held = found[(part.role or "").casefold()]
                side = (held.before, held.after)[index]
                assert side is not None
                assert side.id == part.id
    both = {role for role, held in found.items() if held.before and held.after}
    assert {"throne", "snare", "kick", "splash"} <= both


def test_a_rig_with_itself_by_role_moved_nothing() -> None:
    page = open_page(HARBOUR).page
    found = compared_roles((page, page), "asked")
    for held in found.roles:
        assert held.verdict in ("same", "not measured", "unknown"), held.role
    assert found.left == ()


def test_few_parts_in_common_are_two_rigs() -> None:
    page = open_page(HARBOUR).page
    assert why_two_rigs(page, page) == ""
    other = on_arms(pad("ride", "ride"), rig=page.head.rig)
    assert why_two_rigs(page, other) == "only 1 of 3 parts are on both"
