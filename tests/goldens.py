"""Golden texts: compared byte for byte, rewritten with ``--update-golden`` and read by eye."""

from __future__ import annotations

from pathlib import Path

from tests.sizes import RUN

GOLDEN = Path(__file__).parent / "golden"


def same_as_golden(name: str, text: str) -> None:
    """Assert that ``text`` is what the golden file of that name holds."""
    path = GOLDEN / name
    if RUN.update_golden:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    assert path.is_file(), f"{name} is not there: run with --update-golden, then read it"
    assert text == path.read_text("utf-8")
