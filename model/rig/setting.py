"""A setting's record on one page: read, seen, carried, open or following."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from model.frozen import Extra, Frozen, Number, Pair, Spread, Unfit, Words
from model.readings.angles import ReadFrom
from model.readings.quantity import Value

State = Literal["read", "seen", "carried", "open", "follows"]
STATES: tuple[State, ...] = ("read", "seen", "carried", "open", "follows")
"""Measured tonight; confirmed at its mark; last known; unknown; fixed by a loop or the floor."""


class Setting(Frozen):
    """One line of the record.

    ``value`` is in millimetres, degrees, whole teeth, or a dial's words or number. ``page`` names
    the page of the actual reading (carried and seen). ``using`` is the instrument of that reading
    and ``by`` who read it, or for a seen setting who saw it. ``u`` overrides the instrument's
    standard uncertainty (the look at a seen one's mark comes on top), ``read_from`` what an angle
    was read from, ``limit`` the kind's limits.
    A following setting has a value only where one was read as a check.
    """

    state: State
    value: Number | int | Words | None = None
    page: Words | None = None
    using: Words | None = None
    by: Words | None = None
    u: Spread | None = None
    read_from: ReadFrom | None = Field(default=None, alias="from")
    limit: Pair | None = None
    note: Words | None = None
    extra: Extra = ()

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.state == "open" and self.value is not None:
            raise Unfit("an open setting has no value", "{ open = true }")
        if self.state in ("read", "seen", "carried") and self.value is None:
            raise Unfit(f"a {self.state} setting needs its value", f"{{ {self.state} = 812.8 }}")
        if self.state in ("carried", "seen") and self.page is None:
            raise Unfit(
                f"a {self.state} setting names the page of its reading",
                f'{{ {self.state} = 812.8, page = "2025-03-13-soundcheck" }}',
            )
        if self.limit is not None and self.limit[0] > self.limit[1]:
            raise Unfit("a limit goes from low to high", "limit = [0.0, 400.0]")
        return self

    @property
    def measured_tonight(self) -> bool:
        """Whether the value is tonight's: read or seen, or a check of a following setting."""
        return self.state in ("read", "seen") or (
            self.state == "follows" and self.value is not None
        )


OPEN = Setting(state="open")
FOLLOWS = Setting(state="follows")


def taken(
    before: Setting,
    value: Value,
    *,
    using: str | None = None,
    by: str | None = None,
    u: float | None = None,
    read_from: ReadFrom | None = None,
    note: str | None = None,
) -> Setting:
    """Return the setting after a reading; its own limit, unknown keys and note are kept.

    A following setting stays one and keeps the reading as a check.
    """
    return Setting(
        state="follows" if before.state == "follows" else "read",
        value=value,
        using=using,
        by=by,
        u=u,
        read_from=read_from,
        limit=before.limit,
        note=note if note is not None else before.note,
        extra=before.extra,
    )


def seen_at_mark(before: Setting, page_now: str, by: str | None = None) -> Setting | None:
    """Return the setting as seen at its mark, or None where there is no value to confirm.

    What was read tonight stays a reading, and a following setting is never marked.
    """
    if before.state not in ("carried", "seen"):
        return None
    return Setting(
        state="seen",
        value=before.value,
        page=before.page or page_now,
        using=before.using,
        by=by,
        u=before.u,
        read_from=before.read_from,
        limit=before.limit,
        note=before.note,
        extra=before.extra,
    )


def carried_on(before: Setting, page_before: str) -> Setting:
    """Return the setting as the next page begins with it.

    A reading is carried with its page; a carried or seen value keeps the page where it was read.
    Who looked at a seen one is not who read it, so nobody is named. Notes stay behind with the page
    they were made on.
    """
    if before.state in ("open", "follows"):
        return Setting(state=before.state, limit=before.limit, extra=before.extra)
    return Setting(
        state="carried",
        value=before.value,
        page=page_before if before.state == "read" else before.page,
        using=before.using,
        by=None if before.state == "seen" else before.by,
        u=before.u,
        read_from=before.read_from,
        limit=before.limit,
        extra=before.extra,
    )
