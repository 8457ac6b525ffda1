"""For each key of a page an entry that would be right: what a message shows beside a wrong one."""

from __future__ import annotations

from collections.abc import Sequence

SETTING = '{ read = 812.8, using = "tape", by = "AK" }'

_RIGHT: dict[str, str] = {
    "format": "format = 1",
    "rig": 'rig = "Two-post side rack"',
    "date": "date = 2025-03-14",
    "began": "began = 2025-03-14T17:55:00+01:00",
    "moment": 'moment = "soundcheck"',
    "venue": 'venue = "Old Tram Shed"',
    "begun_from": 'begun_from = "2025-03-13-soundcheck"',
    "closed": "closed = false",
    "reason": 'reason = "lower since the injury"',
    "title": 'title = "Spring tour"',
    "crew": 'crew = ["AK", "JM"]',
    "walk": 'walk = ["throne", "snare"]',
    "short_walk": 'short_walk = ["throne.height", "snare.height"]',
    "type": 'type = "mount"',
    "name": 'name = "Left post"',
    "role": 'role = "tom 1"',
    "kind": 'kind = "foot-post"',
    "on": 'on = "post-l"',
    "at": 'at = "left"',
    "side": 'side = ["right", "right"]',
    "rail": 'rail = "inner"',
    "edge": 'edge = "top"',
    "from": 'from = "B"',
    "marks": 'marks = ["zero", "ahead"]',
    "marks_side": 'marks_side = "left"',
    "tube": "tube = 38.1",
    "inner_tube": "inner_tube = 31.8",
    "rod": "rod = 10.5",
    "length": "length = 1016.0",
    "inner_length": "inner_length = 610.0",
    "square": "square = true",
    "curve": 'curve = { length = 1026.0, along = "arc", sagitta = 100.0 }',
    "along": 'along = "arc"',
    "chord": "chord = 1000.0",
    "sagitta": "sagitta = 100.0",
    "face": 'face = "axis"',
    "shell": "shell = { diameter = 254.0, depth = 203.2 }",
    "disc": "disc = { diameter = 508.0 }",
    "slab": "slab = { width = 300.0, depth = 300.0 }",
    "diameter": "diameter = 254.0",
    "depth": "depth = 203.2",
    "width": "width = 300.0",
    "bell": "bell = 25.0",
    "offset": "offset = [0.0, 0.0, 40.0]",
    "offset_u": "offset_u = 1.0",
    "stem": 'stem = ["felt", "cymbal", "felt", "nut"]',
    "weight": "weight = { kg = 2.2, guess = true }",
    "kg": "kg = 2.2",
    "guess": "guess = true",
    "colour": 'colour = "green"',
    "mark": 'mark = "A3"',
    "serial": 'serial = "0417"',
    "care": 'care = "Hold the boom before you loosen."',
    "dials": 'dials = { beater_angle = "word", clutch_gap = "mm" }',
    "gap": 'gap = ["ride", "splash"]',
    "height": 'height = ["snare", "near"]',
    "x": "x = 450.0",
    "y": "y = 450.0",
    "note": 'note = "Wing bolt stiff."',
    "photos": 'photos = ["clamp-l-1.jpg"]',
    "page": 'page = "2025-03-13-soundcheck"',
    "using": 'using = "tape"',
    "by": 'by = "AK"',
    "u": "u = 4.0",
    "limit": "limit = [0.0, 400.0]",
    "limit_guess": "limit_guess = true",
    "fits": 'fits = "mount"',
    "chain": 'chain = ["place", "spin"]',
    "ends": "ends = { tip = { offset = [0.0, 0.0, 25.0] } }",
    "body": "body = 40.0",
    "inner_after": 'inner_after = "height"',
    "slides": 'slides = "rail"',
    "turns": 'turns = "-z"',
    "before": "before = [0.0, 60.0, 0.0]",
    "before_u": "before_u = 1.0",
    "after": 'after = "spin"',
    "end": 'end = "A"',
    "zero": 'zero = "the rug"',
    "plus": 'plus = "up"',
    "measured": 'measured = "rug to the tube\'s top"',
    "teeth": "teeth = 24",
    "tooth_zero": 'tooth_zero = "the boom in line with its rod"',
    "loosen": 'loosen = "wing bolt"',
    "usually": 'usually = "level"',
    "level": 'level = "-z"',
    "assumed": "assumed = 0.0",
    "follows": "follows = true",
    "turned": "turned = [0.0, 1.0, 0.0, 90.0]",
    "holds": 'holds = "beside"',
    "standoff": "standoff = 45.0",
    "reach": "reach = 32.0",
    "u_mm": "u_mm = 1.7",
    "u_deg": "u_deg = 0.5",
    "u_teeth": "u_teeth = 0.0",
    "same_mm": "same_mm = 1.0",
    "same_deg": "same_deg = 0.3",
    "mm": "mm = 5.0",
    "deg": "deg = 2.0",
}
_IN_SECTION: dict[tuple[str, str], str] = {
    ("kind", "stem"): "stem = [0.0, 1.0, 0.0]",
    ("kind", "name"): 'name = "boom arm on a rod clamp"',
    ("part", "height"): "height = 50.0",
    ("mark", "name"): 'name = "cross of tape ahead"',
    ("spot", "name"): 'name = "Gap, ride to splash"',
    ("record", "from"): 'from = "gravity"',
    ("instrument", "from"): 'from = "gravity"',
}
_TABLES: dict[str, str] = {
    "notes": 'AK = "Rug moved."',
    "instrument": "tape = { u_mm = 1.7 }",
    "mark": "[mark.ahead] with x and y below it",
    "part": "[part.post-l] with type and name below it",
    "spot": "[spot.ride-splash] with name and gap below it",
    "record": f"clamp-l.height = {SETTING}",
    "kind": "[kind.own-arm] with name and chain below it",
    "tolerance": "tom = { mm = 10.0, deg = 2.0 }",
    "homes": 'main = "2025-03-14-soundcheck"',
}
_OF_SETTING = frozenset({"page", "using", "by", "u", "from", "limit", "note", "photos"})
_OF_KIND = frozenset({"name", "fits", "chain", "ends", "body", "inner_after", "stem"})


def right_entry(key: Sequence[str]) -> str:
    """Return an entry that would be right at the dotted ``key`` of a page or of book.toml."""
    if not key:
        return _RIGHT["venue"]
    section, name = key[0], key[-1]
    if len(key) == 1 and section not in _TABLES:
        return _RIGHT.get(name, _RIGHT["venue"])
    if len(key) < 3:
        return _TABLES.get(section, _RIGHT["venue"])
    if section == "record" and name not in _OF_SETTING:
        return _TABLES["record"]
    if section == "kind" and len(key) == 3 and name not in _OF_KIND:
        return 'spin = { turns = "rail", loosen = "drum key" }'
    if section == "part" and key[2] == "dials":
        return _RIGHT["dials"]
    if section == "kind" and len(key) == 4 and key[2] == "ends":
        return _RIGHT["ends"]
    right = _IN_SECTION.get((section, name)) or _RIGHT.get(name) or _TABLES.get(section)
    return right or _RIGHT["venue"]
