"""A second comparison of two pages, from their TOML alone: no line of it shares the product's code.

Written from the rules: what was read or seen on both pages is compared; a difference counts where
|d| > 2·√(u₁² + u₂²). The same instrument on the same mark counts with its repeatability. A seen
value is as sure as its reading and the look at its mark together, unless both pages look at the
very same reading. Angles that turn go the short way round. Words and a dial's own numbers differ
or do not.
"""

from __future__ import annotations

import tomllib
from math import hypot
from pathlib import Path
from typing import Any

Table = dict[str, Any]


def moved_settings(before: Path, after: Path) -> set[str]:
    """Return the keys of the settings that differ beyond their readings' uncertainty."""
    a, b = (tomllib.loads(path.read_text("utf-8")) for path in (before, after))
    return {key for key, sort in sorts(b).items() if key in sorts(a) and differs(key, sort, a, b)}


def sorts(page: Table) -> dict[str, str]:
    """Return every declared setting and its sort: mm, deg, turn, teeth, word or number."""
    found = {"floor.rug": "mm", "floor.heading": "turn", "floor.slope_ahead": "turn",
             "floor.slope_right": "turn"}  # fmt: skip
    for part_id, part in page["part"].items():
        kind = page["kind"].get(part.get("kind"), {})
        for name in kind.get("chain", []):
            joint = kind[name]
            taped = {"x": "from_1", "y": "from_2"}.get(name, name) if "marks" in part else name
            sort = "mm" if "slides" in joint else "teeth" if "teeth" in joint else "turn"
            found[f"{part_id}.{taped}"] = sort
        for name, unit in part.get("dials", {}).items():
            found[f"{part_id}.dial.{name}"] = {"word": "word", "mm": "mm", "deg": "deg"}.get(
                unit, "number"
            )
    for spot_id, spot in page.get("spot", {}).items():
        found[f"{spot_id}.{'gap' if 'gap' in spot else 'height'}"] = "mm"
    return found


def line(page: Table, key: str) -> Table:
    """Return a setting's inline table."""
    at: Any = page["record"]
    for step in key.split("."):
        at = at[step]
    assert isinstance(at, dict)
    return at


def differs(key: str, sort: str, a: Table, b: Table) -> bool:
    """Tell whether one setting differs beyond what its readings can tell."""
    one, two = line(a, key), line(b, key)
    values = [setting.get("read", setting.get("seen")) for setting in (one, two)]
    if values[0] is None or values[1] is None:
        return False
    if sort in ("word", "number"):
        return bool(values[0] != values[1])
    if sort in ("turn", "deg") and reference(a, one) != reference(b, two):
        return False
    if how_measured(a, key) != how_measured(b, key):
        return False
    d = float(values[1]) - float(values[0])
    if sort == "teeth":
        per_turn = joint_of(b, key)["teeth"]
        d = (d + per_turn // 2) % per_turn - per_turn // 2
    if sort == "turn":
        d = (d + 180.0) % 360.0 - 180.0
    look = {"mm": "u_mm", "deg": "u_deg", "turn": "u_deg", "teeth": "u_teeth"}[sort]
    looks = [page["instrument"]["seen"][look] for page in (a, b)]
    if "seen" in one and "seen" in two and (one["page"], values[0]) == (two["page"], values[1]):
        return abs(d) > 2 * hypot(*looks) and d != 0
    same = one["using"] == two["using"]
    u = [spread(page, setting, look, same) for page, setting in ((a, one), (b, two))]
    for i, setting in enumerate((one, two)):
        if "seen" in setting:
            u[i] = hypot(u[i], looks[i])
    return abs(d) > 2 * hypot(*u) and abs(d) > 5e-7


def joint_of(page: Table, key: str) -> Table:
    """Return the joint of a setting; nothing for a dial, a spot or the floor."""
    owner, name = key.split(".", 1)
    kind = page["kind"].get(page["part"].get(owner, {}).get("kind"), {})
    joint = kind.get(name, {})
    return joint if isinstance(joint, dict) else {}


def how_measured(page: Table, key: str) -> list[Any]:
    """Return what a number depends on besides what moved: joint, zero, and for a rail, which."""
    joint, part = joint_of(page, key), page["part"].get(key.split(".", 1)[0], {})
    names = ("turns", "slides", "teeth", "zero", "tooth_zero")
    about = [joint.get(name) or None for name in names]
    if "rail" in about:
        start = part.get("from") or joint.get("end") or "A"
        about += [part.get("on"), part.get("at"), part.get("rail"), start, part.get("edge")]
    return about


def reference(page: Table, setting: Table) -> str:
    """Return what an angle was read from."""
    return str(
        setting.get("from") or page["instrument"].get(setting["using"], {}).get("from", "joint")
    )


def spread(page: Table, setting: Table, name: str, same: bool) -> float:
    """Return the standard uncertainty of one reading."""
    if "u" in setting:
        return float(setting["u"])
    instrument = page["instrument"][setting["using"]]
    if same and name.replace("u_", "same_") in instrument:
        return float(instrument[name.replace("u_", "same_")])
    return float(instrument[name])
