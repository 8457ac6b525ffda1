"""Any text, any value: a parser never raises, and what is shown can be typed in again."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from model.clean import clean
from model.readings.angles import parse_angle, parse_teeth, show_angle, show_teeth
from model.readings.entry import Asked, parse_entry, show_value
from model.readings.lengths import parse_length, show_length
from model.readings.quantity import LENGTH_UNITS, LengthUnit, Quantity, Refusal, Taken, Value
from model.rig.setting import Setting
from tests.sizes import examples

QUANTITIES: tuple[Quantity, ...] = ("length", "angle", "teeth", "number", "word")
# What the trade types, in any order; and anything at all.
PIECES = (
    *(
        "812",
        "3/16",
        " ",
        ".",
        ",",
        "-",
        "+",
        "=",
        "++",
        "--",
        "'",
        '"',
        "″",
        "’",
        "½",
        "⅛",
        "°",
        "º",
    ),
    *(
        "t",
        "teeth",
        "mm",
        "cm",
        "m",
        "in",
        "ft",
        "e",
        "nan",
        "inf",
        "−",
        "⁄",
        "/",
        "\u00a0",
        "\u2028",
    ),
    *("\x1b[2J", "²", "Ⅷ", "٣", "turns", "\x00", "1e400", "9" * 30, "İ"),
)
NUMBERS = st.one_of(
    st.integers(0, 3000).map(str),
    st.integers(0, 30_000).map(lambda n: f"{n / 10}"),
    st.integers(0, 30_000).map(lambda n: f"{n / 100:.2f}".replace(".", ",")),
    st.builds(
        "{} {}/{}".format, st.integers(0, 99), st.integers(1, 64), st.sampled_from([8, 16, 64])
    ),
)
RIGHT = st.builds(
    "{}{}{}".format,
    st.sampled_from(["", "", "-", "+", "−"]),
    NUMBERS,
    st.sampled_from(["", "", "mm", " cm", '"', "″", " in", "t", "°"]),
)
TYPED = st.one_of(
    RIGHT,
    RIGHT,
    st.lists(st.sampled_from([*PIECES, *"0123456789"]), max_size=8).map("".join),
    st.text(max_size=20),
)
# Half of what the unit's last shown place is worth, in mm: 0.1 mm, 0.01 cm, 1/16 in, 0.001 in.
HALF_PLACE: dict[LengthUnit, float] = {
    "mm": 0.05,
    "cm": 0.05,
    "in": 25.4 / 32,
    "in-decimal": 0.0127,
}
MANY = settings(max_examples=examples(short=1_000, long=50_000))


@st.composite
def asked(draw: st.DrawFn) -> Asked:
    """Anything that may be asked, with any value known before it."""
    quantity = draw(st.sampled_from(QUANTITIES))
    known: st.SearchStrategy[Value]
    if quantity == "word":
        known = st.text(max_size=10)
    elif quantity == "teeth":
        known = st.integers(-1000, 1000)
    else:
        known = st.floats(-1e6, 1e6).map(lambda x: round(x, 6))
    return Asked(
        quantity,
        draw(st.sampled_from(LENGTH_UNITS)),
        draw(st.none() | known),
        draw(st.none() | st.integers(2, 400).map(lambda teeth: 360.0 / teeth)),
        draw(st.sampled_from(["", "turns", "İ", "µm"])),
    )


@MANY
@given(TYPED, asked())
def test_any_text_is_a_value_that_can_be_recorded_or_a_refusal(typed: str, ask: Asked) -> None:
    answer = parse_entry(typed, ask)
    if isinstance(answer, Refusal):
        assert answer.why
        assert answer.right
        assert clean(answer.text()) == answer.text()
        return
    Setting(state="read", value=answer.value)
    assert isinstance(answer.value, str if ask.quantity == "word" else int | float)
    assert (ask.quantity == "teeth") is (type(answer.value) is int)


@MANY
@given(TYPED, st.sampled_from(LENGTH_UNITS))
def test_what_was_read_shows_as_what_was_written_to_the_last_shown_place(
    typed: str, unit: LengthUnit
) -> None:
    mm = parse_length(typed, unit)
    if isinstance(mm, Refusal):
        return
    shown = show_length(mm, unit)
    again = parse_length(shown.removeprefix("~"), unit)
    assert isinstance(again, float), (shown, again)
    assert abs(again - mm) <= HALF_PLACE[unit] + 1e-6
    assert show_length(again, unit) == shown.removeprefix("~")


@MANY
@given(st.floats(-1e5, 1e5), st.sampled_from(LENGTH_UNITS))
def test_a_length_that_is_shown_can_be_typed_in_again(mm: float, unit: LengthUnit) -> None:
    shown = show_length(mm, unit)
    again = parse_length(shown.removeprefix("~"), unit)
    if isinstance(again, Refusal):
        assert abs(mm) > 99_999, (shown, again)  # rounded up over a hundred metres
        return
    assert abs(again - mm) <= HALF_PLACE[unit] + 1e-6


@MANY
@given(st.integers(-64 * 400, 64 * 400))
def test_every_sixty_fourth_of_an_inch_shows_and_reads_exactly(sixty_fourths: int) -> None:
    inches = Fraction(sixty_fourths, 64)
    whole, rest = divmod(abs(inches), 1)
    typed = f"{'-' if inches < 0 else ''}{whole} {rest}" if rest else str(inches)
    mm = parse_length(typed, "in")
    assert isinstance(mm, float)
    assert Fraction(str(mm)) == inches * Fraction(254, 10)  # six decimals hold it exactly
    shown = show_length(mm, "in")
    assert not shown.startswith("~")
    assert parse_length(shown, "mm") == mm
    assert show_value(mm, Asked("length", "in")) == shown


@MANY
@given(st.integers(-100_000_000, 100_000_000), st.sampled_from(LENGTH_UNITS))
def test_a_comma_means_a_point_unless_three_digits_follow(
    thousandths: int, unit: LengthUnit
) -> None:
    for places in (1, 2, 4, 5):
        point = f"{thousandths / 1_000_000:.{places}f}"
        assert parse_length(point.replace(".", ","), unit) == parse_length(point, unit)
    assert isinstance(parse_length(f"{thousandths / 1e6:.3f}".replace(".", ","), unit), Refusal)


@MANY
@given(st.floats(-720, 720), st.integers(2, 400))
def test_angles_and_teeth_show_and_read_again(degrees: float, teeth: int) -> None:
    again = parse_angle(show_angle(degrees))
    assert isinstance(again, float)
    assert abs(again - degrees) <= 0.005 + 1e-6
    tooth = 360.0 / teeth
    count = round(degrees / tooth)
    assert parse_teeth(show_teeth(count), tooth) == count
    if tooth > 1:  # shown to a hundredth of a degree
        assert parse_teeth(show_angle(count * tooth), tooth) == count


@MANY
@given(TYPED, st.sampled_from(["++", "--"]), asked())
def test_a_change_is_the_known_value_and_the_amount(typed: str, mark: str, ask: Asked) -> None:
    change, amount = parse_entry(f"{mark}{typed}", ask), parse_entry(typed, ask)
    if not isinstance(change, Taken) or not isinstance(amount, Taken) or amount.relative:
        return
    if isinstance(ask.known, str) or isinstance(amount.value, str) or ask.known is None:
        return
    assert change.relative
    expected = ask.known + (amount.value if mark == "++" else -amount.value)
    assert abs(float(change.value) - expected) < 1e-6
