"""The faults that are put in on purpose still have their places, and the tests still find them."""

from __future__ import annotations

import pytest

from tests import mutants
from tests.mutants import MUTANTS, ROOT, Mutant


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda mutant: mutant.name)
def test_a_mutant_has_its_place_and_is_a_program(mutant: Mutant) -> None:
    text = mutant.applied((ROOT / mutant.file).read_text("utf-8"))
    compile(text, mutant.file, "exec")
    assert (ROOT / mutant.tests.split("::", 1)[0]).is_file()
    assert "def " + mutant.tests.partition("::")[2] in (
        ROOT / mutant.tests.split("::", 1)[0]
    ).read_text("utf-8")


def test_a_mutant_without_its_place_is_not_passed_over() -> None:
    with pytest.raises(ValueError, match="found 2 times"):
        Mutant("twice", "x.py", "a", "b", "").applied("a a")


@pytest.mark.long
def test_the_tests_find_every_mutant(capsys: pytest.CaptureFixture[str]) -> None:
    with capsys.disabled():
        print()
        assert mutants.main() == 0
