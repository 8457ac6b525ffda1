"""Random rigs: the floor, the posts on it, and what stands on the floor by itself."""

from __future__ import annotations

import math
from typing import Any

from model.rig.kind import Joint
from model.rig.part import Disc, Mount, Piece, Post, Shell, Slab
from model.rig.setting import OPEN, Setting
from tests.random_base import Growing, Tube
from tests.rig_builder import read

POSTS = ("foot-post", "foot-post", "telescoping-post", "leaning-post", "raked-post")


def floor(rig: Growing) -> None:
    """Slope the riser, or leave its slope open."""
    rig.settings["floor.rug"] = read(9.0)
    for way in ("ahead", "right"):
        if rig.often(0.8):
            value = rig.mm(-4.0, 4.0)
            rig.settings[f"floor.slope_{way}"] = Setting(
                state="carried", value=value, using="level", page="2025-03-13-soundcheck"
            )


def posts(rig: Growing) -> list[str]:
    """Put two to four posts round the player, from left to right; return their ids."""
    count = rig.one(2, 2, 2, 3, 3, 4)
    turn_between = 110.0 / (count - 1)
    found = []
    for index in range(count):
        bearing = math.radians(-55.0 + turn_between * index + rig.mm(-8.0, 8.0))
        away = rig.mm(700.0, 950.0)
        found.append(_post(rig, away * math.sin(bearing), away * math.cos(bearing)))
    return found


def _post(rig: Growing, x: float, y: float) -> str:
    kind = rig.one(*POSTS)
    post_id = rig.new_id("post")
    length = None if rig.often(0.1) else rig.mm(850.0, 1250.0)
    values, told = _stands_at(rig, x, y)
    fields: dict[str, object] = {"length": length, "tube": 38.1, **told}
    for joint in rig.kinds[kind].joints:
        if joint.id not in ("x", "y"):
            values[joint.id] = _post_value(rig, joint)
    rig.tubes.append(Tube(post_id, 60.0, (length or 850.0) - 40.0, length, is_post=True))
    if kind == "telescoping-post":
        length, inner = rig.mm(550.0, 650.0), rig.mm(500.0, 620.0)
        top = rig.mm(800.0, 1000.0)
        fields |= {"length": length, "inner_length": None if rig.often(0.2) else inner}
        values["height"] = top
        low = max(top - inner, length) + 30.0
        rig.tubes[-1] = Tube(post_id, 60.0, length - 30.0, length, is_post=True)
        rig.tubes.append(Tube(post_id, low, top - 25.0, length, is_post=True, top=top))
    post = Post.model_validate({"id": post_id, "name": post_id, "kind": kind, **fields})
    return rig.put(post, **values)


def _post_value(rig: Growing, joint: Joint) -> float | Setting:
    if joint.assumed is not None and rig.often(0.2):
        return OPEN
    return rig.mm(-7.0, 7.0) if joint.assumed is not None else rig.drawn(joint)


def _stands_at(
    rig: Growing, x: float, y: float
) -> tuple[dict[str, float | Setting], dict[str, object]]:
    """Return x and y, or now and then two tapes; and the part's fields that say where from."""
    points = {"zero": (0.0, 0.0), **{mark.id: (mark.x, mark.y) for mark in rig.marks}}
    if rig.often(0.3):
        first, second = rig.rng.sample(sorted(points), 2)
        (ax, ay), (bx, by) = points[first], points[second]
        a, b = math.hypot(x - ax, y - ay), math.hypot(x - bx, y - by)
        left = (bx - ax) * (y - ay) - (by - ay) * (x - ax)
        if abs(left) > 0.25 * a * b:  # the two tapes cross well
            side = "left" if left > 0.0 else "right"
            tapes: dict[str, float | Setting] = {"from_1": round(a, 1), "from_2": round(b, 1)}
            return tapes, {"marks": (first, second), "marks_side": side}
    return {"x": round(x, 1), "y": round(y, 1)}, {}


def stand_alone(
    rig: Growing,
    kind: str,
    made: type[Piece] | type[Mount],
    x: float,
    y: float,
    **fields: object,
) -> str:
    """Put a piece or a stand on the floor."""
    part_id = rig.new_id("stand" if made is Mount else "floor")
    values, marks = _stands_at(rig, x, y)
    for joint in rig.kinds[kind].joints:
        if joint.id not in ("x", "y"):
            values[joint.id] = _leg(rig) if joint.slides == "leg" else rig.drawn(joint, 25.0)
    told = {"id": part_id, "name": part_id, "kind": kind, **fields, **marks}
    return rig.put(made.model_validate(told), **values)


def _leg(rig: Growing) -> float:
    return 200.0 if rig.often(0.1) else rig.mm(150.0, 260.0)


def floor_pieces(rig: Growing) -> list[str]:
    """Put a throne, a kick, and other pieces on the floor; return what mounts may sit on."""
    if rig.often(0.85):
        at = rig.mm(-60.0, 60.0), rig.mm(-120.0, 60.0)
        slab = Slab(width=400.0, depth=330.0)
        stand_alone(rig, "floor-seat", Piece, *at, role="throne", slab=slab)
    hosts = []
    if rig.often(0.7):
        kick: dict[str, Any] = {
            "role": "kick",
            "shell": Shell(diameter=558.8, depth=406.4),
            "offset": _offset(rig),
        }
        kind = rig.one("floor-kick", "floor-kick", "kick-with-post")
        hosts.append(stand_alone(rig, kind, Piece, rig.mm(-80.0, 80.0), rig.mm(600, 800), **kick))
    for kind in ("floor-piece", "floor-legs", "floor-legs", "floor-pedal"):
        if rig.often(0.4):
            at = rig.one(-1.0, 1.0) * rig.mm(350.0, 700.0), rig.mm(-200.0, 300.0)
            offset = _offset(rig, up=rig.mm(280.0, 420.0))
            hosts.append(stand_alone(rig, kind, Piece, *at, **surface(rig), offset=offset))
    return hosts


def _offset(rig: Growing, up: float = 0.0) -> tuple[float, float, float]:
    if rig.often(0.3):
        return (0.0, 0.0, up)
    return (rig.mm(-20.0, 20.0), rig.mm(-20.0, 20.0), up)


def surface(rig: Growing) -> dict[str, Any]:
    """Return a size for a piece, now and then none."""
    return rig.one(
        {"shell": Shell(diameter=rig.mm(200.0, 410.0), depth=200.0)},
        {"disc": Disc(diameter=rig.mm(200.0, 600.0), bell=30.0)},
        {"slab": Slab(width=rig.mm(150.0, 400.0), depth=rig.mm(100.0, 300.0))},
        {},
    )
