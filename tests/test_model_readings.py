"""What people write for a length, an angle or a count of teeth, what it means, what is refused."""

from __future__ import annotations

import pytest

from model.readings.angles import parse_angle, parse_teeth
from model.readings.lengths import parse_length
from model.readings.quantity import LengthUnit, Refusal

# typed, the reader's unit, millimetres (by hand: an inch is 25.4 mm)
LENGTHS: list[tuple[str, LengthUnit, float]] = [
    ("812", "mm", 812.0),
    ("812", "cm", 8120.0),
    ("32", "in", 812.8),
    ("32.5", "in-decimal", 825.5),
    ("812.8", "mm", 812.8),
    ("812,8", "mm", 812.8),
    ("0,5", "mm", 0.5),
    (",5", "mm", 0.5),
    (".5", "mm", 0.5),
    ("5.", "mm", 5.0),
    ("1016.25", "mm", 1016.25),
    ("1,0165", "mm", 1.0165),
    ("1,01", "mm", 1.01),
    ("1.016", "mm", 1.016),
    ("81.2cm", "mm", 812.0),
    ("81,2 cm", "in", 812.0),
    ("812mm", "in", 812.0),
    ("812 MM", "in", 812.0),
    ("1.2 m", "mm", 1200.0),
    ('32"', "mm", 812.8),
    ("32 in", "mm", 812.8),
    ("32in.", "mm", 812.8),
    ("1 inch", "mm", 25.4),
    ("2 inches", "mm", 50.8),
    ("32''", "mm", 812.8),
    ("32”", "mm", 812.8),
    ("32″", "mm", 812.8),
    ("32 3/16", "in", 817.5625),
    ('32 3/16"', "mm", 817.5625),
    ("32-3/16", "in", 817.5625),
    ("32 - 3/16", "in", 817.5625),
    ("3/16", "in", 4.7625),
    ("3/16", "in-decimal", 4.7625),
    ("7/8", "in", 22.225),
    ("1/64", "in", 0.396875),
    ("63/64", "in", 25.003125),
    ("12½", "in", 317.5),
    ("12 ½", "in", 317.5),
    ("½", "in", 12.7),
    ("¼", "in", 6.35),
    ("¾", "in", 19.05),
    ("⅛", "in", 3.175),
    ("⅜", "in", 9.525),
    ("⅝", "in", 15.875),
    ("⅞", "in", 22.225),
    ("2⅓", "in", 59.266667),
    ("12½cm", "mm", 125.0),
    ("12⁄16", "in", 19.05),
    ("2'", "mm", 609.6),
    ("2'8", "mm", 812.8),
    ("2' 8\"", "mm", 812.8),
    ("2' 8 1/2\"", "mm", 825.5),
    ("2’ 8½”", "mm", 825.5),
    ("2′8½″", "mm", 825.5),
    ("2 ft 8 in", "mm", 812.8),
    ("2ft", "mm", 609.6),
    ("2 feet 8 inches", "mm", 812.8),
    ("0' 6\"", "mm", 152.4),
    ("-12", "mm", -12.0),
    ("−12", "mm", -12.0),
    ("–12", "mm", -12.0),
    ("+12", "mm", 12.0),
    ('-1/4"', "mm", -6.35),
    ("- 2' 8\"", "mm", -812.8),
    ("  812  ", "mm", 812.0),
    ("8\u00a0\u00bd", "in", 215.9),
    ("८१२", "mm", 812.0),
    ("0", "mm", 0.0),
    ("-0", "mm", 0.0),
    ("100000", "mm", 100_000.0),
    ("0.1234567", "mm", 0.123457),
]
# typed, the reader's unit, a word of the reason
REFUSED_LENGTHS: list[tuple[str, LengthUnit, str]] = [
    ("1,016", "mm", "could be 1016 or 1.016"),
    (",016", "mm", "could be 016 or 0.016"),
    ("12,345 mm", "mm", "could be"),
    ("1,234,567", "mm", "more than one decimal mark"),
    ("1.234.567", "mm", "more than one decimal mark"),
    ("1.016,5", "mm", "more than one decimal mark"),
    ("32 3/16", "mm", "fraction without a unit"),
    ("½", "cm", "fraction without a unit"),
    ("32 17/16", "in", "a whole or more"),
    ("32 16/16", "in", "a whole or more"),
    ("1/0", "in", "divides by nothing"),
    ("3 / 16 / 2", "in", "not a number"),
    ("", "mm", "no number"),
    ("mm", "mm", "not a number"),
    ("nan", "mm", "no measure"),
    ("inf", "mm", "no measure"),
    ("-Infinity", "mm", "no measure"),
    ("true", "mm", "a word where a number is needed"),
    ("1e3", "mm", "exponent"),
    ("812 kg", "mm", "not a unit of length"),
    ("12°", "mm", "not a unit of length"),
    ("3t", "mm", "not a unit of length"),
    ("2' 13\"", "mm", "inches below 12"),
    ("2.5' 3\"", "mm", "whole feet"),
    ("2' 8 mm", "mm", "not in inches"),
    ("100001", "mm", "over 100 m"),
    ("101 m", "mm", "over 100 m"),
    ("9999999999", "mm", "too long"),
    ("--12", "mm", "not a number"),
    ("+-12", "mm", "not a number"),
    ("8²", "mm", "not a number"),
    ("0x10", "mm", "not a number"),
    ("1_000", "mm", "not a number"),
    ("12 13", "mm", "not a number"),
    ("812\x1b[2J", "mm", "not a unit of length"),
    ("812\x1b[2", "mm", "not a number"),
]
ANGLES: list[tuple[str, float]] = [
    ("12.5", 12.5),
    ("12.5°", 12.5),
    ("12,5 °", 12.5),
    ("12 1/2", 12.5),
    ("12½°", 12.5),
    ("-35", -35.0),
    ("−35º", -35.0),
    ("+35", 35.0),
    ("35 deg", 35.0),
    ("35 degrees", 35.0),
    ("35˚", 35.0),
    ("720", 720.0),
    ("-0", 0.0),
]
TEETH: list[tuple[str, int]] = [
    ("3", 3),
    ("3t", 3),
    ("3 t", 3),
    ("-2t", -2),
    ("1 tooth", 1),
    ("4 teeth", 4),
    ("45°", 3),
    ("-30°", -2),
    ("48.7°", 3),
    ("41.3°", 3),
    ("0", 0),
    ("6/2", 3),
]


@pytest.mark.parametrize(("typed", "unit", "mm"), LENGTHS)
def test_a_length_is_read_as_it_is_written(typed: str, unit: LengthUnit, mm: float) -> None:
    read = parse_length(typed, unit)
    assert isinstance(read, float)
    assert read == pytest.approx(mm, abs=5e-7)
    assert str(read) != "-0.0"
    assert read == round(read, 6)


@pytest.mark.parametrize(("typed", "unit", "why"), REFUSED_LENGTHS)
def test_a_length_that_could_mean_two_things_or_none_is_refused(
    typed: str, unit: LengthUnit, why: str
) -> None:
    refused = parse_length(typed, unit)
    assert isinstance(refused, Refusal)
    assert why in refused.why
    assert "\x1b" not in refused.text()
    assert refused.right


@pytest.mark.parametrize(("typed", "degrees"), ANGLES)
def test_an_angle_is_read_with_and_without_its_sign(typed: str, degrees: float) -> None:
    assert parse_angle(typed) == degrees
    assert str(parse_angle(typed)) == str(degrees)


@pytest.mark.parametrize("typed", ["721", "-720.5", "12'", '12"', "12 mm", "3t", "", "°", "1,016"])
def test_an_angle_that_is_none_is_refused(typed: str) -> None:
    assert isinstance(parse_angle(typed), Refusal)


@pytest.mark.parametrize(("typed", "teeth"), TEETH)
def test_teeth_are_counted_or_typed_in_degrees(typed: str, teeth: int) -> None:
    """One tooth of 24 turns 15°; up to a quarter of one (3.75°) is a slip of the eye."""
    assert parse_teeth(typed, 15.0) == teeth


@pytest.mark.parametrize("typed", ["3.5", "7½", "3.5t", "52°", "37.5°", "1001", "t", "3mm", "800°"])
def test_teeth_between_teeth_are_refused(typed: str) -> None:
    refused = parse_teeth(typed, 15.0)
    assert isinstance(refused, Refusal)
    assert refused.right


def test_a_tooth_too_far_off_is_refused_with_its_two_neighbours() -> None:
    refused = parse_teeth("52.5°", 15.0)
    assert isinstance(refused, Refusal)
    assert refused.right == "3t (45°) or 4t (60°)"
