"""An entry at stage side, how a value is shown, and how sure an instrument is."""

from __future__ import annotations

import pytest

from model.readings.angles import show_angle, show_teeth, turn_between
from model.readings.entry import Asked, parse_entry, show_value
from model.readings.instruments import GENERIC_INSTRUMENTS, SEEN, Instrument
from model.readings.lengths import show_length
from model.readings.quantity import LengthUnit, Quantity, Refusal, Taken, same_value

LENGTH = Asked("length", "mm", 812.8)
INCH = Asked("length", "in", 812.8)
# what is asked, typed, the value, whether it came from the known one
ENTRIES: list[tuple[Asked, str, float | int | str, bool]] = [
    (LENGTH, "812", 812.0, False),
    (LENGTH, "=", 812.8, True),
    (LENGTH, " = ", 812.8, True),
    (LENGTH, "++12", 824.8, True),
    (LENGTH, "--12", 800.8, True),
    (LENGTH, '--1/4"', 806.45, True),
    (LENGTH, "−−12", 800.8, True),
    (INCH, "++1/16", 814.3875, True),
    (INCH, "++ ½", 825.5, True),
    (INCH, "-12", -304.8, False),
    (Asked("angle", known=-10.0), "++2.5", -7.5, True),
    (Asked("angle", known=10.0), "-12.5", -12.5, False),
    (Asked("teeth", known=3, tooth_deg=15.0), "--1", 2, True),
    (Asked("teeth", known=3, tooth_deg=15.0), "++2t", 5, True),
    (Asked("teeth", known=3, tooth_deg=15.0), "++15°", 4, True),
    (Asked("teeth", tooth_deg=15.0), "45°", 3, False),
    (Asked("number", unit_name="turns"), "2½ turns", 2.5, False),
    (Asked("number", unit_name="turns"), "2,5", 2.5, False),
    (Asked("number", unit_name="turns", known=2.0), "--0.5", 1.5, True),
    (Asked("number"), "-3", -3.0, False),
    (Asked("word"), " third notch ", "third notch", False),
    (Asked("word"), "++12", "++12", False),
    (Asked("word", known="third notch"), "=", "third notch", True),
    (Asked("word"), "32 3/16", "32 3/16", False),
]


@pytest.mark.parametrize(("asked", "typed", "value", "relative"), ENTRIES)
def test_an_entry_is_a_value_or_a_change_of_the_known_one(
    asked: Asked, typed: str, value: float | int | str, relative: bool
) -> None:
    assert parse_entry(typed, asked) == Taken(value, relative)
    assert type(parse_entry(typed, asked).value) is type(value)  # type: ignore[union-attr]


# what is asked, typed, a word of the reason
REFUSED: list[tuple[Asked, str, str]] = [
    (LENGTH, "", "nothing was typed"),
    (LENGTH, "   ", "nothing was typed"),
    (Asked("length"), "=", "there is none"),
    (Asked("length"), "++12", "there is none"),
    (LENGTH, "++", "no number"),
    (LENGTH, "++-12", "without a sign"),
    (LENGTH, "--+12", "without a sign"),
    (LENGTH, "++1,016", "could be"),
    (LENGTH, "++100000", "more than such a setting can be"),
    (Asked("angle", known=700.0), "++21", "more than such a setting can be"),
    (Asked("teeth", known=999), "++2", "more than such a setting can be"),
    (Asked("number", known=999_999.5), "++1", "more than such a setting can be"),
    (Asked("number"), "1000001", "a million at most"),
    (Asked("number", unit_name="turns"), "2 kg", "not a number"),
    (Asked("word"), "\x1b[2J", "control characters"),
    (Asked("word"), "a\nb", "control characters"),
    (Asked("word"), "x" * 201, "longer than 200"),
]


@pytest.mark.parametrize(("asked", "typed", "why"), REFUSED)
def test_an_entry_that_is_no_value_is_refused_with_an_example(
    asked: Asked, typed: str, why: str
) -> None:
    refused = parse_entry(typed, asked)
    assert isinstance(refused, Refusal)
    assert why in refused.why
    assert refused.right


SHOWN: list[tuple[Quantity, LengthUnit, float | int | str, str]] = [
    ("length", "mm", 812.8, "812.8 mm"),
    ("length", "mm", 812.84, "812.8 mm"),
    ("length", "mm", -0.01, "0 mm"),
    ("length", "cm", 812.8, "81.28 cm"),
    ("length", "in", 812.8, '32"'),
    ("length", "in", 817.5625, '32 3/16"'),
    ("length", "in", 812.0, '~31 15/16"'),
    ("length", "in", 0.396875, '1/64"'),
    ("length", "in", -6.35, '-1/4"'),
    ("length", "in", 0.0, '0"'),
    ("length", "in", -0.5, '~0"'),
    ("length", "in-decimal", 817.5625, '32.188"'),
    ("angle", "mm", -12.5, "-12.5°"),
    ("angle", "mm", 12.346, "12.35°"),
    ("angle", "mm", -0.001, "0°"),
    ("teeth", "mm", 3, "3t (45°)"),
    ("teeth", "mm", -2, "-2t (-30°)"),
    ("number", "mm", 2.5, "2.5 turns"),
    ("word", "mm", "third notch", "third notch"),
]


@pytest.mark.parametrize(("quantity", "unit", "value", "text"), SHOWN)
def test_a_value_is_shown_as_its_reader_wants_it(
    quantity: Quantity, unit: LengthUnit, value: float | int | str, text: str
) -> None:
    assert show_value(value, Asked(quantity, unit, None, 15.0, "turns")) == text


def test_teeth_without_a_ratchet_are_a_count() -> None:
    assert show_teeth(3) == "3t"


@pytest.mark.parametrize(
    ("before", "after", "turn"),
    [(350, 10, 20), (10, 350, -20), (0, 180, 180), (0, -180, 180), (90, 90, 0), (-720, 725, 5)],
)
def test_a_turn_goes_the_short_way_round(before: float, after: float, turn: float) -> None:
    assert turn_between(before, after) == turn


def test_same_values_are_the_same_to_a_millionth() -> None:
    assert same_value(812.8, 812.8 + 4e-7)
    assert not same_value(812.8, 812.800001)
    assert same_value("third", "third")
    assert not same_value("3", 3)


def test_an_instrument_states_its_uncertainty_or_none() -> None:
    tape = Instrument(id="tape", u_mm=1.7, same_mm=1.0)
    assert tape.uncertainty("length") == 1.7
    assert tape.repeatability("length") == 1.0
    assert tape.uncertainty("angle") is None
    assert tape.repeatability("angle") is None
    level = Instrument(id="level", u_deg=0.5)
    assert level.repeatability("angle") == 0.5, "where none is stated, that of one reading"
    assert Instrument(id="teeth", u_teeth=0.0).uncertainty("teeth") == 0.0
    assert tape.uncertainty("word") is None
    assert tape.uncertainty("number") is None


def test_the_generic_instruments_say_that_their_figures_are_guesses() -> None:
    """A tape's ±3 mm is a bound: u = 3/√3 = 1.73 (JCGM 100:2008, 4.3.7). The 3 is from memory."""
    by_id = {instrument.id: instrument for instrument in GENERIC_INSTRUMENTS}
    assert by_id["tape"].u_mm == pytest.approx(3 / 3**0.5, abs=0.05)
    assert all(instrument.guess for name, instrument in by_id.items() if name != "teeth")
    assert by_id[SEEN].uncertainty("length") == 1.0
    assert by_id["level"].read_from == "gravity"
    assert show_length(by_id["tape"].u_mm or 0, "mm") == "1.7 mm"
    assert show_angle(by_id["level"].u_deg or 0) == "0.5°"
