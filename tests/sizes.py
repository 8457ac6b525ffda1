"""How much a run tries: a few on every run, the promised numbers with ``--long``."""

from __future__ import annotations


class _Run:
    """What the command line asked for; conftest sets it before any test is imported."""

    long = False
    update_golden = False


RUN = _Run()


def examples(short: int, long: int) -> int:
    """Return how many examples this run tries."""
    return long if RUN.long else short
