"""The reader's own choices, from a TOML file in the user's configuration folder."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from model.errors import Problem, UnreadableFile
from model.readings.quantity import LENGTH_UNITS, LengthUnit

EXAMPLE = 'unit = "in"'


@dataclass(frozen=True, slots=True)
class Config:
    """Who reads, in which unit, in which look, and keys of one's own (action -> key)."""

    unit: LengthUnit = "mm"
    by: str | None = None
    look: str = "dark stage"
    keys: Mapping[str, str] = field(default_factory=dict)


def config_path(environ: Mapping[str, str] = os.environ) -> Path:
    """Return where the configuration is looked for."""
    base = environ.get("XDG_CONFIG_HOME")
    return (Path(base) if base else Path.home() / ".config") / "clampbook" / "config.toml"


def read_config(path: Path) -> Config:
    """Read the configuration; without a file, everything is as it comes.

    Raises :class:`UnreadableFile` with every fault: a mistyped choice is not replaced in silence.
    """
    if not path.exists():
        return Config()
    import tomli

    from model.disk.guard import read_text

    try:
        table = tomli.loads(read_text(path).text)
    except ValueError as error:
        raise _refused(path, [_problem(path, "", str(error).lower(), EXAMPLE)]) from error
    problems: list[Problem] = []
    for key in table:
        if key not in ("unit", "by", "look", "keys"):
            problems.append(_problem(path, key, "there is no such choice", "unit, by, look, keys"))
    unit = table.get("unit", "mm")
    if unit not in LENGTH_UNITS:
        problems.append(_problem(path, "unit", f"{unit!r} is no unit", ", ".join(LENGTH_UNITS)))
    for key in ("by", "look"):
        if not isinstance(table.get(key, ""), str):
            problems.append(_problem(path, key, "a text in quotes is needed", f'{key} = "AK"'))
    keys = table.get("keys", {})
    if not isinstance(keys, dict) or not all(isinstance(k, str) for k in keys.values()):
        problems.append(_problem(path, "keys", "each action names one key", 'undo = "k"'))
    if problems:
        raise _refused(path, problems)
    return Config(unit, table.get("by"), table.get("look", "dark stage"), keys)


def _problem(path: Path, key: str, what: str, right: str) -> Problem:
    return Problem(code="config", what=what, right=right, path=str(path), key=key or None)


def _refused(path: Path, problems: list[Problem]) -> UnreadableFile:
    return UnreadableFile(f"{path.name} cannot be read", tuple(problems))
