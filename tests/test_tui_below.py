"""The lines below the rows of the rack: what is measured, what an entry would do, what was said."""

from __future__ import annotations

from tests.rack_stage import keyed
from tests.test_tui_drawing import rack_at
from tui.screens.rack.cells import origin, setting_detail
from tui.screens.rack.prompt_cells import bottom_cells
from tui.widgets.line import line_text


def test_what_one_must_know_to_measure_is_cut_after_who_read_it() -> None:
    told, rack = 0, rack_at("throne.x")
    for key, declared in rack.page.declared.items():
        state = rack.shown_row(key)
        text = line_text(setting_detail(state), 500)
        assert text.startswith(declared.label)
        if declared.zero:
            told += 1
            history = text.index(origin(state.page.setting(key)))
            assert text.index(declared.measured) < text.index(f"; 0 {declared.zero}") < history, key
    assert told > 20
    line = line_text(setting_detail(rack_at("throne.height")), 80)
    assert line.startswith("height: rug to the seat's top; + up; 0 the rug; read by KD with t")


def test_the_zero_stays_to_be_seen_beside_what_an_entry_does() -> None:
    state = keyed(rack_at("throne.height"), "500")

    def shown(effect: str, width: int) -> list[str]:
        first, last, _ = bottom_cells(state, width, effect)
        return [line_text(first, width), line_text(last, width)]

    assert shown("Throne up", 40)[0] == "Throne up" + "+ up; 0 the rug".rjust(31)
    long = "Throne " + "x" * 60
    first, last = shown(long, 80)
    assert first.rstrip() == long, "where it has no room it goes to the line below"
    assert last.startswith("= 500 mm, ")
    assert last.endswith("  + up; 0 the rug")
    assert shown("x" * 29, 40)[0] == f"{'x' * 29}  0 the rug", "or the zero alone"
    assert all("the rug" not in line for line in shown("x" * 30, 40))
