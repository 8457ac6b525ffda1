"""A kind drawn in one line: its joints from root to tip, what slides and what turns, its ends."""

from __future__ import annotations

from model.rig.kind import Joint, Kind

SLIDES, TURNS = "↔", "↻"


def joint_picture(kind: Kind) -> str:
    """Return ``tube ─ place ↔ ─ spin ↻ ─ tilt ↻24 ─> tip``; the number is a ratchet's teeth."""
    own_ends = {outlet.after for outlet in kind.outlets}
    chain = [_joint(joint) for joint in kind.joints]
    ends = ", ".join(_end(outlet.id, outlet.holds) for outlet in kind.outlets)
    tip = f" ─> {ends}" if ends else ""
    several = "" if len(own_ends) < 2 else f"  (ends after {', '.join(_afters(kind))})"
    return f"{_root(kind)} ─ {' ─ '.join(chain) or 'fixed'}{tip}{several}"


def joint_words(kind: Kind) -> tuple[str, ...]:
    """Return the picture, and what each joint is read from and loosened with."""
    tools = dict.fromkeys(joint.loosen for joint in kind.joints if joint.loosen)
    loosened = ", ".join(tools) or "-"
    return (
        joint_picture(kind),
        f"{SLIDES} slides  {TURNS} turns, with a number: teeth;  loosened: {loosened}",
        f"{kind.id}: {len(kind.joints)} settings, {len(kind.outlets)} outlets",
    )


def _joint(joint: Joint) -> str:
    sign = SLIDES if joint.slides is not None else f"{TURNS}{joint.teeth or ''}"
    name = joint.id.replace("_", " ")
    return f"{name} {sign}" if not joint.follows else f"({name} {sign})"


def _end(name: str, holds: str | None) -> str:
    return f"{name} [bar {holds}]" if holds else name


def _afters(kind: Kind) -> list[str]:
    last = kind.joints[-1].id if kind.joints else "root"
    return [f"{outlet.id}: {outlet.after or last}" for outlet in kind.outlets]


def _root(kind: Kind) -> str:
    if kind.on_rail:
        return "tube"
    if kind.on_floor:
        return "floor"
    return "clamp" if kind.fits == "bar" else "outlet"
