"""A post's own turn goes on to what follows it in the chain, worked on paper."""

from __future__ import annotations

import pytest

from model.rig.kind import Joint, Kind
from tests.rigs_small import Place, answer_of, post, small_page

X, Y, TURN = Joint(id="x", slides="x"), Joint(id="y", slides="y"), Joint(id="turn", turns="-z")


@pytest.mark.parametrize(
    ("joints", "values", "end_a", "end_b"),
    [
        # Turned 90, x of the post points to -y of the room, so that a lean of 30 about it takes the
        # top toward -(its own y) = -d(90): 100 long, (-50, 0, 86.602540) from A. With and without a
        # slide along the tube between them.
        (
            (X, Y, TURN, Joint(id="lean", turns="x")),
            (0.0, 0.0, 90.0, 30.0),
            (0.0, 0.0, 0.0),
            (-50.0, 0.0, 86.60254),
        ),
        (
            (X, Y, TURN, Joint(id="lift", slides="z"), Joint(id="lean", turns="x")),
            (0.0, 0.0, 90.0, 50.0, 30.0),
            (0.0, 0.0, 50.0),
            (-50.0, 0.0, 136.60254),
        ),
        # A turn on a branch of its own, after x: the post stands in the last frame, which is the
        # turn's: 100 to the right and not 200 ahead.
        (
            (X, Y, Joint(id="turn", turns="-z", after="x")),
            (100.0, 200.0, 0.0),
            (100.0, 0.0, 0.0),
            (100.0, 0.0, 100.0),
        ),
        # A turn that stands 30 to the right of the mark that was measured to.
        (
            (X, Y, Joint(id="turn", turns="-z", before=(30.0, 0.0, 0.0))),
            (100.0, 200.0, 0.0),
            (130.0, 200.0, 0.0),
            (130.0, 200.0, 100.0),
        ),
    ],
    ids=["lean", "slide then lean", "on a branch", "beside its mark"],
)
def test_what_follows_a_post_s_turn(
    joints: tuple[Joint, ...], values: tuple[float, ...], end_a: Place, end_b: Place
) -> None:
    page = small_page(
        post("post", "turned", length=100.0),
        kinds=[Kind(id="turned", name="turned", fits="post", joints=joints)],
        values={f"post.{j.id}": value for j, value in zip(joints, values, strict=True)},
    )
    found = answer_of(page).posts["post"]
    assert found.a == pytest.approx(end_a, abs=1e-5)
    assert found.b == pytest.approx(end_b, abs=1e-5)
