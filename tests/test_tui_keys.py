"""Every key once: no clashes, none that a terminal keeps, and the user's own in their place."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args

import pytest

from model.errors import CannotDo
from tui.keys import ACTIONS, ENTRY_STARTS, TAKEN_OUTSIDE, Keys, ScreenName, clashes
from tui.screens.rack import press as rack_press
from tui.widgets.cursor import moved


def test_no_key_is_there_twice_on_a_screen() -> None:
    assert clashes(ACTIONS) == []
    assert len({action.id for action in ACTIONS}) == len(ACTIONS)


def test_no_key_is_one_that_terminals_keep() -> None:
    assert not {action.key for action in ACTIONS} & TAKEN_OUTSIDE


def test_every_action_of_the_rack_does_something() -> None:
    for action in ACTIONS:
        if "rack" in action.screens:
            is_move = moved(action.id, 0, 1, 1) is not None
            assert is_move or action.id in rack_press.ACTIONS, action.id


@pytest.mark.parametrize("screen", get_args(ScreenName))
def test_footers_fit_80_columns_and_help_tells_every_key(screen: ScreenName) -> None:
    keys = Keys()
    assert 0 < len(keys.footer(screen)) <= 80
    told = keys.help_lines(screen)
    assert len(told) == sum(screen in action.screens for action in ACTIONS)
    assert all(len(line) <= 80 for line in told)
    actions = [action for action in ACTIONS if screen in action.screens]
    column = {line.rindex(f"  {action.id}") for line, action in zip(told, actions, strict=True)}
    assert len(column) == 1, "the names stand below each other, apart from what they do"


def test_own_keys_take_the_place_of_the_usual_ones() -> None:
    keys = Keys({"undo": "k"})
    assert keys.action("rack", "k") == "undo"
    assert keys.action("rack", "u") is None


@pytest.mark.parametrize(
    ("own", "what"),
    [
        ({"undo": "r"}, "there twice"),
        ({"undo": "ctrl+b"}, "cannot be a key"),
        ({"undo": "alt+u"}, "cannot be a key"),
        ({"undo": "7"}, "cannot be a key"),
        ({"undoo": "k"}, "no such action"),
    ],
)
def test_own_keys_that_cannot_be_are_refused_with_the_reason(
    own: dict[str, str], what: str
) -> None:
    with pytest.raises(CannotDo) as refused:
        Keys(own)
    assert what in refused.value.text()
    assert "right:" in refused.value.text()


def test_entries_begin_with_digits_signs_and_fractions() -> None:
    begins: Callable[[str], bool] = ENTRY_STARTS.__contains__
    assert all(map(begins, "0123456789.+-=½"))
