"""The generic kinds that ship with Clampbook, read by the same reader as a user's own."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from model.book.faults import Faults
from model.book.into_values import kind_value
from model.book.toml import parse_toml
from model.errors import UnreadableFile
from model.rig.kind import Kind

_FILE = "generic_kinds.toml"


@cache
def generic_kinds() -> dict[str, Kind]:
    """Return the shipped kinds by id; raises :class:`UnreadableFile` if the package is broken."""
    text = files("model.rig").joinpath(_FILE).read_text("utf-8")
    return parse_kinds(text, _FILE)


def generic_ids() -> frozenset[str]:
    """Return the ids of the shipped kinds: what is of another is a user's own."""
    return frozenset(generic_kinds())


def parse_kinds(text: str, file: str) -> dict[str, Kind]:
    """Read a file of kinds (``[kind.ID]`` tables); raises :class:`UnreadableFile`."""
    tables, index, faults = parse_toml(text, file)
    if tables is None:
        raise UnreadableFile(f"{file} cannot be read", tuple(faults.found))
    made = Faults(file, index)
    kinds = {name: kind_value(name, table, made) for name, table in tables.get("kind", {}).items()}
    if made.found:
        raise UnreadableFile(f"{file} cannot be read", tuple(made.found))
    return {name: kind for name, kind in kinds.items() if kind is not None}
