"""Every file operation of a save fails, with every error, at every call: nothing torn or lost.

After each fault the file is the old one whole or the new one whole, what is said agrees with what
is there, and the next save works as if nothing had been.
"""

from __future__ import annotations

import errno
import sys
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from random import Random

import pytest

from tests.disk_faults import ANY, OPERATIONS, Fault, watched_disk
from tests.disk_trials import OURS, SCENES, WRONG, Bench, Scene, Tally, try_once
from tests.memory import in_memory
from tests.sizes import examples

ERRORS = (
    *(errno.ENOSPC, errno.EIO, errno.EACCES, errno.EROFS, errno.EDQUOT, errno.EFBIG),
    *(errno.EMFILE, errno.EINTR, errno.ENOENT, errno.ESTALE, errno.EPERM, errno.ENOMEM),
)
LATE_ERRORS = (errno.EIO, errno.EINTR, errno.ESTALE, errno.ENOENT, errno.ENOSPC, errno.EDQUOT)
"""What a disk may say though it did what was asked."""


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Bench]:
    if sys.platform != "linux":
        pytest.skip("the operations that are watched are those of a save on Linux")
    with in_memory(tmp_path) as folder:
        yield Bench(folder, watched_disk(monkeypatch))
        monkeypatch.undo()


def single_faults(bench: Bench, scene: Scene) -> list[Fault]:
    """Return every fault that can strike a save of this scene."""
    bench.set_up(scene)
    bench.save(scene, ())
    found = []
    for operation, calls in bench.disk.calls.items():
        for nth, error, lasting in product(range(1, calls + 1), ERRORS, (False, True)):
            found.append(Fault(operation, nth, error, lasting))
            if error in LATE_ERRORS and operation != ANY:
                found.append(Fault(operation, nth, error, lasting, after=True))
    return [fault for fault in found if not hides_a_file(scene, fault)]


def hides_a_file(scene: Scene, fault: Fault) -> bool:
    """Tell whether a disk without any safe step denies a file that is there: that is beyond help.

    A new page on a disk that knows neither links nor a rename which refuses has the look alone.
    """
    looks = fault.operation in (ANY, "stat", "lstat") and fault.error == errno.ENOENT
    return looks and bool(scene.theirs) and scene.unknown == ("link", "exchange")


def tried(bench: Bench, trials: int) -> Tally:
    """Try single faults, one of each kind first, as many as are asked for; then pairs of them."""
    rng, tally = Random(20), Tally()
    faults = {scene: single_faults(bench, scene) for scene in SCENES}
    singles = [(scene, fault) for scene in SCENES for fault in faults[scene]]
    each = {(f.operation, f.error, f.lasting): (scene, f) for scene, f in singles}
    more = rng.sample(singles, min(trials - len(each), len(singles)))
    for scene, fault in (*each.values(), *more):
        try_once(bench, scene, (fault,), tally)
    honest = {scene: [f for f in faults[scene] if not f.after] for scene in SCENES}
    while tally.trials < trials:
        scene = rng.choice(SCENES)
        try_once(bench, scene, tuple(rng.sample(honest[scene], 2)), tally)
    return tally


def test_after_every_fault_the_file_is_whole_and_what_is_said_is_so(
    bench: Bench, capsys: pytest.CaptureFixture[str]
) -> None:
    tally = tried(bench, examples(20_000, 500_000))
    with capsys.disabled():
        told = ", ".join(f"{n} {what}" for what, n in sorted(tally.told.items()))
        print(f"\n  {tally.trials} faults, {tally.struck} struck: {told}; ", end="")
        print(", ".join(f"{tally.wrong[sort]} {sort}" for sort in WRONG), end="")
    assert not tally.wrong, tally.first
    assert tally.struck > 0.9 * tally.trials
    every = set(product((*OPERATIONS, ANY), ERRORS, (False, True)))
    hit = {(fault.operation, fault.error, fault.lasting) for fault in tally.hit}
    assert hit == every, "some operation never failed"
    assert set(tally.told) == {"saved", *(e.__name__ for e in OURS)}
