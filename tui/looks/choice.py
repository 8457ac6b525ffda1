"""Which look is shown: the reader's choice, in what the terminal can draw."""

from __future__ import annotations

from collections.abc import Mapping

from model.errors import CannotDo, Problem
from tui.looks.colours import DARK_STAGE, DARK_STAGE_16, DAYLIGHT, DAYLIGHT_16
from tui.looks.look import Look
from tui.looks.plain import PLAIN

LOOKS: Mapping[str, Look] = {look.name: look for look in (DARK_STAGE, DAYLIGHT, PLAIN)}
LOOKS_16: Mapping[str, Look] = {look.name: look for look in (DARK_STAGE_16, DAYLIGHT_16, PLAIN)}


def has_many_colours(environ: Mapping[str, str]) -> bool:
    """Tell whether the terminal draws more than its own sixteen colours, by what it says of itself.

    ``COLORTERM`` is truecolor or 24bit, or ``TERM`` ends in 256color or direct.
    """
    if environ.get("COLORTERM", "").strip().lower() in ("truecolor", "24bit"):
        return True
    return environ.get("TERM", "").strip().lower().rpartition("-")[2] in ("256color", "direct")


def draws_braille(environ: Mapping[str, str]) -> bool:
    """Tell whether the terminal shows braille's dots, by what it says of itself: a UTF-8 locale,
    and no plain console.
    """
    if environ.get("TERM", "").strip().lower() in ("", "linux", "dumb", "vt100", "vt220", "cons25"):
        return False
    locale = next((environ[n] for n in ("LC_ALL", "LC_CTYPE", "LANG") if environ.get(n)), "")
    return "UTF8" in locale.upper().replace("-", "")


def chosen_look(name: str, environ: Mapping[str, str]) -> Look:
    """Return the look of that name; plain wherever NO_COLOR is set.

    Raises :class:`CannotDo` for a look that there is not.
    """
    if environ.get("NO_COLOR"):
        return PLAIN
    looks = LOOKS if has_many_colours(environ) else LOOKS_16
    if name in looks:
        return looks[name]
    problem = Problem(
        code="no-look", what=f"there is no look {name!r}", key="look", right=" or ".join(LOOKS)
    )
    raise CannotDo("the look cannot be used", (problem,))


def look_after(look: Look, environ: Mapping[str, str]) -> Look:
    """Return the look that follows, round to the first."""
    names = list(LOOKS)
    return chosen_look(names[(names.index(look.name) + 1) % len(names)], environ)
