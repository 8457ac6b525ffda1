"""What is odd about a page, and what its crew noted about it, as lines to read."""

from __future__ import annotations

from model.errors import Problem
from model.rig.flags import page_flags
from tui.screens.rack.state import RackState
from tui.screens.text import wrapped

STILL_WORKED_OUT = "the places are still being worked out …"


def odd_lines(
    state: RackState, width: int, of_places: tuple[Problem, ...] | None = ()
) -> tuple[str, list[str]]:
    """Return what is odd about the page, and the crew's notes about it, as lines with a title.

    ``of_places`` is what stands in the way of places; None while they are still worked out.
    """
    lost = [p for p in state.file.problems if p.code == "no-line"]
    odd = [*lost, *page_flags(state.page)]
    told = {(problem.code, problem.key) for problem in odd}
    odd += [problem for problem in of_places or () if (problem.code, problem.key) not in told]
    lines = [line for problem in odd for line in wrapped(problem.text(), width)]
    if of_places is None:
        lines.append(STILL_WORKED_OUT)
    lines = lines or ["nothing is odd about this page"]
    for crew, note in state.page.crew:
        lines += wrapped(f"{crew}: {note}", width) if note else []
    return f"{state.file.name}: what is odd about it, and the crew's notes", lines
