"""Kinds of our own invention for random rigs: what the generic kinds do not use of the format."""

from __future__ import annotations

from model.frozen import Vector
from model.rig.kind import Joint, Kind, Outlet

PLACE = Joint(id="place", slides="rail")
SPIN = Joint(id="spin", turns="rail")
X, Y = Joint(id="x", slides="x"), Joint(id="y", slides="y")
FROM_BOTH_ENDS = (
    Joint(id="grip_a", slides="rail", end="A"),
    Joint(id="grip_b", slides="rail", end="B"),
)
TURN = Joint(id="turn", turns="-z")
OUT: Vector = (0.0, 30.0, 0.0)

ODD_KINDS: tuple[Kind, ...] = (
    Kind(
        id="swivel-clamp",
        name="clamp whose jaw swivels",
        fits="mount",
        joints=(PLACE, SPIN, Joint(id="swivel", turns="y", before=OUT, limit=(-20.0, 20.0))),
        outlets=(
            Outlet(id="jaw", holds="beside", standoff=20.0),
            Outlet(id="hook", holds="through", after="spin", offset=(0.0, 55.0, 5.0)),
        ),
        body=38.0,
    ),
    Kind(
        id="clamp-from-b",
        name="rod holder measured from end B",
        fits="mount",
        joints=(
            Joint(id="place", slides="rail", end="B"),
            SPIN,
            Joint(id="nod", turns="-x", before=OUT),
            Joint(id="roll", turns="-y"),
        ),
        outlets=(
            Outlet(id="left", after="spin", offset=(-20.0, 40.0, 0.0)),
            Outlet(id="tip", offset=(0.0, 60.0, 15.0), turned=(1.0, 1.0, 0.0, -70.0)),
        ),
        body=30.0,
    ),
    Kind(
        id="skew-arm",
        name="arm whose joints lie askew",
        fits="mount",
        joints=(
            Joint(id="lift", slides=(0.2, 0.1, 1.0), limit=(0.0, 120.0)),
            Joint(id="sway", turns=(0.3, -0.2, 0.9), before=(5.0, 0.0, 20.0)),
            Joint(
                id="nod", turns=(1.0, 0.2, 0.0), before=(0.0, 70.0, 0.0), level=(-0.2, 1.0, 0.15)
            ),
            Joint(id="aside", slides="-x", after="sway", before=(0.0, 10.0, 30.0)),
            Joint(id="rise", turns="z", after="root"),
        ),
        outlets=(
            Outlet(id="tip", after="nod", offset=(0.0, 15.0, 30.0), turned=(0.5, 1.0, 0.0, 25.0)),
            Outlet(id="hook", after="aside", offset=(0.0, 0.0, 20.0)),
            Outlet(id="root", after="root", offset=(40.0, 0.0, 10.0)),
            Outlet(id="last"),
        ),
    ),
    Kind(
        id="bare-arm",
        name="arm without a named outlet",
        fits="mount",
        joints=(
            Joint(id="slide", slides="-z", limit=(-150.0, 0.0)),
            Joint(id="tilt", turns="-x", before=(0.0, 60.0, 0.0), level="-y"),
        ),
    ),
    Kind(
        id="hoop-jaw",
        name="jaw on a hoop that holds a bar",
        fits="mount",
        joints=(Joint(id="swing", turns="z", before=(0.0, 150.0, 0.0), limit=(-25.0, 25.0)),),
        outlets=(Outlet(id="jaw", holds="beside", standoff=25.0, offset=(0.0, 20.0, 10.0)),),
    ),
    Kind(
        id="clipped-piece",
        name="piece with a clamp of its own",
        fits="piece",
        joints=(PLACE, SPIN, Joint(id="tilt", turns="x", before=(0.0, 45.0, 0.0))),
        outlets=(
            Outlet(id="surface", offset=(0.0, 60.0, 12.0), turned=(1.0, 0.0, 0.0, -15.0)),
            Outlet(id="rim", after="tilt", offset=(0.0, 110.0, 0.0)),
        ),
        body=25.0,
    ),
    Kind(
        id="tilting-piece",
        name="piece on an outlet with a turn and a tilt of its own",
        fits="piece",
        joints=(TURN, Joint(id="tilt", turns="y", before=(0.0, 20.0, 15.0), limit=(-40.0, 40.0))),
    ),
    Kind(
        id="kick-with-post",
        name="kick with a post on its shell",
        fits="piece",
        joints=(X, Y, TURN, Joint(id="spur", slides="z", limit=(0.0, 200.0))),
        outlets=(
            Outlet(id="surface", after="turn", offset=(0.0, -200.0, 280.0), turned=(1, 0, 0, 90)),
            Outlet(id="post", after="turn", offset=(0.0, 60.0, 560.0)),
        ),
    ),
    Kind(
        id="raked-post",
        name="post that leans as it is made",
        fits="post",
        joints=(X, Y),
        stem=(0.06, -0.04, 1.0),
    ),
    Kind(
        id="bar-from-both-ends",
        name="straight bar whose second grip is measured from end B",
        fits="bar",
        joints=FROM_BOTH_ENDS,
    ),
    Kind(
        id="curved-bar-from-both-ends",
        name="curved bar whose second grip is measured from end B",
        fits="bar",
        joints=(*FROM_BOTH_ENDS, Joint(id="bow", turns="chord")),
    ),
)
