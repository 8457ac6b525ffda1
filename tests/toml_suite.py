"""The toml-test files, which come inside another library's source archive, and how to hold them."""

from __future__ import annotations

import json
import math
import subprocess
import sys
import tarfile
from collections.abc import Iterator
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import pytest

ARCHIVE = "tomlkit"
INSIDE = "/tests/toml-test/tests/"


def fetched(folder: Path) -> Path:
    """Return the folder of toml-test's files, fetched through pip; skip where that cannot be.

    Nothing is installed. pip makes the archive's metadata on the way, away from this project.
    """
    command = [sys.executable, "-m", "pip", "download", ARCHIVE, "--no-binary", ARCHIVE]
    options = ["--no-deps", "--no-cache-dir", "--disable-pip-version-check", "-q", "-d", "."]
    try:
        done = subprocess.run(
            command + options, cwd=folder, capture_output=True, text=True, timeout=120, check=False
        )
    except subprocess.TimeoutExpired:
        pytest.skip("pip took over two minutes to fetch toml-test's files")
    archives = list(folder.glob("*.tar.gz"))
    if not archives:
        lines = done.stderr.strip().splitlines() or ["no reason given"]
        pytest.skip(f"pip could not fetch toml-test's files: {lines[-1][:200]}")
    with tarfile.open(archives[0]) as archive:
        members = [member for member in archive if INSIDE in member.name]
        archive.extractall(folder, members, filter="data")
    for lists in folder.glob(f"*{INSIDE}files-toml-1.0.0"):
        return lists.parent
    pytest.skip("the archive holds no toml-test any more")


def listed(suite: Path, version: str, sort: str) -> list[str]:
    """Return the names of the ``valid`` or ``invalid`` TOML files of a version of TOML."""
    names = (suite / f"files-toml-{version}").read_text("utf-8").split()
    return [name for name in names if name.startswith(f"{sort}/") and name.endswith(".toml")]


def expected(suite: Path, name: str) -> Any:
    """Return what a valid file holds, as the suite's JSON beside it says."""
    return _plain(json.loads((suite / name).with_suffix(".json").read_text("utf-8")))


def _plain(tagged: Any) -> Any:
    if isinstance(tagged, list):
        return [_plain(item) for item in tagged]
    if not isinstance(tagged.get("type"), str) or tagged.keys() != {"type", "value"}:
        return {key: _plain(value) for key, value in tagged.items()}
    text = tagged["value"]
    match tagged["type"]:
        case "string":
            return text
        case "integer":
            return int(text)
        case "float":
            return float(text)
        case "bool":
            return text == "true"
        case "datetime" | "datetime-local":
            return datetime.fromisoformat(_micro(text))
        case "date-local":
            return date.fromisoformat(text)
        case "time-local":
            return time.fromisoformat(_micro(text))
    raise AssertionError(f"toml-test has a sort of value that is new: {tagged}")


def _micro(text: str) -> str:
    """Cut a fraction of a second to the microseconds that Python's clock has."""
    whole, point, rest = text.partition(".")
    digits = len(rest) - len(rest.lstrip("0123456789"))
    return whole + point + rest[: min(digits, 6)] + rest[digits:]


def same(a: Any, b: Any) -> bool:
    """Tell whether two values are the same to the sort, the sign of nought, NaN and the offset."""
    if type(a) is not type(b):
        return False
    if isinstance(a, dict):
        return a.keys() == b.keys() and all(same(a[key], b[key]) for key in a)
    if isinstance(a, list):
        return len(a) == len(b) and all(map(same, a, b))
    if isinstance(a, float):
        return (math.isnan(a) and math.isnan(b)) or (a, math.copysign(1, a)) == (
            b,
            math.copysign(1, b),
        )
    if isinstance(a, datetime):
        return bool(a == b) and a.utcoffset() == b.utcoffset()
    return bool(a == b)


def at(tables: Any, path: tuple[str, ...]) -> Iterator[Any]:
    """Yield every value at a dotted path, in any element of an array of tables on the way."""
    if isinstance(tables, list):
        for item in tables:
            yield from at(item, path)
    elif not path:
        yield tables
    elif isinstance(tables, dict) and path[0] in tables:
        if len(path) == 1:
            yield tables[path[0]]
        else:
            yield from at(tables[path[0]], path[1:])


def leaves(tables: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Yield the path of every value that is neither a table nor an array of tables."""
    if isinstance(tables, dict) and tables:
        for key, value in tables.items():
            yield from leaves(value, (*path, key))
    elif isinstance(tables, list) and tables and all(isinstance(item, dict) for item in tables):
        for item in tables:
            yield from leaves(item, path)
    elif path:
        yield path
