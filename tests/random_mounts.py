"""Random rigs: mounts on tubes, mounts on mounts and on pieces, and the pieces on them."""

from __future__ import annotations

from model.rig.part import Mount, Piece, Post
from tests.random_base import Growing, Tube
from tests.random_posts import surface

ON_POST = ("rod-clamp", "boom-on-clamp", "arm-on-clamp", "double-post-beside-post", "clamp-from-b")
ON_BAR = (
    "rod-clamp",
    "boom-on-clamp",
    "arm-on-clamp",
    "double-post",
    "clamped-stand",
    "clamped-hat-stand",
    "clamp-from-b",
)
IN_OUTLET = (
    "ball-arm",
    "ratchet-arm",
    "boom-arm",
    "tilter-arm",
    "extension-shaft",
    "extension-shaft",
    "basket-arm",
    "skew-arm",
    "bare-arm",
)
DEEPEST = 3


def on_tube(rig: Growing, tube: Tube) -> None:
    """Clamp a mount to a tube, with what sits in its outlets."""
    names = [n for n in (ON_POST if tube.is_post else ON_BAR) if _fits(tube, n)]
    if rig.often(0.08):
        _clipped(rig, tube)
        return
    name = rig.rng.choice(names)
    # On a bar most things stand up.
    spin = rig.mm(-175.0, 175.0) if tube.is_post or rig.often(0.2) else rig.mm(-40.0, 40.0)
    filled(rig, rig.clamp(tube, name, spin=spin), depth=1)


def _fits(tube: Tube, kind: str) -> bool:
    """A place from end B needs a length, and cannot be told on an inner tube."""
    return kind != "clamp-from-b" or (tube.length is not None and tube.top is None)


def _clipped(rig: Growing, tube: Tube) -> None:
    fields = {**surface(rig), "offset": (rig.mm(-9.0, 9.0), 0.0, rig.mm(0.0, 30.0))}
    piece = rig.clamp(tube, "clipped-piece", made=Piece, fields=fields)
    if rig.often(0.4):
        mounted(rig, piece, rig.one("rim", None), depth=2)


def bar_post(rig: Growing, tube: Tube) -> Tube:
    """Stand a post on a bar; return it as the rail that it is."""
    length = rig.mm(300.0, 600.0)
    spin = rig.mm(-25.0, 25.0)
    post = rig.clamp(tube, "bar-post", made=Post, fields={"length": length}, spin=spin)
    return Tube(post, 60.0, length - 20.0, length, is_post=True)


def filled(rig: Growing, host: str, depth: int) -> None:
    """Put something into each outlet of a mount, or leave it empty."""
    outlets = [o.id for o in rig.kind(host).outlets if not o.holds]
    for index, outlet in enumerate(outlets or [None]):
        if depth > 1 and index > 1 and rig.often(0.5):
            continue
        at = None if outlet is None or (index == 0 and rig.often(0.5)) else outlet
        if depth < DEEPEST and rig.often(0.5 if depth == 1 else 0.3):
            mounted(rig, host, at, depth + 1)
        elif rig.often(0.7):
            piece_in(rig, host, at, depth)


def mounted(rig: Growing, host: str, at: str | None, depth: int) -> str:
    """Put a mount into an outlet, with what sits in its own."""
    kind_id = rig.one(*IN_OUTLET)
    mount_id = rig.new_id("mount")
    mount = Mount(id=mount_id, name=mount_id, kind=kind_id, on=(host,), at=at)
    rig.put(mount, **rig.drawn_all(rig.kinds[kind_id]))
    filled(rig, mount_id, depth)
    return mount_id


def piece_in(rig: Growing, host: str, at: str | None, depth: int) -> str:
    """Put a piece into an outlet, with an offset and perhaps a turn of its own."""
    kind_id = rig.one(None, None, "turned-piece", "tilting-piece")
    offset = (0.0, 0.0, rig.mm(-20.0, 90.0)) if rig.often(0.6) else None
    piece_id = rig.new_id("piece")
    piece = Piece.model_validate(
        {
            "id": piece_id,
            "name": piece_id,
            "kind": kind_id,
            "on": (host,),
            "at": at,
            "offset": offset or (rig.mm(-30.0, 30.0), rig.mm(-30.0, 30.0), rig.mm(0.0, 60.0)),
            **surface(rig),
        }
    )
    rig.put(piece, **(rig.drawn_all(rig.kinds[kind_id]) if kind_id else {}))
    if depth < DEEPEST and rig.often(0.15):
        mounted(rig, piece_id, None, depth + 1)
    return piece_id


def jaw_on(rig: Growing, host: str) -> str:
    """Put a jaw that holds a bar on a piece or a mount."""
    mount_id = rig.new_id("jaw")
    mount = Mount(id=mount_id, name=mount_id, kind="hoop-jaw", on=(host,))
    return rig.put(mount, **rig.drawn_all(rig.kinds["hoop-jaw"]))
