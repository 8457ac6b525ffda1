"""The import rule, and what a fresh process loads and does not."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from tests.import_rule import ROOT, breaches, modules
from tests.rack_stage import small_book


def loaded_after(code: str) -> set[str]:
    """Return the top-level modules that a fresh process has after some code."""
    script = f"{code}\nimport json, sys\nprint(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return {name.split(".")[0] for name in json.loads(done.stdout.splitlines()[-1])}


def test_imports_run_one_way() -> None:
    assert breaches() == []


def test_a_breach_is_found(tmp_path: Path) -> None:
    for name, text in (
        ("model/rig/a.py", "from model.disk.save import save\n"),
        ("model/book/b.py", "def f():\n    import textual.app\n"),
        ("model/readings/c.py", "from tui.keys import Keys\n"),
        ("model/attic/d.py", "import model.rig.page\n"),
        ("model/compare/e.py", "import model.book.heads\n"),
        ("tui/f.py", "from tests.goldens import GOLDEN\n"),
    ):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text)
    (tmp_path / "tui").mkdir(exist_ok=True)
    found = breaches(tmp_path)
    assert [line.split(":")[0] for line in found] == [
        "model/attic/d.py", "model/book/b.py", "model/readings/c.py", "model/rig/a.py", "tui/f.py",
    ]  # fmt: skip


def test_the_model_loads_no_terminal_library() -> None:
    names = [name for name, _ in modules() if name.startswith("model")]
    assert len(names) > 30
    loaded = loaded_after("\n".join(f"import {name}" for name in names))
    assert not loaded & {"textual", "rich", "tui"}


def test_listing_and_counting_a_book_loads_no_pydantic(tmp_path: Path) -> None:
    book = small_book(tmp_path / "tour")
    loaded = loaded_after(
        "from pathlib import Path\nfrom model.book.heads import count_in, list_book\n"
        f"pages = list_book(Path({str(book)!r})).pages\n"
        "assert sum(count_in(page.path)['carried'] for page in pages) > 30"
    )
    assert not loaded & {"pydantic", "pydantic_core", "numpy", "scipy"}


def test_the_first_screen_loads_nothing_heavy() -> None:
    loaded = loaded_after("import tui.cli, tui.app, tui.screens.book.screen, model.book.find")
    assert "textual" in loaded
    assert not loaded & {"pydantic", "pydantic_core", "numpy", "scipy"}
