"""The lines below the rows of the rack: what is measured, what an entry would do, what was said."""

from __future__ import annotations

import asyncio
from pathlib import Path

from tests.rack_stage import SECOND, keyed
from tests.test_tui_drawing import rack_at, settle
from tests.test_tui_pilot import app_on, rack_of
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


def test_a_part_at_fault_says_so_where_the_places_are_worked_out(tmp_path: Path) -> None:
    async def scene() -> None:
        app = app_on(tmp_path / "tour")
        page = tmp_path / "tour" / f"{SECOND}.toml"
        page.write_text(page.read_text("utf-8").replace("sagitta = 100", "sagitta = 900"), "utf-8")
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            rack = rack_of(app)
            rack.state = rack.state.shown_row("bar.grip_a")
            await pilot.press("v")
            await settle(pilot)
            line = line_text(rack.detail_bars[0].cells, 80)
            assert line.startswith(
                "at fault: its sagitta of 900 mm is too much for an arc of 1026 mm"
            )
            rack.state = rack.state.shown_row("bar")
            await pilot.press("v", "v")
            assert line_text(rack.detail_bars[0].cells, 80) == line, "its own row as well"
            await pilot.press("up")
            assert rack.state.row.owner != "bar"
            assert "at fault" not in line_text(rack.detail_bars[0].cells, 80)

    asyncio.run(scene())
