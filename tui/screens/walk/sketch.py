"""Small drawings of what is measured: from where to where the tape or the level goes."""

from __future__ import annotations

from model.rig.declared import Declared
from model.rig.page import Page
from model.rig.part import Bar, Post

UPRIGHT = {
    "top": (
        "    | |      ",
        "  ┌─┴─┴─┐ ─┬─",
        "  │clamp│  │ ",
        "  └─┬─┬─┘  │ ",
        "    | |    │ ",
        "    | |    │ ",
        " ═══╧═╧════╧═",
    ),
    "bottom": (
        "    | |      ",
        "  ┌─┴─┴─┐    ",
        "  │clamp│    ",
        "  └─┬─┬─┘ ─┬─",
        "    | |    │ ",
        "    | |    │ ",
        " ═══╧═╧════╧═",
    ),
    "centre": (
        "    | |      ",
        "  ┌─┴─┴─┐    ",
        "  │clamp│ ─┬─",
        "  └─┬─┬─┘  │ ",
        "    | |    │ ",
        "    | |    │ ",
        " ═══╧═╧════╧═",
    ),
}
ALONG_BAR = (
    "  ├─────────┤         ",
    "            ┌─────┐   ",
    "A ══════════│clamp│══ B",
    "            └─────┘   ",
)
FROM_B = (
    "              ├───────┤",
    "      ┌─────┐          ",
    "A ════│clamp│═════════ B",
    "      └─────┘          ",
)
TURN = (
    "     0        ",
    "     │   ╱ +  ",
    "     │  ╱     ",
    "     │ ╱      ",
    "     o        ",
    " seen from above",
)
ROUND_BAR = (
    "      0       ",
    "      │  ╱ +  ",
    "    ╭─┴─╮╱    ",
    "    │ o │     ",
    "    ╰───╯     ",
    " seen from end B",
)
TILT = (
    "          ╱ + ",
    "       ╱      ",
    "    ╱  )      ",
    " ───────────  ",
)
OUT = (
    "  ┌────┐         ",
    "  │    ╞════════o",
    "  └────┘         ",
    "       ├────────┤",
)
RIGHT_OF = (
    "    ┆         ",
    "    ┆     ▣   ",
    "    ├─────┤   ",
    "    ┆         ",
    "    ╋  zero mark",
)
AHEAD_OF = (
    "    ┆         ",
    "  ┬ ┆     ▣   ",
    "  │ ┆         ",
    "  │ ┆         ",
    "  ┴ ╋  zero mark",
)
UP = (
    "  ▁▁▁▁▁   ─┬─",
    "    │      │ ",
    "    │      │ ",
    " ═══╧══════╧═",
)
GAP = (
    "  ────┐   ┌────",
    "      ├───┤    ",
)
TAPES = (
    "        ▣      ",
    "      ╱   ╲    ",
    "    ╱       ╲  ",
    "   ╋         ╋ ",
    "  first    second mark",
)

_OUTWARD = frozenset({"reach", "slide", "rod", "bracket", "rise", "clutch", "spur", "leg", "grip"})


def sketch_for(page: Page, declared: Declared) -> tuple[str, ...]:
    """Return the drawing of what a setting measures; nothing for a dial without geometry."""
    name = declared.name
    if declared.is_spot:
        return GAP if name == "gap" else UP
    if name.startswith("dial.") or declared.owner == "floor":
        return ()
    part = page.by_id[declared.owner]
    carrier = page.by_id.get(part.on[0])
    if name in ("from_1", "from_2"):
        return TAPES
    if name == "x":
        return RIGHT_OF
    if name == "y":
        return AHEAD_OF
    if name in ("height", "place") and isinstance(carrier, Post):
        edge = {"far": "top", "near": "bottom"}.get(part.edge or "centre", part.edge or "centre")
        return UPRIGHT[edge]
    if name == "place" or (isinstance(part, Bar) and name.startswith("grip")):
        return FROM_B if part.measured_from == "B" else ALONG_BAR
    if name == "height":
        return UP
    if name in ("turn", "heading") or (name == "spin" and isinstance(carrier, Post)):
        return TURN
    if name == "spin" and isinstance(carrier, Bar):
        return ROUND_BAR
    if declared.quantity in ("angle", "teeth"):
        return TURN if name.endswith("spin") else TILT
    return OUT if name.split("_")[0] in _OUTWARD else ()
