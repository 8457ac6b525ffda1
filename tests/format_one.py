"""The golden files of format 1: what each must read as, for ever, as JSON that names no class.

A value's JSON has what its file says. What an absent key means stands once in ``absent.json``, so
that a version that changes it is caught, and one that knows a new optional key is not.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from model.frozen import Frozen

FOLDER = Path(__file__).parent / "data" / "format_1"
ABSENT: Mapping[str, Mapping[str, object]] = json.loads(
    (FOLDER / "absent.json").read_text("utf-8") if (FOLDER / "absent.json").exists() else "{}"
)
_IDS = ("id", "key")
_ALWAYS = ("type", "format")  # what a value is, whatever it says


def golden_files() -> list[Path]:
    """Return every golden file: pages, a book's own file and a put-back's ticks."""
    return sorted(path for path in FOLDER.iterdir() if path.suffix in (".toml", ".putback"))


def golden_pages() -> list[Path]:
    """Return the golden pages alone."""
    return [path for path in golden_files() if path.suffix == ".toml" and path.stem != "book"]


def golden_json(path: Path) -> str:
    """Return the JSON beside a golden file, as one line that can be compared."""
    return one_line(json.loads(path.with_suffix(".json").read_text("utf-8")))


def value_json(value: Frozen) -> str:
    """Return what a value says, as such a line; order counts, and 3 is not 3.0."""
    return one_line(plain(value))


def one_line(value: object) -> str:
    """Return JSON on one line."""
    return json.dumps(value, ensure_ascii=False)


def plain(value: object) -> object:
    """Return a value as JSON has it; of a table only what differs from absent keys."""
    if isinstance(value, Frozen):
        return _table(value)
    if isinstance(value, tuple):
        if value and all(isinstance(item, Frozen) and _id(item) for item in value):
            return {_id(item): plain(item) for item in value}
        if value and all(isinstance(item, tuple) and _is_entry(item) for item in value):
            return {item[0]: plain(item[1]) for item in value}
        return [plain(item) for item in value]
    return value.isoformat() if isinstance(value, date) else value


def _table(value: Frozen) -> dict[str, object]:
    known, table = ABSENT.get(type(value).__name__, {}), {}
    for name, field in type(value).model_fields.items():
        key, held = field.alias or name, plain(getattr(value, name))
        if key in _IDS:
            continue
        if key in _ALWAYS:
            is_absent = False
        elif key in known:
            is_absent = one_line(held) == one_line(known[key])
        else:  # a key that a later version knows
            is_absent = not field.is_required() and held == plain(field.default)
        if not is_absent:
            table[key] = held
    return table


def _id(value: Frozen) -> str:
    return next((str(getattr(value, name)) for name in _IDS if hasattr(value, name)), "")


def _is_entry(item: tuple[object, ...]) -> bool:
    return len(item) == 2 and isinstance(item[0], str)
