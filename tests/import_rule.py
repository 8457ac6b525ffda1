"""The import rule, checked over the tree: ``python -m tests.import_rule``.

Imports run one way. Rooms that are not built yet have their place already.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent

# What each room may import from besides itself and the ground floor.
GROUND = {"model.clean", "model.errors", "model.frozen"}
_BOOK = {"model.readings", "model.rig", "model.disk", "model.book"}
_SPACE = {"model.readings", "model.picture", "model.rig", "model.space"}
MAY: dict[str, set[str]] = {
    "model.clean": set(),
    "model.errors": set(),
    "model.frozen": set(),
    "model.readings": set(),
    "model.picture": {"model.readings"},
    "model.rig": {"model.readings"},
    "model.disk": set(),
    "model.book": {"model.readings", "model.rig", "model.disk"},
    "model.space": {"model.readings", "model.picture", "model.rig"},
    "model.compare": _BOOK | _SPACE,
    "model.checks": _BOOK | _SPACE,
    "model.season": _BOOK | _SPACE,
    "model.fit": _BOOK | _SPACE | {"model.compare", "model.checks", "model.season"},
}
MAY["model.paper"] = MAY["model.fit"] | {"model.fit"}
TERMINAL = {"textual", "rich"}


def room(module: str) -> str:
    """Return the room a module is in: ``model.book`` for ``model.disk.save``."""
    return ".".join(module.split(".")[:2]) if module.startswith("model") else "tui"


def modules(root: Path = ROOT) -> Iterator[tuple[str, Path]]:
    """Yield every module of the program: its name and its file."""
    for top in ("model", "tui"):
        for path in sorted((root / top).rglob("*.py")):
            parts = path.relative_to(root).with_suffix("").parts
            yield ".".join(part for part in parts if part != "__init__"), path


def imported(path: Path) -> Iterator[tuple[int, str]]:
    """Yield every module that a file imports, wherever in it, with its line."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.lineno, node.module


def breaches(root: Path = ROOT) -> list[str]:
    """Return what breaks the rule: the file, the line, and what it may not import."""
    found: list[str] = []
    for module, path in modules(root):
        home = room(module)
        for line, name in imported(path):
            top = name.split(".")[0]
            place = f"{path.relative_to(root)}:{line}"
            if top == "tests":
                found.append(f"{place}: the program imports its tests ({name})")
            if home == "tui":
                continue
            if top in TERMINAL | {"tui"}:
                found.append(f"{place}: the model imports the terminal ({name})")
            elif top == "model" and module != "model":
                if home not in MAY:
                    found.append(f"{place}: {home} has no place in the rule yet")
                elif room(name) not in MAY[home] | GROUND | {home}:
                    found.append(f"{place}: {home} may not import {room(name)}")
    return found


def main() -> int:
    """Print what breaks the rule."""
    found = breaches()
    for line in found:
        print(line)
    print(f"{sum(1 for _ in modules())} modules, {len(found)} breaches of the import rule")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
