"""Random rigs and what moved on them: nothing, there and back, and one joint alone."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest

from model.compare.answer import Compared
from model.compare.piece_answer import ComparedPiece
from model.compare.whole import whole_comparison
from model.rig.page import Head, Page
from model.rig.setting import Setting
from model.space.as_read import joint_settings, plain_page, read_page
from model.space.joint_values import part_and_joint, rides_on_a_curve
from model.space.places import Places
from model.space.positions import Positions
from tests.program_places import by_program
from tests.random_rigs import random_rig
from tests.sizes import examples
from tests.told_apart import differences

RIGS = examples(36, 1500)
PARTS = 3
"""The rigs are drawn in so many parts, so that a failure names its own seeds."""
NAMES = ("first", "second")
BACK = ("second", "first")


def compared(before: Page, after: Page, names: tuple[str, str] = NAMES) -> Compared:
    return whole_comparison((before, after), names)


def seeds(part: int) -> range:
    return range(part, RIGS, PARTS)


def later(page: Page) -> Page:
    head = {**dict(page.head), "began": page.head.began + timedelta(days=1)}
    return page.model_copy(update={"head": Head.model_validate(head)})


def moved_by(setting: Setting, value: float) -> Setting:
    return Setting.model_validate({**dict(setting), "state": "read", "page": None, "value": value})


def changed(page: Page, rng: random.Random, count: int) -> Page:
    """Return the next night's page: some joints a little off, some seen at their mark."""
    settings: dict[str, Setting] = {}
    for key in rng.sample(joint_settings(page), min(count, len(joint_settings(page)))):
        setting = page.setting(key)
        if isinstance(setting.value, int | float) and setting.state != "follows":
            by = rng.choice((-1, 1)) if isinstance(setting.value, int) else rng.uniform(-1.5, 1.5)
            settings[key] = moved_by(setting, setting.value + by)
    for key, setting in page.record:
        if key not in settings and setting.state == "read" and rng.random() < 0.4:
            seen = {"state": "seen", "page": NAMES[0]}
            settings[key] = Setting.model_validate({**dict(setting), **seen})
    return later(page.with_settings(settings))


def far(piece: ComparedPiece) -> float:
    assert piece.move is not None
    assert piece.tilt is not None
    return max(piece.move.distance, piece.tilt.turned)


@pytest.mark.parametrize("part", range(PARTS))
def test_a_page_with_itself_has_moved_nothing(part: int) -> None:
    for seed in seeds(part):
        page = random_rig(random.Random(seed))
        answer = compared(page, page)
        assert not answer.something, seed
        assert {found.verdict for found in answer.settings} <= {"same", "not comparable"}, seed
        for piece in answer.pieces:
            assert piece.verdict in ("same", "not measured", "unknown"), (seed, piece)
            assert piece.move is None or far(piece) == 0.0
            assert piece.causes.of == piece.tilt_causes.of == ()


def apart(one: float, other: float) -> float:
    """Return how far two angles or lengths are from each other's opposite, degrees round."""
    return abs((one + other + 180.0) % 360.0 - 180.0)


@pytest.mark.parametrize("part", range(PARTS))
def test_there_and_back_are_each_others_opposite(part: int) -> None:
    told = 0
    for seed in seeds(part):
        rng = random.Random(seed)
        before = random_rig(rng)
        after = changed(before, rng, 8)
        there, back = compared(before, after), compared(after, before, BACK)
        other = {found.setting: found for found in back.settings}
        for found in there.settings:
            opposite = other[found.setting]
            assert found.own_before == opposite.own_after, (seed, found.setting)
            assert (found.difference is None) == (opposite.difference is None), found.setting
            if found.difference is not None and opposite.difference is not None:
                gap = apart(found.difference, opposite.difference)
                assert gap < 1e-5, (seed, found.setting)
        pieces = {piece.id: piece for piece in back.pieces}
        for piece in there.pieces:
            again = pieces[piece.id]
            if piece.move is None or piece.tilt is None:
                assert again.move is None
                continue
            assert again.move is not None
            assert again.tilt is not None
            for way in ("right", "ahead", "up"):
                gap = getattr(piece.move, way) + getattr(again.move, way)
                assert abs(gap) < 1e-5, (seed, piece.id)
            for way in ("ahead", "right"):
                gap = apart(getattr(piece.tilt, way), getattr(again.tilt, way))
                assert gap < 1e-5, (seed, piece.id)
            assert piece.tilt.turned == pytest.approx(again.tilt.turned, abs=1e-5)
            told += far(piece) > 0.5
    assert told > 5, "the rigs must move, or nothing was tested"


def one_moved(page: Page, rng: random.Random) -> tuple[str, Page, Page] | None:
    """Return a joint, the page in own values, and the same with that joint alone moved."""
    plain = plain_page(page)
    placed = Positions(plain).pieces
    rests = {key for held in placed.values() for key in held.rests}
    keys = [
        key
        for key in joint_settings(plain)
        if key in rests and plain.setting(key).state in ("read", "seen")
    ]
    if not keys:
        return None
    key = rng.choice(keys)
    value = plain.setting(key).value
    assert isinstance(value, int | float)
    by = rng.choice((-1, 1)) if isinstance(value, int) else rng.uniform(0.5, 2.0)
    return key, plain, plain.with_setting(key, moved_by(plain.setting(key), value + by))


@pytest.mark.parametrize("part", range(PARTS))
def test_one_joint_alone_is_the_whole_cause(part: int) -> None:
    told = 0
    for seed in seeds(part):
        rng = random.Random(seed)
        found = one_moved(random_rig(rng), rng)
        if found is None:
            continue
        key, before, after = found
        for piece in compared(before, later(after)).pieces:
            if piece.move is None or piece.tilt is None:
                continue
            for causes, whole in (
                (piece.causes, piece.move.distance),
                (piece.tilt_causes, piece.tilt.turned),
            ):
                assert [cause.setting for cause in causes.of] in ([key], []), (seed, piece.id)
                assert sum(cause.amount for cause in causes.of) in (0.0, whole), (seed, piece.id)
                assert causes.rest == 0.0
                told += bool(causes.of)
    assert told > 5


def _goes_with_the_tube(page: Page, key: str) -> bool:
    """Tell a clamp's spin on a curved bar: its clamp holds the tube."""
    if key not in joint_settings(page):
        return False
    places = Places(page)
    part, joint = part_and_joint(places, key)
    return joint is not None and rides_on_a_curve(places, part, joint)


@pytest.mark.parametrize("part", range(PARTS))
def test_instruments_that_read_gravity_blame_no_other_joint(part: int) -> None:
    """One joint moved, and everything read again as its instruments show it then: only that joint
    moved, and it alone moved the pieces, whatever the levels said."""
    told, others = 0, 0
    for seed in seeds(part):
        rng = random.Random(seed)
        page = random_rig(rng)
        found = one_moved(page, rng)
        if found is None:
            continue
        key, _, after = found
        again = later(read_page(after, page))
        if any(differences(by_program(after), by_program(again))):
            continue  # two turns read the same now: the instruments tell another rig
        answer = compared(page, again)
        for setting in answer.settings:
            if setting.setting == key or setting.difference is None:
                continue
            if _goes_with_the_tube(page, setting.setting):
                continue  # here the spins from up stay, and the tube bows away under them
            others += setting.before.value != setting.after.value
            if None not in (setting.own_before, setting.own_after):
                assert abs(float(setting.difference)) < 1e-4, (seed, key, setting)
        for piece in answer.pieces:
            if piece.move is not None and piece.move.distance > 0.5 and not piece.not_measured:
                assert [cause.setting for cause in piece.causes.of] == [key], (seed, piece)
                told += 1
    assert told > 0
    assert others > 0, "some level must have shown another number"
