"""Places of a thousand random rigs against a second computation.

Source: scipy.spatial.transform.Rotation, and a second computation from the written conventions
(``tests/second_*.py``), which shares no code with the program's.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from model.book.generic import generic_kinds
from tests.program_places import by_program
from tests.random_faults import FAULTS
from tests.random_rigs import random_rig
from tests.rig_coverage import met, wanted
from tests.second_page import second
from tests.second_places import SecondPlaces
from tests.sizes import examples
from tests.told_apart import differences

RIGS = examples(1000, 5000)
PART = 20
"""The rigs are drawn in so many parts, so that a failure names its own seeds."""

_MET: Counter[str] = Counter()


@pytest.mark.parametrize("part", range(PART))
def test_every_place_is_the_same(part: int) -> None:
    wrong = []
    for seed in range(part, RIGS, PART):
        page = random_rig(random.Random(seed))
        places = SecondPlaces(page)
        found = second(page, places)
        wrong += [f"rig {seed}: {what}" for what in differences(found, by_program(page))]
        _MET.update(met(page, places, found))
        _MET["rigs"] += 1
    assert not wrong, "\n".join(wrong[:40])


def test_with_a_fault_the_same_is_unknown() -> None:
    wrong = []
    for seed in range(examples(160, 1600)):
        page = random_rig(random.Random(seed))
        for fault in (FAULTS[seed % len(FAULTS)], FAULTS[(seed + 3) % len(FAULTS)]):
            spoiled = fault(random.Random(seed), page)
            if spoiled is not None:
                apart = differences(second(spoiled), by_program(spoiled))
                wrong += [f"rig {seed}, {fault.__name__}: {what}" for what in apart]
    assert not wrong, "\n".join(wrong[:40])


def test_a_millionth_of_a_millimetre_is_told() -> None:
    found = second(random_rig(random.Random(0)))
    moved = second(random_rig(random.Random(0)))
    id_, (centre, normal) = next(iter(moved.surfaces.items()))
    moved.surfaces[id_] = centre + 1.5e-6, normal
    assert [what.split(":")[0] for what in differences(found, moved)] == [f"surface {id_} centre"]
    moved.surfaces[id_] = centre, normal + 1.5e-9
    assert [what.split(":")[0] for what in differences(found, moved)] == [f"surface {id_} normal"]
    del moved.surfaces[id_]
    assert list(differences(found, moved)) == [f"surfaces {id_}: only the second knows it"]


def test_every_rule_was_met() -> None:
    if _MET["rigs"] != RIGS:
        pytest.skip("not all the rigs were drawn in this process")
    assert not {rule: _MET[rule] for rule in wanted() if _MET[rule] < 10}
    for kind in generic_kinds().values():
        assert _MET[f"kind {kind.id}"] >= 50, kind.id
        if kind.fits != "post":  # a post's outlets are the marks of its foot
            seats = [o.id for o in kind.outlets if o.id != "surface"]
            assert all(_MET[f"outlet {kind.id} {seat}"] >= 50 for seat in seats), kind.id
