"""What the book says of instruments and kinds when a page begins, and the page itself does not."""

from __future__ import annotations

import pytest

from model.book.read import parse_page
from model.readings.instruments import Instrument
from model.rig.kind import Joint, Kind
from tests.beginning import begun, source
from tests.shapes import PAGE


def test_the_book_s_instruments_take_the_place_of_the_page_s_own() -> None:
    laser = Instrument(id="laser", u_mm=0.4)
    tape = Instrument(id="tape", u_mm=0.9)
    text = PAGE.replace(
        "teeth = { u_teeth", "laser = { u_mm = 0.2 }\n\nrod = { u_mm = 3.0 }\n\nteeth = { u_teeth"
    )
    text = text.replace("kick.spur = { open = true }", 'kick.spur = { read = 90.0, using = "rod" }')
    _, page = begun(source(text), instruments=(tape, laser))
    assert page.by_instrument["tape"] == tape
    assert page.by_instrument["laser"] == laser
    assert page.by_instrument["rod"].u_mm == 3.0, "a carried reading's instrument stays"
    assert [i.id for i in page.instruments] == [
        "eye", "laser", "level", "protractor", "rod", "seen", "tape", "teeth",
    ]  # fmt: skip


def test_a_generic_guess_takes_the_place_of_nothing_that_was_stated() -> None:
    text = PAGE.replace("tape = { u_mm = 1.7, same_mm = 1.0", "tape = { u_mm = 0.4, same_mm = 0.2")
    assert text != PAGE
    _, page = begun(source(text), instruments=())
    assert (page.by_instrument["tape"].u_mm, page.by_instrument["tape"].same_mm) == (0.4, 0.2)
    assert "protractor" in page.by_instrument  # the page had none


def _ball_arm(*joints: Joint) -> Kind:
    return Kind(id="ball-arm", name="arm of the book", joints=joints)


def test_a_kind_of_the_book_with_another_joint_gives_it_an_open_line() -> None:
    page = source(PAGE).page
    new = _ball_arm(*page.by_kind["ball-arm"].joints, Joint(id="swing", turns="z"))
    text, after = begun(source(PAGE), book_kinds=(new, Kind(id="aa", name="unused yet")))
    assert after.by_kind["ball-arm"] == new
    assert "[kind.aa]" in text
    assert "\ntom-arm.swing = { open = true }\n" in text
    assert after.setting("tom-arm.slide").value == 85.0


def test_a_setting_whose_joint_the_book_has_taken_away_is_kept_and_flagged() -> None:
    new = _ball_arm(Joint(id="spin", turns="-z"))
    text, after = begun(source(PAGE), book_kinds=(new,))
    assert "\ntom-arm.slide = { carried = 85.0, " in text
    assert after.setting("tom-arm.slide").value == 85.0
    flags = [p.key for p in parse_page(text).problems if p.code == "unknown-setting"]
    assert flags == ["record.tom-arm.slide", "record.tom-arm.tilt"]


@pytest.mark.parametrize("teeth", [None, 24])
def test_a_carried_value_that_the_book_s_kind_measures_otherwise_is_open_and_noted(
    teeth: int | None,
) -> None:
    """An angle cannot be carried as a tooth, nor a tooth as an angle: nobody has read that."""
    kind = Kind(
        id="boom-on-clamp",
        name="boom of the book",
        joints=(
            Joint(id="place", slides="rail"),
            Joint(id="spin", turns="rail", teeth=teeth),
            Joint(id="tilt", turns="x", teeth=teeth),
        ),
    )
    _, page = begun(source(PAGE), book_kinds=(kind,))
    changed, other = ("tilt", "spin") if teeth is None else ("spin", "tilt")
    setting = page.setting(f"rear-boom.{changed}")
    assert setting.state == "open"
    assert setting.note is not None
    assert {"tilt": "was 4 teeth, ", "spin": "was 170 degrees, "}[changed] in setting.note
    assert page.setting(f"rear-boom.{other}").state == "carried"
