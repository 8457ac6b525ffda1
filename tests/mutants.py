"""Eight faults put into the program on purpose: ``python -m tests.mutants`` shows what finds them.

Each is put into a copy of the tree, where only the tests run that should find it. The same tests
pass on a copy without a fault first. A fault that nothing finds makes the exit status 1.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parent.parent
FOLDERS = ("model", "tui", "tests", "sample_rigs")
FILES = ("pyproject.toml", "README.md", "DEVELOPERS.md")
STEPS = "tests/test_model_save_steps.py"
ORDER = f"{STEPS}::test_the_file_is_flushed_before_it_takes_its_name_and_the_folder_after"
KILLS = "tests/test_model_save_killed.py"


@dataclass(frozen=True, slots=True)
class Mutant:
    """A fault: ``old`` text of a file, there once, and what takes its place; and who should see."""

    name: str
    file: str
    old: str
    new: str
    tests: str

    def applied(self, text: str) -> str:
        """Return a file's text with the fault; raises :class:`ValueError` where it has no place."""
        if text.count(self.old) != 1:
            found = text.count(self.old)
            raise ValueError(f"{self.name}: found {found} times in {self.file}: {self.old!r}")
        return text.replace(self.old, self.new)


MUTANTS = (
    Mutant(
        "no flush of the file",
        "model/disk/save.py",
        "            os.fsync(file.fileno())\n",
        "",
        ORDER,
    ),
    Mutant(
        "no flush of the folder",
        "model/disk/save.py",
        "    _confirm(path, is_new=expected_sha256 is None)\n    return hash_of(data)\n",
        "    return hash_of(data)\n",
        ORDER,
    ),
    Mutant(
        "written in place",
        "model/disk/save.py",
        "            temp = _written_beside(path, data, expected_sha256)\n"
        "            _take_place(temp, path, hash_of(data), expected_sha256)\n",
        "            path.write_bytes(data)\n",
        KILLS,
    ),
    Mutant(
        "renamed without a look at what is displaced",
        "model/disk/save.py",
        "        elif exchange(temp, path):\n"
        "            _look_at_displaced(temp, path, ours, expected)\n",
        "        elif temp.replace(path):\n            pass\n",
        "tests/test_model_save_foreign.py::test_no_version_of_someone_else_is_destroyed",
    ),
    Mutant(
        "the lock on the page itself",
        "model/disk/save.py",
        "        with locked(path.parent):\n",
        "        with contextlib.ExitStack() as held:\n"
        "            if expected_sha256 is not None:\n"
        '                __import__("fcntl").flock(held.enter_context(path.open("rb")), 2)\n',
        "tests/test_model_save.py::test_two_writers_wait_for_each_other",
    ),
    Mutant(
        "the sanitiser off",
        "model/clean.py",
        "    if text.isascii() and text.isprintable():\n",
        "    if text:\n",
        "tests/test_tui_hostile.py",
    ),
    Mutant(
        "leftovers deleted",
        "model/disk/leftovers.py",
        "    temp.rename(target)\n",
        "    temp.unlink()\n",
        KILLS,
    ),
    Mutant(
        "said to be saved before it is flushed",
        "model/disk/save.py",
        "    _confirm(path, is_new=expected_sha256 is None)\n    return hash_of(data)\n",
        '    __import__("atexit").register(_confirm, path, is_new=False)\n'
        "    return hash_of(data)\n",
        ORDER,
    ),
)


@dataclass(frozen=True, slots=True)
class Outcome:
    """Which test found a fault, None where none did, and the seconds that it took."""

    mutant: Mutant
    by: str | None
    seconds: float


def copied(to: Path) -> None:
    """Copy the tree, without what Python made of it."""
    for name in FOLDERS:
        shutil.copytree(ROOT / name, to / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in FILES:
        shutil.copy(ROOT / name, to / name)


def run_tests(tree: Path, tests: list[str]) -> subprocess.CompletedProcess[str]:
    """Run tests of a copy, on the program of that copy, until one fails."""
    command = [sys.executable, "-B", "-m", "pytest", "-x", "-rfs", *tests]
    environment = {**os.environ, "PYTHONPATH": str(tree)}
    return subprocess.run(
        command, cwd=tree, env=environment, capture_output=True, text=True, check=False
    )


def check_copy(tree: Path) -> None:
    """Look whether a copy's tests run the copy's program, and pass without a fault."""
    code = "import model.disk.save as it; print(it.__file__)"
    environment = {**os.environ, "PYTHONPATH": str(tree)}
    done = subprocess.run(
        [sys.executable, "-B", "-c", code],
        cwd=tree,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    if not Path(done.stdout.strip()).is_relative_to(tree):
        raise SystemExit(f"the tests of a copy would run another program: {done.stdout}")
    done = run_tests(tree, sorted({mutant.tests for mutant in MUTANTS}))
    if done.returncode:
        raise SystemExit(f"the tests fail without a fault:\n{done.stdout[-3000:]}")
    if skipped := re.findall(r"^SKIPPED .*$", done.stdout, re.M):
        print("\n".join(skipped))


def tried(mutant: Mutant, tree: Path) -> Outcome:
    """Put a fault into a copy, run its tests, and take it out again."""
    path = tree / mutant.file
    text = path.read_text("utf-8")
    path.write_text(mutant.applied(text), "utf-8")
    started = time.monotonic()
    done = run_tests(tree, [mutant.tests])
    seconds = time.monotonic() - started
    path.write_text(text, "utf-8")
    if done.returncode not in (0, 1):
        raise SystemExit(f"{mutant.name}: the tests did not run:\n{done.stdout[-3000:]}")
    failed = re.search(r"^FAILED \S+::(.*?)(?: - .*)?$", done.stdout, re.M)
    if done.returncode == 1 and failed is None:
        raise SystemExit(f"{mutant.name}: no test failed, and yet:\n{done.stdout[-3000:]}")
    return Outcome(mutant, failed[1] if failed else None, seconds)


def main() -> int:
    """Try all the faults, print who found them; return 1 where one was not found."""
    outcomes = []
    with TemporaryDirectory() as folder:
        tree = Path(folder).resolve()
        copied(tree)
        for mutant in MUTANTS:
            mutant.applied((tree / mutant.file).read_text("utf-8"))
        check_copy(tree)
        print("| fault | found by | seconds |\n|---|---|---|")
        for mutant in MUTANTS:
            outcome = tried(mutant, tree)
            outcomes.append(outcome)
            by = outcome.by or "NOTHING"
            print(f"| {mutant.name} | {by} | {outcome.seconds:.1f} |", flush=True)
    found = sum(outcome.by is not None for outcome in outcomes)
    print(f"{found} of {len(outcomes)} found")
    return 0 if found == len(outcomes) else 1


if __name__ == "__main__":
    sys.exit(main())
