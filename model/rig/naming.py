"""Which part and which setting is meant by what someone typed."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable

from model.readings.quantity import Refusal
from model.rig.page import Page
from model.rig.part import FLOOR, Piece

_PAIR = re.compile(r"-[a-z0-9]{2}$")
"""The random pair at the end of an id that the program made: nobody types it."""


def owner_names(page: Page) -> dict[str, str]:
    """Return the names of everything that has settings, by id: floor, parts, spots."""
    names = {FLOOR: "Floor"}
    names.update({part.id: part.name for part in page.parts})
    names.update({spot.id: spot.name for spot in page.spots})
    return names


def find_owner(page: Page, typed: str) -> str | Refusal:
    """Return the id of the part or spot: by id, by name, or by the only one that begins so."""
    names = owner_names(page)
    if typed in names:
        return typed
    word = typed.casefold().strip()
    same = [id_ for id_, name in names.items() if name.casefold() == word]
    same = same or [id_ for id_ in names if _PAIR.sub("", id_) == word]
    begins = [
        id_
        for id_, name in names.items()
        if word and (id_.startswith(word) or name.casefold().startswith(word))
    ]
    return _only(same or begins, typed, names, "part")


def find_piece(page: Page, typed: str) -> str | Refusal:
    """Return the id of a piece: by id, role or name, or by the only one that begins so."""
    pieces = [part for part in page.parts if isinstance(part, Piece)]
    if any(piece.id == typed for piece in pieces):
        return typed
    word = typed.casefold().strip()
    texts = {p.id: (p.id, (p.role or "").casefold(), p.name.casefold()) for p in pieces}
    same = [id_ for id_, own in texts.items() if word and word in own]
    begins = [id_ for id_, own in texts.items() if word and any(t.startswith(word) for t in own)]
    other = find_owner(page, typed) if word and not (same or begins) else typed
    if other in page.by_id:
        name = page.by_id[str(other)].name
        return Refusal(f"{name} is no piece", " or ".join(piece_labels(page)[:8]))
    return _only(same or begins, typed, piece_labels(page), "piece")


def piece_labels(page: Page) -> list[str]:
    """Return a word for each piece by which it is meant: its role, or its id.

    A role with a comma of its own would read as two in a list.
    """
    pieces = [part for part in page.parts if isinstance(part, Piece)]
    return [p.role if p.role and "," not in p.role else p.id for p in pieces]


def find_setting(page: Page, owner: str, typed: str) -> str | Refusal:
    """Return the key of an owner's setting: by its name, or by the only one that begins so."""
    own = {d.name: d.label for d in page.declared.values() if d.owner == owner}
    if typed in own:
        return f"{owner}.{typed}"
    word = typed.casefold().strip().replace("_", " ").removeprefix("dial.")
    told = {
        name: (label, name.replace("_", " ").removeprefix("dial.")) for name, label in own.items()
    }
    same = [name for name, texts in told.items() if word in texts]
    begins = [n for n, texts in told.items() if word and any(t.startswith(word) for t in texts)]
    found = _only(same or begins, typed, own, "setting")
    return found if isinstance(found, Refusal) else f"{owner}.{found}"


def _only(found: list[str], typed: str, known: Iterable[str], what: str) -> str | Refusal:
    if len(found) == 1:
        return found[0]
    if found:
        return Refusal(f"{typed!r} could be {' or '.join(found[:5])}", found[0])
    near = difflib.get_close_matches(typed, list(known), n=2, cutoff=0.4)
    near = near or [name for name in known if typed and typed in name][:3] or list(known)[:3]
    return Refusal(
        f"there is no {what} {typed!r}", " or ".join(near) or f"a {what} that the page has"
    )


def parts_named(page: Page, typed: str) -> tuple[str, ...]:
    """Return the ids whose name, id or role holds ``typed``, best first."""
    word = typed.casefold().strip()
    if not word:
        return ()
    scored: list[tuple[int, int, str]] = []
    for place, (id_, name) in enumerate(owner_names(page).items()):
        role = getattr(page.by_id.get(id_), "role", None) or ""
        texts = (name.casefold(), id_, role.casefold())
        if any(text.startswith(word) for text in texts):
            scored.append((0, place, id_))
        elif any(f" {word}" in text.replace("-", " ") for text in texts):
            scored.append((1, place, id_))
        elif any(word in text for text in texts):
            scored.append((2, place, id_))
    return tuple(id_ for _, _, id_ in sorted(scored))


def settings_named(page: Page, typed: str) -> tuple[str, ...]:
    """Return the keys of the settings that begin with ``typed``: the owner's id or name, a dot, its
    own name; the one that is just so first.
    """
    word, names = typed.casefold().strip(), owner_names(page)
    if "." not in word:
        return ()
    found: list[tuple[bool, str]] = []
    for key, declared in page.declared.items():
        owner = names.get(declared.owner, declared.owner)
        texts = (key.casefold(), f"{owner}.{declared.name}".casefold())
        if any(text.startswith(word) for text in texts):
            found.append((word not in texts, key))
    return tuple(key for _, key in sorted(found, key=lambda one: one[0]))
