"""A new normal: exactly the chosen pieces' settings are the page's, and everything else stays.

What is adopted is worked out here a second time, from the pages' TOML read by tomllib alone.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.book.book import read_book
from model.book.find import find_page
from model.book.heads import BOOK_FILE, list_book
from model.book.new_home import adopt_page, new_home
from model.book.page_file import open_page
from model.book.read import parse_page
from model.book.start import start_page
from model.book.write import write_page
from model.errors import CannotDo
from model.rig.carrying import pieces_resting, rests_on
from model.rig.page import Page
from model.rig.part import Piece
from model.rig.setting import Setting, carried_on
from model.rig.surety import read_from, u_of_place
from tests.beginning import START, source
from tests.new_homes import BACK, BEGAN, FILL_IN, HOME, ROOT, adopt, book_of, contents, wish
from tests.shapes import PAGE
from tests.sizes import examples
from tests.strategies import pages, setting
from tests.strategies_parts import instruments

PIECES = (
    "crash-1", "pad", "ride", "china", "tom-1", "tom-2", "tom-3", "hats-bottom", "hats", "tamb",
    "crash-2", "block", "cowbell", "splash", "throne", "snare", "kick", "kick-pedal", "hat-pedal",
    "floor-tom",
)  # fmt: skip


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return book_of(tmp_path / "tour", HOME, FILL_IN, BACK)


def plain_record(page: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Return a page's settings by key, as tomllib gives them."""
    found = {}
    for owner, own in page["record"].items():
        found.update({f"{owner}.{name}": held for name, held in own.items() if name != "dial"})
        found.update({f"{owner}.dial.{n}": held for n, held in own.get("dial", {}).items()})
    return {key: held for key, held in found.items() if isinstance(held, dict)}


def plain_chain(page: dict[str, Any], part: str) -> set[str]:
    """Return what a part hangs on, itself and every clamp, up to the floor."""
    if part == "floor":
        return set()
    on = page["part"][part]["on"]
    held = [on] if isinstance(on, str) else on
    return {part}.union(*(plain_chain(page, one) for one in held))


def plain_adopted(here: dict[str, Any], home: dict[str, Any], pieces: set[str]) -> set[str]:
    """Return the keys that are adopted, from the words of the README alone."""
    all_pieces = [id_ for id_, part in home["part"].items() if part["type"] == "piece"]
    others = [plain_chain(home, piece) for piece in all_pieces if piece not in pieces]
    chosen = set().union(*(plain_chain(home, piece) for piece in pieces))
    own = chosen - set().union(*others)
    for spot, table in home["spot"].items():
        measured = set(table.get("gap") or table["height"][:1])
        rest = set().union(*(plain_chain(home, piece) for piece in measured))
        if measured <= pieces and rest <= own:
            own.add(spot)
    record = plain_record(here)
    return {
        key
        for key, held in record.items()
        if key.split(".")[0] in own and held.keys() & {"read", "seen"} and "follows" not in held
    }


@settings(max_examples=examples(25, 500))
@given(
    st.sets(st.sampled_from(PIECES), min_size=1, max_size=6),
    st.sampled_from((FILL_IN, BACK)),
    st.booleans(),
)
def test_exactly_the_chosen_pieces_settings_are_the_pages(
    tmp_path_factory: pytest.TempPathFactory, pieces: set[str], name: str, in_reverse: bool
) -> None:
    folder = book_of(tmp_path_factory.mktemp("adopt") / "tour", HOME, name)
    before = contents(folder)
    here, home = (tomllib.loads((ROOT / f"{n}.toml").read_text("utf-8")) for n in (name, HOME))
    expected = plain_adopted(here, home, pieces)
    ordered = sorted(pieces, reverse=in_reverse)
    if not expected:
        with pytest.raises(CannotDo, match="nothing to adopt"):
            adopt(folder, name, *ordered)
        assert contents(folder) == before
        return
    answer = adopt(folder, name, *ordered)
    after = contents(folder)
    assert {found.setting for found in answer.adopted} == expected

    page = open_page(folder / f"{answer.page}.toml").page
    sides = open_page(folder / f"{name}.toml").page, open_page(folder / f"{HOME}.toml").page
    for key, held in page.record:
        one, which = (sides[0], name) if key in expected else (sides[1], HOME)
        assert held == carried_on(one.setting(key), which), key
    assert {k for k, _ in page.record} == {k for k, _ in sides[1].record}
    assert (page.parts, page.kinds, page.marks, page.spots) == (
        sides[1].parts, sides[1].kinds, sides[1].marks, sides[1].spots,
    )  # fmt: skip
    assert page.head.closed
    assert (page.head.begun_from, page.head.reason) == (HOME, "lower since the injury")
    assert (page.head.date, page.head.began) == (sides[0].head.date, BEGAN)

    made = f"{answer.page}.toml"
    assert after.keys() == before.keys() | {made}
    assert {n for n in before if after[n] != before[n]} == {BOOK_FILE}
    assert_one_line_more(before[BOOK_FILE], after[BOOK_FILE], f'"{answer.home}" = "{answer.page}"')
    homes = read_book(folder).book.homes
    assert homes == ((answer.home, answer.page), ("main", HOME), ("fill-in", FILL_IN))


def assert_one_line_more(old: bytes, new: bytes, line: str) -> None:
    """The line stands in the text, with a blank one; without the two it is the old one."""
    lines = new.decode().split("\n")
    at = lines.index(line)
    del lines[at : at + 2]
    assert "\n".join(lines).encode() == old


@st.composite
def two_nights(draw: st.DrawFn) -> tuple[Page, Page, tuple[str, ...]]:
    """One rig on two nights, with other readings and instruments, and some of its pieces."""
    home = draw(pages(most_parts=7))
    record = [(d.key, setting(draw, d.quantity)) for d in home.declared.values()]
    here = home.model_copy(update={"record": tuple(record), "instruments": instruments(draw)})
    found = [part.id for part in home.parts if isinstance(part, Piece)]
    pieces = draw(st.lists(st.sampled_from(found), unique=True, min_size=1)) if found else []
    return here, home, tuple(pieces)


@settings(max_examples=examples(150, 3_000))
@given(two_nights(), st.booleans())
def test_any_reading_means_at_home_what_it_meant_on_its_page(
    case: tuple[Page, Page, tuple[str, ...]], with_shared: bool
) -> None:
    here, home, pieces = case
    if not pieces:
        return
    files = source(write_page(here), "2025-03-20-x"), source(write_page(home), "2025-03-14-y")
    asked = wish(*pieces, with_shared=with_shared)
    if not measured(here, home, pieces, with_shared):
        with pytest.raises(CannotDo, match="nothing to adopt"):
            new_home(*files, asked, ())
        return
    made = new_home(*files, asked, ())
    page = parse_page(made.file.text).page
    assert page == made.file.page
    adopted = dict(made.chosen.settings)
    assert list(adopted) == [found.setting for found in made.chosen.adopted]
    for key, held in page.record:
        if key not in adopted:
            assert held == carried_on(home.setting(key), "2025-03-14-y")
            continue
        before = here.setting(key)
        assert before.state in ("read", "seen")
        quantity = page.declared[key].quantity
        was = carried_on(before, "2025-03-20-x")
        assert (held.value, held.page, held.limit) == (was.value, was.page, was.limit)
        assert u_of_place(held, quantity, page) == u_of_place(was, quantity, here)
        assert read_from(held, quantity, page) == read_from(was, quantity, here)
        assert held.using in (was.using, None)


def measured(here: Page, home: Page, pieces: tuple[str, ...], with_shared: bool) -> bool:
    """Tell whether anything that is to be adopted was measured."""
    chosen = set(pieces)
    taken = {
        part
        for part, held in pieces_resting(home).items()
        if chosen & set(held) and (with_shared or set(held) <= chosen)
    }
    spots = {
        spot.id
        for spot in home.spots
        for own in [spot.gap or (spot.height or ())[:1]]
        if set(own) <= chosen and {part for one in own for part in rests_on(home, one)} <= taken
    }
    return any(
        here.setting(key).state in ("read", "seen") and home.setting(key).state != "follows"
        for key, declared in home.declared.items()
        if declared.owner in taken | spots
    )


def test_a_lowered_snare_does_not_adopt_a_slipped_crash(book: Path) -> None:
    answer = adopt(book, FILL_IN, "snare", "ride")
    owners = {found.part for found in answer.adopted}
    assert owners == {"snare-stand", "snare-basket", "snare", "snare-near", "ride-boom"}
    page, home = (open_page(book / f"{n}.toml").page for n in (answer.page, HOME))
    for key in page.declared:
        if key.startswith(("crash", "clamp", "post", "bar", "tom")):
            assert page.setting(key).value == home.setting(key).value
    told = {found.setting: found for found in answer.left}
    turn = told["post-fr.turn"]
    assert (turn.why, turn.value, turn.home) == ("shared", 40.0, 45.0)
    assert turn.words == "Tom 2, Tom 3, Crash 2, Block would move with it"
    assert told["ride-splash.gap"].why == "check"
    assert not answer.moved


def test_a_bar_and_both_its_clamps_go_with_the_one_piece_that_they_hold(book: Path) -> None:
    answer = adopt(book, BACK, "tom-1")
    assert {found.part for found in answer.adopted} == {
        "clamp-fl-front", "clamp-fc-left", "bar-front-left", "tom-1-arm", "tom-1",
    }  # fmt: skip
    page = open_page(book / f"{answer.page}.toml").page
    assert page.setting("clamp-fl-front.spin").state == "follows"


def test_with_shared_adopts_the_post_and_says_who_moves(book: Path) -> None:
    answer = adopt(book, FILL_IN, "ride", with_shared=True)
    assert {f.part for f in answer.adopted if f.shared} == {"post-fr"}
    assert [(moved.piece, moved.by) for moved in answer.moved] == [
        (piece, ("post-fr.turn",)) for piece in ("tom-2", "tom-3", "crash-2", "block")
    ]
    assert open_page(book / f"{answer.page}.toml").page.setting("post-fr.turn").page == FILL_IN


def test_what_was_not_measured_stays_and_says_why(book: Path) -> None:
    path = book / f"{BACK}.toml"
    text = path.read_text()
    for key, line in {
        "throne.x": '{ carried = 9.0, page = "2026-03-20-soundcheck", using = "tape" }',
        "throne.y": "{ open = true }",
        "throne.height": '{ seen = 500.0, page = "2026-03-19-soundcheck", using = "tape" }',
    }.items():
        start = text.index(f"\n{key} = ") + 1
        text = text[:start] + f"{key} = {line}" + text[text.index("\n", start) :]
    path.write_text(text)
    answer = adopt(book, BACK, "throne")
    left = {found.setting: (found.why, found.words) for found in answer.left}
    assert left["throne.x"] == (
        "carried", f"nobody read or saw it on {BACK}: it is of 2026-03-20-soundcheck",
    )  # fmt: skip
    assert left["throne.y"] == ("open", f"it is open on {BACK}")
    seen = next(found for found in answer.adopted if found.setting == "throne.height")
    assert (seen.state, seen.value, seen.reading_page) == ("seen", 500.0, "2026-03-19-soundcheck")
    page = open_page(book / f"{answer.page}.toml").page
    assert page.setting("throne.height") == Setting(
        state="carried", value=500.0, page="2026-03-19-soundcheck", using="tape"
    )
    assert page.setting("throne.x").page == HOME


def test_a_reading_stays_as_sure_as_its_own_instrument_was(book: Path) -> None:
    path = book / f"{BACK}.toml"
    text = path.read_text()
    old = "tape = { u_mm = 1.7, same_mm = 1.0, guess = true }"
    assert old in text
    text = text.replace(old, "laser = { u_mm = 0.2 }\n\ntape = { u_mm = 3.0, same_mm = 4.0 }")
    text = text.replace(
        'level = { u_deg = 0.5, same_deg = 0.3, from = "gravity"',
        'level = { u_deg = 0.5, same_deg = 0.3, from = "joint"',
    )
    start = text.index("\nthrone.x = ") + 1
    text = (
        text[:start]
        + 'throne.x = { read = 1.0, using = "laser" }'
        + text[text.index("\n", start) :]
    )
    path.write_text(text)
    answer = adopt(book, BACK, "throne", "snare")
    page = open_page(book / f"{answer.page}.toml").page
    # u and how well it repeats, together: a u on the line is meant whole.
    assert page.setting("throne.height").u == 5.0
    assert page.by_instrument["tape"].u_mm == 1.7
    assert page.setting("throne.x").u is None
    assert page.by_instrument["laser"].u_mm == 0.2
    tilt = page.setting("snare-basket.tilt")
    assert (tilt.using, tilt.read_from, tilt.u) == ("level", "joint", None)
    told = {found.setting: found for found in answer.adopted}
    assert told["throne.height"].u == 5.0
    assert told["snare-basket.tilt"].read_from == "joint"


def test_what_else_is_told_of_a_part_stays_homes_and_is_said(book: Path) -> None:
    path = book / f"{BACK}.toml"
    path.write_text(path.read_text().replace('serial = "S-2"', 'serial = "S-3"'))
    answer = adopt(book, BACK, "snare")
    assert [detail.model_dump() for detail in answer.kept] == [
        {"part": "snare", "part_name": "Snare", "field": "serial", "page": '"S-3"', "home": '"S-2"'}
    ]
    assert open_page(book / f"{answer.page}.toml").page.by_id["snare"].serial == "S-2"


def test_comments_of_parts_and_kinds_travel_and_initials_stand_in_the_notes(book: Path) -> None:
    answer = adopt(book, BACK, "snare", "throne", by="KD")
    text = (book / f"{answer.page}.toml").read_text()
    assert "tube = 36.9  # measured: the old tube, from another rack\n" in text
    assert 'felt_colour = "red"\n' in text
    assert 'reason = "lower since the injury"\n' in text
    assert f'KD = "Adopted from {BACK}: snare and throne."\n' in text
    assert answer.page == "2026-03-22-home-snare-and-throne"


def test_the_next_home_is_made_from_the_last_and_the_names_stay_free(book: Path) -> None:
    first = adopt(book, BACK, "snare")
    second = adopt(book, BACK, "throne")
    again = adopt(book, BACK, "throne", from_home="main")
    assert [a.home for a in (first, second, again)] == [
        "main 2026-03-22", "main 2026-03-22 (2)", "main 2026-03-22 (3)",
    ]  # fmt: skip
    assert (second.old_home, second.old_page) == ("main 2026-03-22", first.page)
    assert again.page == f"{second.page}-2"
    page = open_page(book / f"{second.page}.toml").page
    assert page.setting("snare-stand.height").page == BACK
    assert page.setting("kick.x").page == HOME
    assert [name for name, _ in read_book(book).book.homes] == [
        again.home, second.home, first.home, "main", "fill-in",
    ]  # fmt: skip


def test_many_pieces_or_long_names_make_no_long_file_name(book: Path) -> None:
    answer = adopt(book, BACK, "snare", "throne", "kick", "ride")
    assert answer.page == "2026-03-22-home-4-pieces"
    path = book / f"{FILL_IN}.toml"
    text = path.read_text().replace('role = "throne"', f'role = "{"thröne " * 20}"')
    path.write_text(text)
    assert adopt(book, FILL_IN, "throne", from_home="main").page == "2026-03-21-home-1-piece"


def test_a_new_home_is_no_nights_last_page_and_a_night_carries_no_reason(book: Path) -> None:
    answer = adopt(book, BACK, "snare")
    assert list_book(book).pages[-1].name == answer.page
    for meant in (book, book / "2026-03-22"):
        assert find_page(str(meant), Path()).stem == BACK
    assert find_page(str(book / answer.home), Path()).stem == answer.page
    assert find_page(str(book / "main"), Path()).stem == HOME
    begun = start_page(book, book / f"{answer.page}.toml", START)
    assert begun.page.head.reason == ""
    assert "reason" not in begun.text
    assert not begun.page.head.closed


def test_a_book_of_new_homes_alone_still_has_a_last_page(tmp_path: Path) -> None:
    (tmp_path / BOOK_FILE).write_text('title = "x"\n')
    (tmp_path / "2025-03-14-home.toml").write_text(
        PAGE.replace("closed = false\n", 'closed = true\nreason = "lower"\n')
    )
    for meant in (tmp_path, tmp_path / "2025-03-14"):
        assert find_page(str(meant), Path()).stem == "2025-03-14-home"


def test_a_whole_page_is_named_as_it_is(book: Path) -> None:
    before = contents(book)
    answer = adopt_page(book, book / f"{BACK}.toml", "rest night", reason="a # smaller\nriser")
    assert (answer.page, answer.made, answer.first, answer.adopted) == (BACK, False, False, ())
    after = contents(book)
    assert {n for n in after if before.get(n) != after[n]} == {BOOK_FILE}
    line = f'"rest night" = "{BACK}"  # a # smaller␊riser'
    lines = after[BOOK_FILE].decode().split("\n")
    at = lines.index(line)
    assert "\n".join(lines[: at - 1] + lines[at + 1 :]).encode() == before[BOOK_FILE]
    assert [name for name, _ in read_book(book).book.homes] == ["main", "fill-in", "rest night"]
    assert adopt_page(book, book / f"{BACK}.toml", "now", first=True).first
    assert read_book(book).book.home() == BACK
