"""Text can be read: contrast by W3C's definition, for every role of every look, on the cursor too.

Source: W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3 (at least 4.5 to 1)
and its definitions of relative luminance and contrast ratio.
"""

from __future__ import annotations

import pytest
from rich.style import Style
from rich.terminal_theme import TerminalTheme

from tui.looks.choice import LOOKS, LOOKS_16, chosen_look, look_after
from tui.looks.look import ROLES, Look

Rgb = tuple[int, int, int]
LEAST = 4.5

# The sixteen colours as two common terminals draw them; both palettes from memory.
VGA: list[Rgb] = [
    (0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0), (0, 0, 170), (170, 0, 170), (0, 170, 170),
    (170, 170, 170), (85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85), (85, 85, 255),
    (255, 85, 255), (85, 255, 255), (255, 255, 255),
]  # fmt: skip
XTERM: list[Rgb] = [
    (0, 0, 0), (205, 0, 0), (0, 205, 0), (205, 205, 0), (0, 0, 238), (205, 0, 205), (0, 205, 205),
    (229, 229, 229), (127, 127, 127), (255, 0, 0), (0, 255, 0), (255, 255, 0), (92, 92, 255),
    (255, 0, 255), (0, 255, 255), (255, 255, 255),
]  # fmt: skip


def luminance(colour: Rgb) -> float:
    """Return W3C's relative luminance of an sRGB colour."""
    parts = [channel / 255 for channel in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Rgb, other: Rgb) -> float:
    """Return W3C's contrast ratio of two colours."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_values() -> None:
    # Source: black on white is 21:1 by the definition itself; #767676 and #777777 on white are the
    # greys on either side of 4.5:1, commonly published as 4.54 and 4.48.
    white = (255, 255, 255)
    assert contrast((0, 0, 0), white) == pytest.approx(21.0)
    assert contrast((0x76, 0x76, 0x76), white) == pytest.approx(4.54, abs=0.005)
    assert contrast((0x77, 0x77, 0x77), white) == pytest.approx(4.48, abs=0.005)


def colours(style: Style, palette: list[Rgb]) -> tuple[Rgb, Rgb]:
    theme = TerminalTheme((0, 0, 0), (255, 255, 255), palette[:8], palette[8:])
    assert style.color is not None
    assert style.bgcolor is not None
    fore = tuple(style.color.get_truecolor(theme))
    back = tuple(style.bgcolor.get_truecolor(theme))
    return (fore[0], fore[1], fore[2]), (back[0], back[1], back[2])


COLOURED = [(look, VGA) for look in LOOKS.values() if not look.terminal_colours]
COLOURED += [
    (look, palette)
    for look in LOOKS_16.values()
    for palette in (VGA, XTERM)
    if look.name != "plain"
]


@pytest.mark.parametrize(("look", "palette"), COLOURED)
@pytest.mark.parametrize("on_cursor", [False, True])
def test_every_role_can_be_read(look: Look, palette: list[Rgb], on_cursor: bool) -> None:
    too_little = {
        role: round(ratio, 2)
        for role in ROLES
        if (ratio := contrast(*colours(look.style(role, on_cursor), palette))) < LEAST
    }
    assert too_little == {}


def test_the_plain_look_has_no_colour_at_all() -> None:
    for role in ROLES:
        style = LOOKS["plain"].style(role)
        assert style.color is None
        assert style.bgcolor is None


@pytest.mark.parametrize(
    ("environ", "name", "few"),
    [
        ({"TERM": "xterm-256color"}, "dark stage", False),
        ({"TERM": "xterm", "COLORTERM": "truecolor"}, "daylight", False),
        ({"TERM": "linux"}, "dark stage", True),
        ({"TERM": "screen"}, "daylight", True),
        ({}, "dark stage", True),
    ],
)
def test_a_terminal_gets_what_it_can_draw(environ: dict[str, str], name: str, few: bool) -> None:
    look = chosen_look(name, environ)
    assert look.name == name
    assert look.terminal_colours is few


def test_no_color_is_plain_and_stays_so() -> None:
    environ = {"NO_COLOR": "1", "TERM": "xterm-256color"}
    assert chosen_look("daylight", environ).name == "plain"
    assert look_after(LOOKS["plain"], environ).name == "plain"


def test_three_looks_in_turn() -> None:
    look, seen = LOOKS["dark stage"], []
    for _ in range(3):
        look = look_after(look, {"TERM": "xterm-256color"})
        seen.append(look.name)
    assert seen == ["daylight", "plain", "dark stage"]
